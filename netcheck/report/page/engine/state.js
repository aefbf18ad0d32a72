"use strict";
/* One state of everything that moves: what conducts, what is live, what is energised.

   Conduction is the union of what counts as wire in one state of the contacts; a load is on
   when a way without another load leads from a source of its volts through it and home. */

class State {
  static CIRCUIT = new Set(["joins", "contact", "one way"]);

  constructor(model, positions, collapsed) {
    this.model = model;
    this.positions = positions;
    this.collapsed = collapsed;
    this.places = new Joined(model.terminals.length);
    this.arcs = new Map();
    this.joinPlaces();
    this.live = new Set();
    this.findLive();
  }

  // ---- what conducts --------------------------------------------------------------------------

  isClosed(part) {
    if (part.conducts === "joins" || part.conducts === "contact") {
      return part.m < 0 || part.closed.includes(this.positions[part.m]);
    }
    return part.conducts === "one way" || part.conducts === "bond";
  }
  joinPlaces() {
    for (const wire of this.model.wires) this.places.join(wire.a, wire.b);
    const oneWay = [];
    for (const part of this.model.parts) {
      if (!State.CIRCUIT.has(part.conducts) || !this.isClosed(part)) continue;
      if (part.oneWay) oneWay.push(part);
      else this.places.join(part.a, part.b);
    }
    for (const part of oneWay) this.addArc(...this.ends(part));
  }
  addArc(from, to) {
    if (from === to) return;
    if (!this.arcs.has(from)) this.arcs.set(from, []);
    this.arcs.get(from).push(to);
  }
  ends(part) {
    return [this.places.find(part.a), this.places.find(part.b)];
  }

  // ---- what is live ---------------------------------------------------------------------------

  findLive() {
    const waiting = [];
    this.model.sources.forEach((source, index) => {
      if (this.collapsed.has(index)) return;
      if (source.inputs.length) waiting.push(index);
      else if (this.isOn(source.m)) this.live.add(index);
    });
    this.renewWays();
    while (this.fed(waiting)) this.renewWays();
  }
  isOn(m) {
    return m < 0 || this.positions[m] === 1;
  }
  /* Whether another of those that wait for their inputs is live now. */
  fed(waiting) {
    const found = waiting.filter((index) => {
      const { inputs, run } = this.model.sources[index];
      return !this.live.has(index) && this.isOn(run)
        && inputs.every((part) => this.energised(part));
    });
    for (const index of found) this.live.add(index);
    return found.length > 0;
  }
  renewWays() {
    this.ways = new SourceWays(this.model, this.places, this.arcs, this.live);
    this.on = new Map();
  }

  // ---- what is energised ----------------------------------------------------------------------

  /* Volts of the load's a against its b, one for each way it is fed without another load. */
  feeds(part) {
    const [a, b] = this.ends(part);
    if (a === b) return [];
    const dc = (volts) => bases.dc(this.model, volts);
    return [
      ...this.ways.between(b, a).filter((volts) => dc(volts) >= 0),
      ...this.ways.between(a, b).filter((volts) => dc(volts) > 0).map(bases.minus),
    ];
  }
  energised(index) {
    if (!this.on.has(index)) {
      const part = this.model.parts[index];
      const fits = part.load && this.feeds(part).some((volts) => this.inBand(volts, part.load));
      this.on.set(index, Boolean(fits));
    }
    return this.on.get(index);
  }
  inBand(volts, load) {
    if (bases.isNothing(volts)) return false;
    if (load.volts === null) return true;
    const kind = bases.kind(this.model, volts);
    if (load.kind && kind !== load.kind) return false;
    if (load.polarised && kind === "DC" && bases.dc(this.model, volts) < 0) return false;
    const amount = bases.total(volts);
    return load.volts * load.low - 1e-6 <= amount && amount <= load.volts * load.high + 1e-6;
  }

  // ---- what only numbers tell -----------------------------------------------------------------

  /* Whether a load that is not energised may get something all the same. */
  mayGet(part) {
    if (this.feeds(part).length) return true;
    const [a, b] = this.ends(part);
    if (a === b) return false;
    const far = this.railsBehindLoads(b, a, part);
    return this.railsBehindLoads(a, b, part).some((p) => far.some((q) =>
      p !== q && (this.ways.between(q, p).length || this.ways.between(p, q).length)));
  }
  railsBehindLoads(from, barred, coil) {
    const found = [];
    const seen = new Set([from, barred]);
    const todo = [from];
    while (todo.length) {
      const at = todo.pop();
      if (this.ways.steps.has(at)) {
        found.push(at);
        continue;
      }
      for (const part of this.loadsAt.get(at) || []) {
        if (part === coil) continue;
        for (const end of this.ends(part).filter((one) => !seen.has(one))) {
          seen.add(end);
          todo.push(end);
        }
      }
    }
    return found;
  }
  /* By their places: loads, and what lets current one way. */
  get loadsAt() {
    if (!this.foundLoads) {
      this.foundLoads = new Map();
      for (const part of this.model.parts) {
        if (part.conducts !== "load" && !part.oneWay) continue;
        for (const end of new Set(this.ends(part))) {
          if (!this.foundLoads.has(end)) this.foundLoads.set(end, []);
          this.foundLoads.get(end).push(part);
        }
      }
    }
    return this.foundLoads;
  }
}
