"use strict";
/* Sources whose poles are joined at the wrong volts. */

const shorts = (() => {
  /* Two sources side by side that differ by more than this share are a short. */
  const SHARE = 0.25;
  /* What rounding leaves between two ways of one voltage, at most. */
  const LEAST_FORWARD_V = 1e-6;

  /* One that is shorted in this state, of those that are live; -1 where none is. */
  function shorted(state, live = state.live) {
    const places = joined(state);
    const { conflict, held } = heldBy(state.model, places, live);
    if (conflict >= 0) return conflict;
    const passed = passedForwards(state, places, held);
    for (const [first, second] of passed) places.join(first, second);
    return passed.length ? heldBy(state.model, places, live).conflict : -1;
  }

  /* Every place that sources hold: its volts, and where the piece of them begins that it is in;
     and a source that contradicts the others, -1 where none does. */
  function heldBy(model, places, live) {
    const near = neighbours(model, places, live);
    const held = new Map();
    let conflict = -1;
    for (const start of near.keys()) {
      if (held.has(start)) continue;
      held.set(start, { volts: bases.nothing(model), piece: start });
      const found = conflictFrom(start, near, held);
      if (conflict < 0) conflict = found;
    }
    return { conflict, held };
  }

  /* Pairs of such places, current from the first of which reaches the second through diodes at one
     moment of the cycle at least.  A bridge, whose ways all lead to a place that no source holds,
     passes nothing; of two pieces that only diodes join nothing is known. */
  function passedForwards(state, places, held) {
    const beside = new Map();
    for (const part of state.model.parts) {
      if (part.conducts !== "one way") continue;
      const [a, b] = [places.find(part.a), places.find(part.b)];
      if (a === b) continue;
      if (!beside.has(a)) beside.set(a, []);
      beside.get(a).push(b);
    }
    const found = [];
    for (const first of beside.keys()) {
      if (!held.has(first)) continue;
      for (const second of metFirst(first, beside, held)) {
        const [from, to] = [held.get(first), held.get(second)];
        if (from.piece !== to.piece) continue;
        const apart = bases.plus(from.volts, bases.minus(to.volts));
        if (bases.most(state.model, apart) > LEAST_FORWARD_V) found.push([first, second]);
      }
    }
    return found;
  }
  function metFirst(first, beside, held) {
    const seen = new Set([first]);
    const met = [];
    const todo = [...beside.get(first)];
    while (todo.length) {
      const at = todo.pop();
      if (seen.has(at)) continue;
      seen.add(at);
      if (held.has(at)) met.push(at);
      else todo.push(...(beside.get(at) || []));
    }
    return met;
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
  function conflictFrom(start, near, held) {
    const todo = [start];
    while (todo.length) {
      const at = todo.pop();
      for (const { to, volts, size, index } of near.get(at)) {
        const there = bases.plus(held.get(at).volts, volts);
        if (!held.has(to)) {
          held.set(to, { volts: there, piece: start });
          todo.push(to);
          continue;
        }
        const off = bases.total(bases.plus(held.get(to).volts, bases.minus(there)));
        if (off > SHARE * size + bases.LEAST_V) return index;
      }
    }
    return -1;
  }

  return { shorted };
})();
