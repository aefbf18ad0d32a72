"use strict";
/* Volts and amperes of a linear network at one frequency, in complex numbers [re, im].

   Written for the page and held equal to the program's own solution.  Places are merged where
   branches of nought ohm join them; the rest is eliminated, the place with the fewest
   neighbours first, so that a panel, which is close to a tree, leaves almost no fill-in. */

const nodal = (() => {
  const { NOUGHT, add, sub, mul, times, size, over, isNought } = complex;
  const NEGLIGIBLE = 1e-12;

  class Undetermined extends Error {}

  /* A symmetric system of equations, one for each root of the levels. */
  class System {
    constructor(levels, parts, met) {
      this.levels = levels;
      this.parts = parts;
      this.rows = new Map();
      this.right = new Map();
      this.scale = new Map();
      for (const place of met) {
        const root = levels.root(place);
        if (this.rows.has(root)) continue;
        this.rows.set(root, new Map([[root, NOUGHT]]));
        this.right.set(root, NOUGHT);
        this.scale.set(root, 0);
      }
    }
    /* A current of `siemens` times (the shares of the places' potentials less `volts`). */
    add(share, siemens, volts) {
      const byRoot = new Map();
      for (const [place, factor] of share) {
        const [root, above] = this.levels.find(place);
        byRoot.set(root, (byRoot.get(root) || 0) + factor);
        volts = sub(volts, times(above, factor));
      }
      for (const [root, factor] of byRoot) {
        this.right.set(root, add(this.right.get(root), mul(times(siemens, factor), volts)));
        this.scale.set(root, this.scale.get(root) + factor * factor * size(siemens));
        const row = this.rows.get(root);
        for (const [other, second] of byRoot) {
          row.set(other, add(row.get(other) || NOUGHT, times(siemens, factor * second)));
        }
      }
    }
    solved() {
      const references = this.references();
      for (const place of references) {
        for (const other of this.rows.get(place).keys()) {
          if (other !== place) this.rows.get(other).delete(place);
        }
        this.rows.delete(place);
      }
      const order = this.eliminated();
      const potentials = new Map();
      for (const place of references) potentials.set(place, NOUGHT);
      for (const [place, row] of order.reverse()) {
        let rest = this.right.get(place);
        for (const [other, y] of row) {
          if (other !== place) rest = sub(rest, mul(y, potentials.get(other)));
        }
        potentials.set(place, over(rest, row.get(place)));
      }
      return potentials;
    }
    eliminated() {
      const order = [];
      const waiting = [];
      const wait = (place) => {
        const length = this.rows.get(place).size;
        (waiting[length] = waiting[length] || []).push(place);
        least = Math.min(least, length);
      };
      let least = 0;
      for (const place of this.rows.keys()) wait(place);
      let left = this.rows.size;
      while (left > 0) {
        if (!waiting[least] || waiting[least].length === 0) {
          least += 1;
          continue;
        }
        const place = waiting[least].pop();
        const row = this.rows.get(place);
        if (!row || row.size !== least) continue;
        for (const other of this.eliminate(place, row)) wait(other);
        order.push([place, row]);
        left -= 1;
      }
      return order;
    }
    eliminate(place, row) {
      const pivot = row.get(place);
      if (size(pivot) <= NEGLIGIBLE * this.scale.get(place)) throw new Undetermined();
      this.rows.delete(place);
      const touched = [];
      for (const [other, y] of row) {
        if (other === place) continue;
        const factor = over(y, pivot);
        this.right.set(other, sub(this.right.get(other), mul(factor, this.right.get(place))));
        const target = this.rows.get(other);
        target.delete(place);
        for (const [third, z] of row) {
          if (third !== place) {
            target.set(third, sub(target.get(third) || NOUGHT, mul(factor, z)));
          }
        }
        touched.push(other);
      }
      return touched;
    }
    /* Of each part the place with the most that leads there: least is lost to rounding. */
    references() {
      const best = new Map();
      for (const place of this.rows.keys()) {
        const part = this.parts.root(place);
        if (!best.has(part) || this.scale.get(place) > this.scale.get(best.get(part))) {
          best.set(part, place);
        }
      }
      return new Set(best.values());
    }
  }

  /* Branches: {a, b, ohm, volts}, from a to b with a source that lifts a above b.
     Windings: {a, b, c, d, ratio, ohm}, v(c, d) = ratio * v(a, b) unloaded. */
  function solve(count, branches, windings = []) {
    const levels = new Levels(count);
    const parts = new Levels(count);
    const met = new Set();
    for (const one of branches) {
      met.add(one.a).add(one.b);
      if (isNought(one.ohm)) levels.join(one.a, one.b, one.volts);
    }
    for (const one of windings) met.add(one.a).add(one.b).add(one.c).add(one.d);
    const system = new System(levels, parts, met);
    const together = (a, b) => {
      const [x, y] = [parts.root(levels.root(a)), parts.root(levels.root(b))];
      if (x !== y) parts.parent[x] = y;
    };
    for (const one of branches) {
      if (isNought(one.ohm) || one.a === one.b) continue;
      system.add([[one.a, 1], [one.b, -1]], over([1, 0], one.ohm), one.volts);
      together(one.a, one.b);
    }
    for (const one of windings) {
      const share = [[one.a, one.ratio], [one.b, -one.ratio], [one.c, -1], [one.d, 1]];
      system.add(share, over([1, 0], one.ohm), NOUGHT);
      together(one.a, one.b);
      together(one.c, one.d);
    }
    return new Solution(branches, windings, levels, parts, met, system.solved());
  }

  class Solution {
    constructor(branches, windings, levels, parts, met, potentials) {
      Object.assign(this, { branches, windings, levels, parts, met, potentials });
      this.bare = null;
    }
    /* Volts of a against b; null where nothing joins them: the difference floats. */
    volts(a, b) {
      if (!this.met.has(a) || !this.met.has(b)) return a === b ? NOUGHT : null;
      const root = (place) => this.parts.root(this.levels.root(place));
      return root(a) === root(b) ? this.across(a, b) : null;
    }
    across(a, b) {
      const [rootA, aboveA] = this.levels.find(a);
      const [rootB, aboveB] = this.levels.find(b);
      return sub(
        add(this.potentials.get(rootA), aboveA), add(this.potentials.get(rootB), aboveB));
    }
    /* Amperes from a to b through a branch; null where ideal branches share unknown. */
    amperes(branch) {
      const one = this.branches[branch];
      if (isNought(one.ohm)) {
        this.bare = this.bare || this.withoutOhm();
        return this.bare.get(branch);
      }
      return over(sub(this.across(one.a, one.b), one.volts), one.ohm);
    }
    withoutOhm() {
      const leaving = new Map();
      const leave = (place, amperes) =>
        leaving.set(place, add(leaving.get(place) || NOUGHT, amperes));
      const bare = [];
      this.branches.forEach((one, at) => {
        if (isNought(one.ohm)) {
          bare.push(at);
          return;
        }
        const amperes = this.amperes(at);
        leave(one.a, amperes);
        leave(one.b, times(amperes, -1));
      });
      for (const one of this.windings) {
        const second = over(
          sub(times(this.across(one.a, one.b), one.ratio), this.across(one.c, one.d)), one.ohm);
        leave(one.a, times(second, one.ratio));
        leave(one.b, times(second, -one.ratio));
        leave(one.c, times(second, -1));
        leave(one.d, second);
      }
      return idealBranches.amperes(this.branches, bare, leaving);
    }
  }

  return { solve, Undetermined };
})();
