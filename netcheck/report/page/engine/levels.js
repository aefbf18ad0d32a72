"use strict";
/* Sets of places, each a fixed number of volts above its set's root. */

/* One place at two voltages. */
class Conflict extends Error {}

class Levels {
  static SAME = 1e-9;

  constructor(count) {
    this.parent = Int32Array.from({ length: count }, (_, at) => at);
    this.above = new Array(count).fill(complex.NOUGHT);
  }
  root(place) {
    return this.find(place)[0];
  }
  find(place) {
    const way = [];
    while (this.parent[place] !== place) {
      way.push(place);
      place = this.parent[place];
    }
    let above = complex.NOUGHT;
    for (let at = way.length - 1; at >= 0; at -= 1) {
      above = complex.add(above, this.above[way[at]]);
      this.parent[way[at]] = place;
      this.above[way[at]] = above;
    }
    return [place, above];
  }
  /* Raises Conflict. */
  join(a, b, volts = complex.NOUGHT) {
    const { add, sub, size } = complex;
    const [rootA, aboveA] = this.find(a);
    const [rootB, aboveB] = this.find(b);
    const wanted = sub(add(volts, aboveB), aboveA);
    if (rootA === rootB) {
      if (size(wanted) > Levels.SAME * Math.max(1, size(volts))) throw new Conflict();
      return;
    }
    this.parent[rootA] = rootB;
    this.above[rootA] = wanted;
  }
}
