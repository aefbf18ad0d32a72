"use strict";
/* Amperes through branches of nought ohm, by what must flow: known where they form a tree,
   null on a loop of them, which may share in any way. */

const idealBranches = (() => {
  /* `bare` are the branches of nought ohm, `leaving` what leaves each place through the others. */
  function amperes(branches, bare, leaving) {
    const { order, depth, above } = tree(branches, bare);
    const found = new Map();
    for (const [place, at, parent] of order.reverse()) {
      const need = leaving.get(place) || complex.NOUGHT;
      leaving.set(parent, complex.add(leaving.get(parent) || complex.NOUGHT, need));
      found.set(at, branches[at].b === place ? need : complex.times(need, -1));
    }
    for (const at of bare.filter((one) => !found.has(one))) {
      found.set(at, null);
      for (const branch of loop(branches[at], depth, above)) found.set(branch, null);
    }
    return found;
  }

  /* Every place once, each after the one it hangs on, and how deep it hangs. */
  function tree(branches, bare) {
    const met = byPlace(branches, bare);
    const order = [];
    const above = new Map();
    const depth = new Map();
    for (const start of met.keys()) {
      if (depth.has(start)) continue;
      depth.set(start, 0);
      const todo = [start];
      while (todo.length) {
        const parent = todo.pop();
        for (const at of met.get(parent)) {
          const { a, b } = branches[at];
          const place = a === parent ? b : a;
          if (depth.has(place)) continue;
          depth.set(place, depth.get(parent) + 1);
          above.set(place, [at, parent]);
          order.push([place, at, parent]);
          todo.push(place);
        }
      }
    }
    return { order, depth, above };
  }
  function byPlace(branches, bare) {
    const met = new Map();
    for (const at of bare) {
      for (const place of [branches[at].a, branches[at].b]) {
        if (!met.has(place)) met.set(place, []);
        met.get(place).push(at);
      }
    }
    return met;
  }

  /* What a branch beside the tree closes a loop with. */
  function* loop({ a, b }, depth, above) {
    while (a !== b) {
      if (depth.get(a) < depth.get(b)) [a, b] = [b, a];
      const [branch, parent] = above.get(a);
      yield branch;
      a = parent;
    }
  }

  return { amperes };
})();
