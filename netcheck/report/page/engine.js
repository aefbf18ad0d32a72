"use strict";
/* A panel that is operated by hand: what conducts, what is energised, what follows.

   Conduction is the union of what counts as wire in one state of the contacts; a load is on
   when a way without another load leads from a source of its volts through it and home.
   Relays follow their coils one at a time, in the order of the panel.  Where a coil only gets
   something through other loads, or at other volts, the numbers decide. */

const engine = (() => {
  const CIRCUIT = new Set(["joins", "contact", "one way"]);
  const MOST_MOVES = 200;
  const MOST_WAY_STEPS = 20000;
  const SHORT_SHARE = 0.25;

  class Joined {
    constructor(count) {
      this.parent = Int32Array.from({ length: count }, (_, at) => at);
    }
    find(item) {
      const parent = this.parent;
      while (parent[item] !== item) {
        parent[item] = parent[parent[item]];
        item = parent[item];
      }
      return item;
    }
    join(a, b) {
      const [x, y] = [this.find(a), this.find(b)];
      if (x !== y) this.parent[y] = x;
    }
  }

  // ---- volts, one complex number for each basis ---------------------------------------------

  const rounded = (value) => [Math.round(value[0] * 1e3) / 1e3, Math.round(value[1] * 1e3) / 1e3];
  const total = (volts) => volts.reduce((sum, one) => sum + nodal.size(one), 0);
  const isNothing = (volts) => volts.every((one) => nodal.size(one) <= 1e-2);
  const minus = (volts) => volts.map((one) => nodal.times(one, -1));

  /* One state of everything that moves, and what conducts in it. */
  class State {
    constructor(model, positions, collapsed) {
      this.model = model;
      this.positions = positions;
      this.collapsed = collapsed;
      this.places = new Joined(model.terminals.length);
      for (const wire of model.wires) this.places.join(wire.a, wire.b);
      const oneWay = [];
      for (const part of model.parts) {
        if (!CIRCUIT.has(part.conducts) || !this.isClosed(part)) continue;
        if (part.oneWay) oneWay.push(part);
        else this.places.join(part.a, part.b);
      }
      this.arcs = new Map();
      this.arcsInto = new Set();
      for (const part of oneWay) {
        const [a, b] = [this.places.find(part.a), this.places.find(part.b)];
        if (a === b) continue;
        if (!this.arcs.has(a)) this.arcs.set(a, []);
        this.arcs.get(a).push(b);
        this.arcsInto.add(b);
      }
      this.live = new Set();
      this.findLive();
    }

    isClosed(part) {
      if (part.conducts === "joins" || part.conducts === "contact") {
        return part.m < 0 || part.closed.includes(this.positions[part.m]);
      }
      return part.conducts === "one way" || part.conducts === "bond";
    }

    // ---- sources ----------------------------------------------------------------------------

    findLive() {
      const { sources } = this.model;
      const at = (m) => m < 0 || this.positions[m] === 1;
      const waiting = [];
      sources.forEach((source, index) => {
        if (this.collapsed.has(index)) return;
        if (source.inputs.length) waiting.push(index);
        else if (at(source.m)) this.live.add(index);
      });
      let grown = true;
      while (grown) {
        this.renewSteps();
        grown = false;
        for (const index of waiting) {
          const { inputs, run } = sources[index];
          if (this.live.has(index) || !at(run)) continue;
          if (inputs.every((part) => this.energised(part))) {
            this.live.add(index);
            grown = true;
          }
        }
      }
    }

    renewSteps() {
      const { sources, bases } = this.model;
      this.steps = new Map();
      this.known = new Map();
      this.on = new Map();
      for (const index of this.live) {
        const { poles, basis } = sources[index];
        for (const low of poles) {
          for (const high of poles) {
            if (low === high) continue;
            const volts = bases.map((one) =>
              one === basis ? rounded(nodal.sub(high.v, low.v)) : nodal.NOUGHT);
            const [from, to] = [this.places.find(low.t), this.places.find(high.t)];
            if (!this.steps.has(from)) this.steps.set(from, []);
            this.steps.get(from).push({ to, source: index, volts });
          }
        }
      }
    }

    /* Potentials of `to` against `from`, one for each way through sources and one-way parts. */
    ways(from, to) {
      const key = from * this.model.terminals.length + to;
      if (!this.known.has(key)) this.known.set(key, this.findWays(from, to));
      return this.known.get(key);
    }

    findWays(from, to) {
      if (!this.steps.has(to) && !this.arcsInto.has(to)) return [];
      const found = [];
      const nothing = this.model.bases.map(() => nodal.NOUGHT);
      const todo = [{ at: from, volts: nothing, seen: [from], sources: [] }];
      let left = MOST_WAY_STEPS;
      while (todo.length && left > 0) {
        const way = todo.pop();
        left -= 1;
        if (way.at === to && way.seen.length > 1) {
          if (!isNothing(way.volts)) found.push(way.volts);
          continue;
        }
        for (const step of this.steps.get(way.at) || []) {
          if (way.seen.includes(step.to) || way.sources.includes(step.source)) continue;
          todo.push({
            at: step.to,
            volts: way.volts.map((one, at) => nodal.add(one, step.volts[at])),
            seen: [...way.seen, step.to],
            sources: [...way.sources, step.source],
          });
        }
        for (const next of this.arcs.get(way.at) || []) {
          if (way.seen.includes(next)) continue;
          todo.push({ ...way, at: next, seen: [...way.seen, next] });
        }
      }
      return found;
    }

    dcOf(volts) {
      const at = this.model.bases.indexOf("DC");
      return at < 0 ? 0 : volts[at][0];
    }

    /* Volts of the load's a against its b, one for each way it is fed without another load. */
    feeds(part) {
      const [a, b] = [this.places.find(part.a), this.places.find(part.b)];
      if (a === b) return [];
      return [
        ...this.ways(b, a).filter((volts) => this.dcOf(volts) >= 0),
        ...this.ways(a, b).filter((volts) => this.dcOf(volts) > 0).map(minus),
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
      if (isNothing(volts)) return false;
      if (load.volts === null) return true;
      const kinds = new Set();
      volts.forEach((one, at) => {
        if (nodal.size(one) > 1e-2) kinds.add(this.model.bases[at] === "DC" ? "DC" : "AC");
      });
      const kind = kinds.size > 1 ? "AC and DC" : [...kinds][0];
      if (load.kind && kind !== load.kind) return false;
      if (load.polarised && kind === "DC" && this.dcOf(volts) < 0) return false;
      const amount = total(volts);
      return load.volts * load.low - 1e-6 <= amount && amount <= load.volts * load.high + 1e-6;
    }

    // ---- what only numbers tell --------------------------------------------------------------

    /* Whether a load that is not energised may get something all the same. */
    mayGet(part) {
      if (this.feeds(part).length) return true;
      const [a, b] = [this.places.find(part.a), this.places.find(part.b)];
      if (a === b) return false;
      const far = this.railsBehindLoads(b, a, part);
      return this.railsBehindLoads(a, b, part).some((p) =>
        far.some((q) => p !== q && (this.ways(q, p).length || this.ways(p, q).length)));
    }

    railsBehindLoads(from, barred, coil) {
      const found = [];
      const seen = new Set([from, barred]);
      const todo = [from];
      while (todo.length) {
        const at = todo.pop();
        if (this.steps.has(at)) {
          found.push(at);
          continue;
        }
        for (const part of this.loadsAt.get(at) || []) {
          if (part === coil) continue;
          for (const end of [this.places.find(part.a), this.places.find(part.b)]) {
            if (!seen.has(end)) {
              seen.add(end);
              todo.push(end);
            }
          }
        }
      }
      return found;
    }

    get loadsAt() {
      if (!this.foundLoads) {
        this.foundLoads = new Map();
        for (const part of this.model.parts) {
          if (part.conducts !== "load" && !part.oneWay) continue;
          for (const end of new Set([this.places.find(part.a), this.places.find(part.b)])) {
            if (!this.foundLoads.has(end)) this.foundLoads.set(end, []);
            this.foundLoads.get(end).push(part);
          }
        }
      }
      return this.foundLoads;
    }

    // ---- shorts ------------------------------------------------------------------------------

    /* The source whose poles are joined at the wrong volts, or -1. */
    shorted(live = this.live) {
      const all = new Joined(this.model.terminals.length);
      for (const wire of this.model.wires) all.join(wire.a, wire.b);
      for (const part of this.model.parts) {
        if (part.oneWay || part.conducts === "one way") continue;
        if ((CIRCUIT.has(part.conducts) || part.conducts === "bond") && this.isClosed(part)) {
          all.join(part.a, part.b);
        }
      }
      const near = new Map();
      for (const index of live) {
        const { poles, basis } = this.model.sources[index];
        const base = this.model.bases.indexOf(basis);
        for (const pole of poles.slice(1)) {
          const [a, b] = [all.find(poles[0].t), all.find(pole.t)];
          const volts = nodal.sub(pole.v, poles[0].v);
          for (const [from, to, way] of [[a, b, 1], [b, a, -1]]) {
            if (!near.has(from)) near.set(from, []);
            near.get(from).push({ to, base, volts: nodal.times(volts, way), index });
          }
        }
      }
      return this.conflictIn(near);
    }

    conflictIn(near) {
      const known = new Map();
      for (const start of near.keys()) {
        if (known.has(start)) continue;
        known.set(start, this.model.bases.map(() => nodal.NOUGHT));
        const todo = [start];
        while (todo.length) {
          const at = todo.pop();
          for (const { to, base, volts, index } of near.get(at)) {
            const there = known.get(at).map((one, basis) =>
              basis === base ? nodal.add(one, volts) : one);
            if (!known.has(to)) {
              known.set(to, there);
              todo.push(to);
              continue;
            }
            const off = known.get(to).map((one, basis) => nodal.sub(one, there[basis]));
            if (total(off) > SHORT_SHARE * nodal.size(volts) + 1e-2) return index;
          }
        }
      }
      return -1;
    }
  }

  /* The panel, with hands on it. */
  class Bench {
    constructor(model) {
      this.model = model;
      model.bases = [...new Set(model.sources.map((source) => source.basis))].sort();
      if (!model.bases.length) model.bases = ["DC"];
      this.movers = model.mechanisms
        .map((_, m) => m)
        .filter((m) => this.isMover(model.mechanisms[m]) && model.mechanisms[m].held === null);
      this.reset();
    }
    isMover({ drive }) {
      return ["coil", "on delay", "off delay", "latch"].includes(drive);
    }

    /* Everything at rest, power off. */
    reset() {
      this.positions = this.model.mechanisms.map((one) =>
        one.held === null ? one.first : one.held);
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

    // ---- operating ---------------------------------------------------------------------------

    /* Why a thing cannot be put there; empty where it can. */
    barred(m, position) {
      const mechanism = this.model.mechanisms[m];
      if (mechanism.held !== null) return `${mechanism.name} stays where it is`;
      if (this.isMover(mechanism)) return `${mechanism.name} follows its coil`;
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
        this.positions = this.positions.slice();
        this.positions[m] = next;
        this.changed();
        said.push(...this.settle());
        if (this.positions[m] !== next) break; // closed onto a short, it has opened again
      }
      return said;
    }

    settle() {
      const said = [];
      this.restless = false;
      for (let move = 0; move < MOST_MOVES; move += 1) {
        if (this.trip(said)) continue;
        const m = this.movers.find((one) => this.mustMove(one));
        if (m === undefined) return said;
        this.move(m, said);
      }
      this.restless = true;
      said.push("relays do not come to rest");
      return said;
    }
    move(m, said) {
      this.positions = this.positions.slice();
      this.positions[m] = 1 - this.positions[m];
      this.changed();
      said.push(this.model.mechanisms[m].steps[this.positions[m]]);
    }

    /* `in`, `out`, or `either` where what a coil gets is not surely enough for it. */
    verdict(index) {
      if (this.state.energised(index)) return "in";
      const part = this.model.parts[index];
      if (!part.load || !this.state.mayGet(part)) return "out";
      const reading = this.read(part.a, part.b);
      if (!reading || reading.floats || part.load.volts === null) return "either";
      const volts = Math.abs(reading.dc) + reading.ac;
      if (volts < part.load.drops) return "out";
      const kind = reading.ac >= 0.05 ? "AC" : "DC";
      const fits = !part.load.kind || part.load.kind === kind;
      const enough = volts >= part.load.volts * part.load.low * 0.999;
      return fits && enough && volts <= part.load.volts * part.load.high * 1.001 ? "in" : "either";
    }
    mustMove(m) {
      const { drive, coils, economised } = this.model.mechanisms[m];
      const isIn = this.positions[m] === 1;
      if (!isIn && this.interlockedWith(m)) return false;
      const first = this.verdict(coils[0]);
      if (drive === "latch") {
        const second = this.verdict(coils[1]);
        return isIn ? second === "in" && first === "out" : first === "in" && second === "out";
      }
      if (!isIn) return drive !== "on delay" && first === "in";
      if (drive === "off delay" || (economised && first === "either")) return false;
      return first === "out";
    }
    /* Timers that run, and what their running out will do. */
    running() {
      return this.movers.filter((m) => {
        const { drive, coils } = this.model.mechanisms[m];
        if (drive === "on delay") {
          return this.positions[m] === 0 && this.verdict(coils[0]) === "in";
        }
        return drive === "off delay" && this.positions[m] === 1 && this.verdict(coils[0]) === "out";
      });
    }
    runOut(m) {
      const said = [];
      this.collapsed = new Set();
      this.move(m, said);
      return [...said, ...this.settle()];
    }

    /* Opens what protects a shorted source, the smallest rating first; whether it did. */
    trip(said) {
      const source = this.state.shorted();
      if (source < 0) return false;
      const { mechanisms, parts } = this.model;
      const rating = new Map();
      for (const part of parts) {
        if (part.m >= 0 && part.conducts === "joins") rating.set(part.m, part.rating || Infinity);
      }
      const closed = [...rating.keys()]
        .filter((m) => mechanisms[m].drive === "protection" && mechanisms[m].held === null)
        .filter((m) => this.positions[m] === 1)
        .sort((one, other) => rating.get(one) - rating.get(other) || one - other);
      const live = this.state.live;
      for (const m of closed) {
        const positions = this.positions.slice();
        positions[m] = 0;
        if (new State(this.model, positions, this.collapsed).shorted(live) === source) continue;
        this.positions = positions;
        this.changed();
        said.push(`${mechanisms[m].name} opens: a short`);
        return true;
      }
      this.collapsed = new Set([...this.collapsed, source]);
      this.changed();
      const { device } = this.model.sources[source];
      said.push(`${this.model.devices[device].name} is shorted and nothing opens: it gives nothing`);
      return true;
    }

    // ---- numbers -----------------------------------------------------------------------------

    /* Volts of red against black on an ideal meter, or with one of so many ohm between them;
       null where there is no solution. */
    read(red, black, meterOhm = 0) {
      if (red === black) return { dc: 0, ac: 0, floats: false };
      let solved = null;
      if (meterOhm) solved = steady.solve(this, [{ a: red, b: black, ohm: meterOhm }]);
      else solved = this.numbers = this.numbers || { steady: steady.solve(this, []) };
      const found = meterOhm ? solved : solved.steady;
      if (!found) return null;
      const volts = found.volts(red, black);
      if (volts === null) return { dc: 0, ac: 0, floats: true };
      let [dc, ac] = [0, 0];
      for (const [basis, one] of volts) {
        if (basis === "DC") dc = one[0];
        else ac += nodal.size(one);
      }
      const clean = (value) => (Math.abs(value) < 1e-6 ? 0 : value);
      return { dc: clean(dc), ac: clean(ac), floats: false };
    }
  }

  return { Bench, Joined };
})();
