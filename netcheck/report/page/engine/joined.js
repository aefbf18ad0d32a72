"use strict";
/* Sets of things that are one: the terminals that count as one place. */

class Joined {
  constructor(count) {
    this.parent = Int32Array.from({ length: count }, (_, at) => at);
  }
  find(item) {
    const { parent } = this;
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
