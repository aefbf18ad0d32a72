"use strict";
/* The panel, with hands on it: things are put somewhere, relays follow one at a time in the
   order of the panel, what is shorted opens its fuse, a meter reads volts. */

class Bench {
  static MOST_MOVES = 200;

  constructor(model) {
    this.model = model;
    model.bases = bases.of(model);
    this.movers = model.mechanisms
      .map((_, m) => m)
      .filter((m) => coils.moves(model.mechanisms[m]) && model.mechanisms[m].held === null);
    this.reset();
  }

  /* Everything at rest, power off. */
  reset() {
    this.positions = this.model.mechanisms.map((one) => (one.held === null ? one.first : one.held));
    this.collapsed = new Set();
    this.restless = false;
    this.changed();
  }
  changed() {
    this.found = null;
    this.numbers = null;
  }
  get state() {
    this.found = this.found || new State(this.model, this.positions, this.collapsed);
    return this.found;
  }
  place(m, position) {
    this.positions = this.positions.slice();
    this.positions[m] = position;
    this.changed();
  }
  /* A source that nothing protects gives nothing for as long as it is shorted. */
  collapse(source) {
    this.collapsed = new Set([...this.collapsed, source]);
    this.changed();
  }

  // ---- operating ------------------------------------------------------------------------------

  /* Why a thing cannot be put there; empty where it can. */
  barred(m, position) {
    const mechanism = this.model.mechanisms[m];
    if (mechanism.held !== null) return `${mechanism.name} stays where it is`;
    if (coils.moves(mechanism)) return `${mechanism.name} follows its coil`;
    if (!mechanism.resting.includes(position)) return `${mechanism.name} cannot rest there`;
    return position === 1 ? this.interlockedWith(m) : "";
  }
  interlockedWith(m) {
    for (const group of this.model.interlocks) {
      if (!group.includes(m)) continue;
      const other = group.find((one) => one !== m && this.positions[one] === 1);
      if (other !== undefined) {
        return `${this.model.mechanisms[other].name} is mechanically interlocked with it`;
      }
    }
    return "";
  }

  /* Put a switch there, through every position on the way; what followed, in words. */
  put(m, position) {
    const said = [];
    this.collapsed = new Set();
    const way = Math.sign(position - this.positions[m]);
    for (let next = this.positions[m]; next !== position;) {
      next += way;
      this.place(m, next);
      said.push(...this.settle());
      if (this.positions[m] !== next) break; // closed onto a short, it has opened again
    }
    return said;
  }
  running() {
    return this.movers.filter((m) => coils.runs(this, m));
  }
  /* Let a timer run out. */
  runOut(m) {
    const said = [];
    this.collapsed = new Set();
    this.move(m, said);
    return [...said, ...this.settle()];
  }

  settle() {
    const said = [];
    this.restless = false;
    for (let move = 0; move < Bench.MOST_MOVES; move += 1) {
      if (tripping.trip(this, said)) continue;
      const m = this.movers.find((one) => coils.mustMove(this, one));
      if (m === undefined) return said;
      this.move(m, said);
    }
    this.restless = true;
    said.push("relays do not come to rest");
    return said;
  }
  move(m, said) {
    this.place(m, 1 - this.positions[m]);
    said.push(this.model.mechanisms[m].steps[this.positions[m]]);
  }

  // ---- metering -------------------------------------------------------------------------------

  /* Volts of red against black on an ideal meter, or with one of so many ohm between them;
     null where there is no solution. */
  read(red, black, meterOhm = 0) {
    if (red === black) return { dc: 0, ac: 0, floats: false };
    const found = meterOhm ? steady.solve(this, [{ a: red, b: black, ohm: meterOhm }]) : this.solved;
    if (!found) return null;
    const volts = found.volts(red, black);
    if (volts === null) return { dc: 0, ac: 0, floats: true };
    let [dc, ac] = [0, 0];
    for (const [basis, one] of volts) {
      if (basis === "DC") [dc] = one;
      else ac += complex.size(one);
    }
    const clean = (value) => (Math.abs(value) < 1e-6 ? 0 : value);
    return { dc: clean(dc), ac: clean(ac), floats: false };
  }
  /* Null where there is no solution. */
  get solved() {
    this.numbers = this.numbers || { steady: steady.solve(this, []) };
    return this.numbers.steady;
  }
}
