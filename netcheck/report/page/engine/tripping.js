"use strict";
/* What opens when a source is shorted: the smallest rating that clears it. */

const tripping = (() => {
  /* Opens it; whether anything had to. */
  function trip(bench, said) {
    const source = shorts.shorted(bench.state);
    if (source < 0) return false;
    const m = closed(bench).find((one) => clears(bench, one, source));
    if (m === undefined) {
      bench.collapse(source);
      const { device } = bench.model.sources[source];
      const { name } = bench.model.devices[device];
      said.push(`${name} is shorted and nothing opens: it gives nothing`);
    } else {
      bench.place(m, 0);
      said.push(`${bench.model.mechanisms[m].name} opens: a short`);
    }
    return true;
  }

  /* Protective devices that can open, the smallest rating first. */
  function closed({ model, positions }) {
    const rating = new Map();
    for (const part of model.parts) {
      if (part.m >= 0 && part.opens) rating.set(part.m, part.rating || Infinity);
    }
    const canOpen = (m) => {
      return model.mechanisms[m].held === null && positions[m] === 1;
    };
    return [...rating.keys()].filter(canOpen)
      .sort((one, other) => rating.get(one) - rating.get(other) || one - other);
  }
  function clears(bench, m, source) {
    const positions = bench.positions.slice();
    positions[m] = 0;
    const without = new State(bench.model, positions, bench.collapsed);
    return shorts.shorted(without, bench.state.live) !== source;
  }

  return { trip };
})();
