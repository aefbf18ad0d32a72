"use strict";
/* Sources whose poles are joined at the wrong volts. */

const shorts = (() => {
  /* Two sources side by side that differ by more than this share are a short. */
  const SHARE = 0.25;

  /* One that is shorted in this state, of those that are live; -1 where none is. */
  function shorted(state, live = state.live) {
    const near = neighbours(state.model, joined(state), live);
    const known = new Map();
    for (const start of near.keys()) {
      if (known.has(start)) continue;
      known.set(start, bases.nothing(state.model));
      const found = conflictFrom(start, near, known);
      if (found >= 0) return found;
    }
    return -1;
  }

  /* As in the state, bonds to ground too. */
  function joined(state) {
    const all = new Joined(state.model.terminals.length);
    for (const wire of state.model.wires) all.join(wire.a, wire.b);
    for (const part of state.model.parts) {
      if (part.oneWay || part.conducts === "one way") continue;
      const conducts = State.CIRCUIT.has(part.conducts) || part.conducts === "bond";
      if (conducts && state.isClosed(part)) all.join(part.a, part.b);
    }
    return all;
  }

  /* From each pole of a source to the others. */
  function neighbours(model, places, live) {
    const near = new Map();
    const add = (from, step) => {
      if (!near.has(from)) near.set(from, []);
      near.get(from).push(step);
    };
    for (const index of live) {
      const { poles: [first, ...others], basis } = model.sources[index];
      for (const pole of others) {
        const [a, b] = [places.find(first.t), places.find(pole.t)];
        const volts = complex.sub(pole.v, first.v);
        const step = (to, way) =>
          ({ to, index, size: complex.size(volts),
            volts: bases.only(model, basis, complex.times(volts, way)) });
        add(a, step(b, 1));
        add(b, step(a, -1));
      }
    }
    return near;
  }

  /* Gives every place that sources lead to its volts; the source that gives one a second. */
  function conflictFrom(start, near, known) {
    const todo = [start];
    while (todo.length) {
      const at = todo.pop();
      for (const { to, volts, size, index } of near.get(at)) {
        const there = bases.plus(known.get(at), volts);
        if (!known.has(to)) {
          known.set(to, there);
          todo.push(to);
          continue;
        }
        const off = bases.total(bases.plus(known.get(to), bases.minus(there)));
        if (off > SHARE * size + bases.LEAST_V) return index;
      }
    }
    return -1;
  }

  return { shorted };
})();
