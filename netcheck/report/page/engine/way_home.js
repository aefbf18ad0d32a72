"use strict";
/* The way of a load: from its source through it and home, over as few open contacts as can be. */

const wayHome = (() => {
  const { spread, back, OPEN } = spreading;

  /* Place by place, and in a sentence whether it is closed. */
  function of(bench, index) {
    const { model, state } = bench;
    const part = model.parts[index];
    const found = best(bench, part);
    if (!found) return { told: `${part.label}: no source of its volts is drawn to it`, steps: [] };
    const on = state.energised(index) ? ", on" : "";
    const steps = [
      ...told(bench, found.out, true),
      { words: `through ${part.label}, the load${on}`, part: index, open: false },
      ...told(bench, found.back, false),
      ...between(bench, found.feed),
    ];
    return { told: verdict(bench, index, found.feed.sources, steps), steps };
  }
  function verdict({ model, state }, index, sources, steps) {
    const { label } = model.parts[index];
    const names = sources.map((one) => model.devices[model.sources[one].device].name).join(" and ");
    if (state.energised(index)) return `${label} is on: its current comes home to ${names}.`;
    if (!sources.every((one) => state.live.has(one))) return `${label} is off: ${names} gives nothing.`;
    const open = steps.filter((step) => step.open);
    if (!open.length) return `${label} is off, though its way is closed: meter it.`;
    return `${label} is off: open at ${open.map((step) => step.at).join(", ")}.`;
  }

  // ---- the best of all ways -------------------------------------------------------------------

  /* Of all feeds whose volts it is made for, the way with least open. */
  function best(bench, part) {
    let chosen = null;
    for (const [enters, leaves] of [[part.a, part.b], [part.b, part.a]]) {
      const before = spread(bench, enters, leaves, part, true);
      const after = spread(bench, leaves, enters, part, false);
      for (const feed of feeds(bench)) {
        if (!before.has(feed.high) || !after.has(feed.low)) continue;
        if (!suits(bench, feed, part, enters === part.a ? 1 : -1)) continue;
        const cost = before.get(feed.high).cost + after.get(feed.low).cost + dearness(bench, feed);
        if (chosen && chosen.cost <= cost) continue;
        chosen = { cost, feed, out: back(before, feed.high), back: back(after, feed.low).reverse() };
      }
    }
    return chosen;
  }
  function suits({ model, state }, feed, part, way) {
    if (feed.basis === "DC" && feed.volts[0] < 0) return false;
    return state.inBand(bases.only(model, feed.basis, complex.times(feed.volts, way)), part.load);
  }
  /* One source rather than two, one that is live, current that leaves where it is not home. */
  function dearness({ state }, { sources, isHome }) {
    const dead = sources.some((one) => !state.live.has(one));
    return sources.length + (dead ? OPEN / 2 : 0) + (isHome ? 0.5 : 0);
  }

  /* Two poles between which something stands, of one source or of two in series. */
  function feeds(bench) {
    const alone = bench.model.sources.flatMap((source, index) =>
      source.poles.flatMap((high) => source.poles.filter((low) => low !== high).map((low) => ({
        high: high.t, low: low.t, volts: complex.sub(high.v, low.v), basis: source.basis,
        sources: [index], isHome: high.t === source.grounded,
      }))));
    const chained = alone.flatMap((one) => alone.filter((next) => inSeries(bench, one, next))
      .map((next) => ({
        ...one, low: next.low, volts: complex.add(one.volts, next.volts),
        sources: [...one.sources, ...next.sources], joint: [next.high, one.low],
      })));
    return [...alone, ...chained];
  }
  function inSeries({ state: { places } }, one, next) {
    return next.basis === one.basis && next.sources[0] !== one.sources[0]
      && next.volts[0] * one.volts[0] > 0
      && places.find(one.low) === places.find(next.high)
      && places.find(one.high) !== places.find(next.low);
  }
  /* From one source in series to the other. */
  function between(bench, { joint }) {
    if (!joint) return [];
    return told(bench, back(spread(bench, joint[1], -1, null, true), joint[0]), true);
  }

  // ---- in words -------------------------------------------------------------------------------

  function told(bench, way, towards) {
    return way.map(({ start, end, by }) => {
      const [from, to] = towards ? [start, end] : [end, start];
      return by.wire ? alongWire(bench.model, by.wire, from, to) : throughPart(bench, by);
    });
  }
  function alongWire(model, { n, a, b, label }, from, to) {
    const { terminals } = model;
    const wire = label.replace(` ${terminals[a]} to ${terminals[b]}`, "");
    const words = `${wire} from ${terminals[from]} to ${terminals[to]}${placeOf(model, to)}`;
    return { words, wire: n, open: false };
  }
  /* Where a terminal's device stands, if not in the panel. */
  function placeOf(model, terminal) {
    const name = model.terminals[terminal];
    const device = model.devices.find((one) => name.startsWith(`${one.name}:`));
    return device && device.at && device.at !== "panel" ? ` (${device.at})` : "";
  }
  function throughPart({ model, state, positions }, { part, index }) {
    const open = !state.isClosed(part);
    const mechanism = part.m >= 0 ? model.mechanisms[part.m] : null;
    const stands = mechanism
      ? `${mechanism.name} is ${mechanism.positions[positions[part.m]]}` : "";
    const how = (before) => (stands ? `${before} ${stands}` : "");
    return {
      words: `${open ? "OPEN HERE: " : ""}through ${part.label}${how(",")}`,
      part: index, open, at: `${part.label}${how(" while")}`,
    };
  }

  return { of };
})();
