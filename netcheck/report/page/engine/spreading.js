"use strict";
/* From a terminal to every other over as few open contacts as can be. */

const spreading = (() => {
  /* What an open contact costs, beside a step. */
  const OPEN = 1e6;

  /* What it costs to get from `start` to every terminal, and over which link it is come to.
     `barred` is never passed, nor the load itself; `against` current, or with it. */
  function spread(bench, start, barred, load, against) {
    const found = new Map([[start, { cost: 0, from: -1, by: null }]]);
    const waiting = new Heap([0, start]);
    while (waiting.length) {
      const [cost, at] = waiting.pop();
      if (cost > found.get(at).cost) continue;
      for (const link of links(bench.model).get(at) || []) {
        const { part } = link;
        const next = link.a === at ? link.b : link.a;
        if (next === barred || part === load || isAgainst(part, at, against)) continue;
        const more = cost + 1 + (part && !bench.state.isClosed(part) ? OPEN : 0);
        if (found.has(next) && found.get(next).cost <= more) continue;
        found.set(next, { cost: more, from: at, by: link });
        waiting.push([more, next]);
      }
    }
    return found;
  }
  const isAgainst = (part, at, against) =>
    Boolean(part && part.oneWay && (against ? part.b : part.a) !== at);

  /* Wires, and parts that may conduct, by their ends; worked out once. */
  function links(model) {
    if (model.links) return model.links;
    model.links = new Map();
    const add = (one) => {
      for (const end of [one.a, one.b]) {
        if (!model.links.has(end)) model.links.set(end, []);
        model.links.get(end).push(one);
      }
    };
    for (const wire of model.wires) add({ a: wire.a, b: wire.b, wire });
    model.parts.forEach((part, index) => {
      if (State.CIRCUIT.has(part.conducts)) add({ a: part.a, b: part.b, part, index });
    });
    return model.links;
  }

  /* From the terminal back to where the spreading began. */
  function back(found, at) {
    const way = [];
    while (found.get(at).by) {
      const { from, by } = found.get(at);
      way.push({ start: at, end: from, by });
      at = from;
    }
    return way;
  }

  return { OPEN, spread, back };
})();
