"use strict";
/* Steady volts and amperes of the panel in one state.

   Sources that are not in step are solved one system at a time and superposed.  What is not
   linear is met by repeating: loads that hold their current or power, diodes, supplies that
   limit, supplies that start only when they are fed.

   A diode is ideal and stands one way for all systems at once, where AC comes perhaps otherwise in
   the one half of each cycle than in the other.  So each half is a network of its own; told is the
   mean of the two, and of DC what they rectify as well. */

const steady = (() => {
  const MOST_ROUNDS = 60;
  const CLOSE_ENOUGH = 1e-6;
  const LIMITING_OHM = 1e6;
  const BLOCKING_OHM = 1e9;
  const FORWARD = 1e-6;
  /* Of a cycle: the sign of an alternating value in each. */
  const HALVES = [1, -1];
  /* Of a sine in one half, for each volt or ampere that a meter shows. */
  const HALF_MEAN = (2 * Math.SQRT2) / Math.PI;

  /* Null where it has no solution: a dead short, or rounds that do not come to rest. */
  function solve(bench, extra) {
    try {
      return new Rounds(bench, extra).settled();
    } catch (error) {
      if (error instanceof Conflict || error instanceof nodal.Undetermined) return null;
      throw error;
    }
  }

  class Steady {
    /* `halves` of a cycle, or once of both: solutions by their basis. */
    constructor(network, halves, phases) {
      this.network = network;
      this.halves = halves;
      this.phases = phases;
    }
    get bases() {
      return [...this.halves[0].keys()];
    }
    /* Pairs of basis and volts; null where nothing fixes the difference. */
    volts(a, b) {
      const found = [];
      for (const basis of this.bases) {
        const volts = this.mean(basis, (one) => one.volts(a, b));
        if (volts === null) return null;
        found.push([basis, volts]);
      }
      return found;
    }
    sizeV(a, b) {
      return (this.volts(a, b) || []).reduce((sum, [, one]) => sum + complex.size(one), 0);
    }
    /* In one system alone. */
    sizeOfV(basis, a, b) {
      const found = (this.volts(a, b) || []).find(([one]) => one === basis);
      return found ? complex.size(found[1]) : 0;
    }
    poleA(source, pole, basis) {
      const branch = this.network.poles.get(`${source} ${pole}`);
      if (branch === undefined || !this.halves[0].has(basis)) return complex.NOUGHT;
      return this.mean(basis, (one) => one.amperes(branch)) || complex.NOUGHT;
    }

    /* Of both halves, what is rectified added to DC; null where one of them tells none. */
    mean(basis, of) {
      if (this.halves.length === 1) return of(this.halves[0].get(basis));
      const both = (one) => this.halves.map((half) => of(half.get(one)));
      const [first, second] = both(basis);
      if (first === null || second === null) return null;
      let mean = complex.times(complex.add(first, second), 1 / 2);
      for (const other of basis === "DC" ? this.bases : []) {
        if (other === "DC") continue;
        const [one, two] = both(other);
        if (one === null || two === null) return null;
        const along = complex.along(complex.sub(one, two), this.phases.get(other) || [1, 0]);
        mean = complex.add(mean, [(HALF_MEAN / 2) * along, 0]);
      }
      return mean;
    }
    /* Volts across a diode that blocks, amperes through one that conducts, by their basis; nothing
       where they are not known. */
    ofDiode(part, index, half, blocks) {
      const solutions = this.halves[half % this.halves.length];
      const branch = this.network.parts.get(index);
      const found = new Map();
      for (const [basis, one] of solutions) {
        const value = blocks ? one.volts(part.a, part.b) : one.amperes(branch);
        if (value === null) return new Map();
        found.set(basis, value);
      }
      return found;
    }
  }

  class Rounds {
    constructor(bench, extra) {
      const { model, state } = bench;
      Object.assign(this, { model, state });
      this.extra = [...extra, ...leaks(model, state), ...idle(model)];
      this.coupled = new Set();
      const first = new Set(model.couplings.map((one) => one.first));
      model.sources.forEach((source, at) => {
        if (source.inputs.some((part) => first.has(part))) this.coupled.add(at);
      });
      const at = (m) => m < 0 || bench.positions[m] === 1;
      this.allowed = new Set(model.sources.map((_, index) => index).filter((index) => {
        const { m, run } = model.sources[index];
        return at(m >= 0 ? m : run) && !bench.collapsed.has(index);
      }));
      const converted = new Set(model.conversions.map((one) => one.source));
      this.live = new Set([...this.allowed].filter(
        (index) => !converted.has(index) && !this.coupled.has(index)));
      this.ohms = new Map();
      model.parts.forEach((part, index) => {
        if (part.draw && part.a !== part.b) this.ohms.set(index, part.draw.ohm);
      });
      this.limits = new Map(model.conversions.map((one) => [one.source, one.limit]));
      this.limiting = new Set();
      const diodes = model.parts.map((_, index) => index)
        .filter((index) => model.parts[index].conducts === "one way");
      this.blocking = HALVES.map(() => new Set(diodes));
      /* Of the AC that turned a diode first: its halves are the halves. */
      this.phases = new Map();
    }
    settled() {
      for (let round = 0; round < MOST_ROUNDS; round += 1) {
        const found = this.solved();
        if (!this.moved(found)) return found;
      }
      return null;
    }
    solved() {
      const bases = new Set([...this.live].map((index) => this.model.sources[index].basis));
      if (!bases.size) bases.add("DC");
      const halves = this.unlikeHalves();
      if (halves > 1) bases.add("DC");
      const solved = [];
      let network = null;
      for (let half = 0; half < halves; half += 1) {
        const solutions = new Map();
        for (const basis of [...bases].sort()) {
          network = this.network(basis, half);
          solutions.set(basis, nodal.solve(
            this.model.terminals.length + this.model.sources.length,
            network.branches, this.windings()));
        }
        solved.push(solutions);
      }
      return new Steady(network, solved, this.phases);
    }
    unlikeHalves() {
      const [first, second] = this.blocking;
      const alike = first.size === second.size && [...first].every((one) => second.has(one));
      return alike ? 1 : HALVES.length;
    }
    network(basis, half) {
      const branches = [];
      const parts = new Map();
      const poles = new Map();
      const add = (a, b, ohm, volts = complex.NOUGHT) => branches.push({ a, b, ohm, volts }) - 1;
      for (const wire of this.model.wires) {
        add(wire.a, wire.b, basis === "DC" ? [wire.ohm[0], 0] : wire.ohm);
      }
      this.model.parts.forEach((part, index) => {
        const ohm = this.ohmOf(part, index, basis, half);
        if (ohm) parts.set(index, add(part.a, part.b, ohm));
      });
      for (const index of this.live) {
        const source = this.model.sources[index];
        source.poles.forEach((pole, at) => {
          const [volts, ohm] = this.driven(index, pole.v, source.basis === basis);
          poles.set(`${index} ${at}`, add(
            pole.t, this.model.terminals.length + index, ohm, volts));
        });
      }
      for (const one of this.extra) add(one.a, one.b, [one.ohm, 0]);
      return { branches, parts, poles };
    }
    driven(index, potential, isOwn) {
      if (complex.isNought(potential)) return [complex.NOUGHT, complex.NOUGHT];
      const limit = this.limits.get(index);
      if (isOwn && this.limiting.has(index) && limit) {
        const factor = (limit * LIMITING_OHM) / complex.size(potential);
        return [complex.times(potential, factor), [LIMITING_OHM, 0]];
      }
      return [isOwn ? potential : complex.NOUGHT, this.model.sources[index].ohm];
    }
    ohmOf(part, index, basis, half) {
      if (part.conducts === "one way") {
        return this.blocking[half].has(index) ? [BLOCKING_OHM, 0] : complex.NOUGHT;
      }
      if (part.conducts === "load") {
        const ohm = this.ohms.get(index);
        if (!ohm) return null;
        return basis === "DC" ? [ohm[0], 0] : ohm;
      }
      if (part.conducts === "nothing") return null;
      return this.state.isClosed(part) ? complex.NOUGHT : null;
    }
    windings() {
      return this.model.couplings.map((one) => {
        const { a, b } = this.model.parts[one.first];
        return { a, b, c: one.c, d: one.d, ratio: one.ratio, ohm: one.ohm };
      });
    }

    // ---- from round to round ------------------------------------------------------------------

    moved(found) {
      if (this.turnDiodes(found) || this.switchSupplies(found) || this.limit(found)) return true;
      let changed = false;
      this.model.parts.forEach((part, index) => {
        if (!this.ohms.has(index) || !part.draw || part.draw.holds === "ohm") return;
        changed = this.redraw(found, part, index) || changed;
      });
      for (const one of this.model.conversions) changed = this.takeIn(found, one) || changed;
      return changed;
    }
    turnDiodes(found) {
      return HALVES.map((_, half) => this.turnOne(found, half)).some(Boolean);
    }
    turnOne(found, half) {
      const blocking = this.blocking[half];
      for (let index = 0; index < this.model.parts.length; index += 1) {
        const part = this.model.parts[index];
        if (part.conducts !== "one way") continue;
        const blocks = blocking.has(index);
        const values = found.ofDiode(part, index, half, blocks);
        const mean = this.meanOf(values, half);
        if ((blocks ? mean : -mean) <= FORWARD) continue;
        for (const [basis, value] of values) {
          if (basis === "DC" || complex.isNought(value) || this.phases.has(basis)) continue;
          this.phases.set(basis, complex.times(value, 1 / complex.size(value)));
        }
        if (blocks) blocking.delete(index);
        else blocking.add(index);
        return true;
      }
      return false;
    }
    /* In that half of a cycle.  Of which half a value is that lags is told by its sign; as long as
       AC has turned no diode any is of the first. */
    meanOf(values, half) {
      let total = 0;
      for (const [basis, value] of values) {
        const sign = complex.along(value, this.phases.get(basis) || value) < 0 ? -1 : 1;
        if (basis === "DC") total += value[0];
        else total += HALVES[half] * HALF_MEAN * sign * complex.size(value);
      }
      return total;
    }
    switchSupplies(found) {
      let changed = false;
      for (const { source } of this.model.conversions) {
        const wanted = this.allowed.has(source) && this.isFed(found, source);
        if (wanted === this.live.has(source)) continue;
        changed = true;
        if (wanted) this.live.add(source);
        else this.live.delete(source);
      }
      return changed;
    }
    isFed(found, source) {
      const { inputs } = this.model.sources[source];
      return inputs.every((part) => this.hasItsVolts(found, this.model.parts[part]));
    }
    hasItsVolts(found, part) {
      const volts = found.sizeV(part.a, part.b);
      if (!part.load || part.load.volts === null) return volts > 0;
      const { volts: rated, low, high } = part.load;
      return rated * low <= volts && volts <= rated * high * (1 + CLOSE_ENOUGH);
    }
    limit(found) {
      for (const [index, limit] of this.limits) {
        if (!this.live.has(index) || limit === null) continue;
        if (this.limiting.has(index)) {
          if (this.outputV(found, index) > this.nominalV(index) * (1 + CLOSE_ENOUGH)) {
            this.limiting.delete(index);
            return true;
          }
        } else if (this.mostA(found, index) > limit * (1 + CLOSE_ENOUGH)) {
          this.limiting.add(index);
          return true;
        }
      }
      return false;
    }
    outputV(found, index) {
      const [high, low] = this.model.sources[index].poles;
      return found.sizeOfV(this.model.sources[index].basis, high.t, low.t);
    }
    nominalV(index) {
      const [first, second] = this.model.sources[index].poles;
      return complex.size(complex.sub(first.v, second.v));
    }
    lifted(index) {
      return this.model.sources[index].poles
        .map((pole, at) => ({ at, volts: complex.size(pole.v) }))
        .filter(({ volts }) => volts > 0);
    }
    mostA(found, index) {
      return Math.max(0, ...this.lifted(index).map(({ at }) => this.givenA(found, index, at)));
    }
    /* In its own system; direct current that comes in is not given. */
    givenA(found, index, at) {
      const { basis, poles } = this.model.sources[index];
      const amperes = complex.times(found.poleA(index, at, basis), -1);
      if (basis === "DC" && complex.along(amperes, poles[at].v) < 0) return 0;
      return complex.size(amperes);
    }
    givenW(found, index) {
      const share = this.outputV(found, index) / this.nominalV(index);
      return share * this.lifted(index)
        .reduce((sum, { at, volts }) => sum + volts * this.givenA(found, index, at), 0);
    }
    redraw(found, part, index) {
      const { ohm, volts, least, holds } = part.draw;
      const share = Math.max(found.sizeV(part.a, part.b) / volts, least);
      const factor = holds === "current" ? share : share * share;
      return this.changes(index, complex.times(ohm, factor));
    }
    takeIn(found, { source, input, efficiency, idle: idleW }) {
      const part = this.model.parts[input];
      const volts = found.sizeV(part.a, part.b);
      let watts = idleW;
      if (this.live.has(source)) {
        watts += this.givenW(found, source) / efficiency;
      }
      if (!volts || !watts) return false;
      return this.changes(input, [(volts * volts) / watts, 0]);
    }
    changes(index, wanted) {
      const before = this.ohms.get(index);
      this.ohms.set(index, wanted);
      if (!before) return true;
      const most = Math.max(complex.size(wanted), complex.size(before));
      return complex.size(complex.sub(wanted, before)) > CLOSE_ENOUGH * most;
    }
  }

  function leaks(model, state) {
    return model.parts
      .filter((part) => part.leak && !state.isClosed(part))
      .map((part) => ({ a: part.a, b: part.b, ohm: part.leak }));
  }
  function idle(model) {
    return model.couplings.map((one) => {
      const { a, b } = model.parts[one.first];
      return { a, b, ohm: model.idleOhm };
    });
  }

  return { solve };
})();
