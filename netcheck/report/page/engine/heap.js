"use strict";
/* What is waiting with what it costs, the cheapest first: pairs of cost and thing. */

class Heap {
  constructor(...items) {
    this.items = [];
    for (const item of items) this.push(item);
  }
  get length() {
    return this.items.length;
  }
  push(item) {
    const { items } = this;
    items.push(item);
    for (let at = items.length - 1; at > 0;) {
      const up = (at - 1) >> 1;
      if (items[up][0] <= items[at][0]) return;
      [items[up], items[at]] = [items[at], items[up]];
      at = up;
    }
  }
  pop() {
    const { items } = this;
    const [first] = items;
    const last = items.pop();
    if (items.length) {
      items[0] = last;
      this.sink();
    }
    return first;
  }
  sink() {
    const { items } = this;
    for (let at = 0; ;) {
      let least = at;
      for (const down of [2 * at + 1, 2 * at + 2]) {
        if (down < items.length && items[down][0] < items[least][0]) least = down;
      }
      if (least === at) return;
      [items[at], items[least]] = [items[least], items[at]];
      at = least;
    }
  }
}
