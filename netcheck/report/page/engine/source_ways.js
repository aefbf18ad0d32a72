"use strict";
/* What stands between two places through sources that are live and what lets current one way. */

class SourceWays {
  static MOST_STEPS = 20000;

  constructor(model, places, arcs, live) {
    this.model = model;
    this.arcs = arcs;
    this.arcsInto = new Set([...arcs.values()].flat());
    this.steps = new Map();
    this.known = new Map();
    for (const index of live) this.addSource(places, index);
  }
  /* A step from each of its poles to each other. */
  addSource(places, index) {
    const { poles, basis } = this.model.sources[index];
    for (const low of poles) {
      for (const high of poles) {
        if (low === high) continue;
        const volts = bases.only(
          this.model, basis, bases.rounded(complex.sub(high.v, low.v)));
        const [from, to] = [places.find(low.t), places.find(high.t)];
        if (!this.steps.has(from)) this.steps.set(from, []);
        this.steps.get(from).push({ to, source: index, volts });
      }
    }
  }

  /* Potentials of `to` against `from`, one for each way through sources and one-way parts. */
  between(from, to) {
    const key = from * this.model.terminals.length + to;
    if (!this.known.has(key)) this.known.set(key, this.find(from, to));
    return this.known.get(key);
  }
  find(from, to) {
    if (!this.steps.has(to) && !this.arcsInto.has(to)) return [];
    const found = [];
    const todo = [{ at: from, volts: bases.nothing(this.model), seen: [from], sources: [] }];
    for (let left = SourceWays.MOST_STEPS; todo.length && left > 0; left -= 1) {
      const way = todo.pop();
      if (way.at !== to || way.seen.length === 1) todo.push(...this.longer(way));
      else if (!bases.isNothing(way.volts)) found.push(way.volts);
    }
    return found;
  }
  *longer(way) {
    for (const { to, source, volts } of this.steps.get(way.at) || []) {
      if (way.seen.includes(to) || way.sources.includes(source)) continue;
      yield {
        at: to,
        volts: bases.plus(way.volts, volts),
        seen: [...way.seen, to],
        sources: [...way.sources, source],
      };
    }
    for (const to of this.arcs.get(way.at) || []) {
      if (!way.seen.includes(to)) yield { ...way, at: to, seen: [...way.seen, to] };
    }
  }
}
