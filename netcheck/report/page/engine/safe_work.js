"use strict";
/* What safe work asks for while a fault is looked for, and what of it was missed. */

class SafeWork {
  static WORDS = {
    refused: "asked for ohms on a live circuit",
    powered: "measured ohms with a source still on: off by a contactor or stop is not isolated",
    unproved: "measured ohms where it had not been proved dead: "
      + "volts from each point to ground or a pole of the source first",
    unknown: "trusted a dead reading of a meter that had not shown a known live source before",
    reclosed: "closed again onto a short that had just been opened",
  };
  static SHOWN_V = 0.5;

  constructor(model) {
    this.mechanisms = model.mechanisms;
    this.misses = new Map();
    this.dead = new Set();
    this.opened = new Set();
    this.meterShown = false;
    this.joined = new Joined(model.terminals.length);
    for (const wire of model.wires) this.joined.join(wire.a, wire.b);
    this.ofSources = this.placesOfSources(model);
  }
  /* What wire alone joins to a terminal of a source. */
  placesOfSources({ sources, devices, terminals }) {
    const names = new Set(sources.map((one) => devices[one.device].name));
    const isOfOne = (name) => names.has(name.slice(0, name.lastIndexOf(":")));
    const found = terminals.map((name, at) => (isOfOne(name) ? this.joined.find(at) : -1));
    return new Set(found.filter((place) => place >= 0));
  }

  missed(what) {
    this.misses.set(what, (this.misses.get(what) || 0) + 1);
  }
  operated(m, position) {
    this.dead.clear();
    if (position === 1 && this.opened.has(m)) this.missed("reclosed");
  }
  followed(said) {
    this.mechanisms.forEach((one, m) => {
      if (said.includes(`${one.name} opens: a short`)) this.opened.add(m);
    });
  }
  volts(red, black, reading) {
    if (words.size(reading) >= SafeWork.SHOWN_V) this.meterShown = true;
    else if (reading) this.provedDead(red, black); // no number proves nothing
  }
  /* Nought between two points of one pole proves nothing: one lead must stand on what wire alone
     joins to a source. */
  provedDead(red, black) {
    for (const [one, other] of [[red, black], [black, red]]) {
      if (this.ofSources.has(this.joined.find(other))) this.dead.add(one);
    }
  }
  ohms(red, black, isPowered) {
    if (isPowered) this.missed("powered");
    else if (!this.dead.has(red) || !this.dead.has(black)) this.missed("unproved");
    else if (!this.meterShown) this.missed("unknown");
  }
  /* A sentence for each thing that was missed. */
  get told() {
    return [...this.misses].map(([what, times]) =>
      SafeWork.WORDS[what] + (times > 1 ? `, ${times} times` : ""));
  }
}
