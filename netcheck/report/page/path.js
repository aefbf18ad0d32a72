"use strict";
/* The way of a load: from its source through it and home, over as few open contacts as can be. */

const path = (() => {
  const OPEN = 1e6;

  function home(bench, index) {
    const { model, state } = bench;
    const part = model.parts[index];
    const on = state.energised(index);
    const found = best(bench, part);
    if (!found) return { told: `${part.label}: no source of its volts is drawn to it`, steps: [] };
    const steps = [
      ...told(bench, found.out, true),
      { words: `through ${part.label}, the load${on ? ", on" : ""}`, part: index, open: false },
      ...told(bench, found.back, false),
      ...between(bench, found.feed),
    ];
    const open = steps.filter((step) => step.open);
    const { sources } = found.feed;
    const names = sources.map((one) => model.devices[model.sources[one].device].name).join(" and ");
    const live = sources.every((one) => state.live.has(one));
    let verdict = `${part.label} is on: its current comes home to ${names}.`;
    if (!on && !live) verdict = `${part.label} is off: ${names} gives nothing.`;
    else if (!on && open.length) {
      verdict = `${part.label} is off: open at ${open.map((step) => step.at).join(", ")}.`;
    } else if (!on) verdict = `${part.label} is off, though its way is closed: meter it.`;
    return { told: verdict, steps };
  }

  /* Of all feeds whose volts it is made for, the way with least open. */
  function best(bench, part) {
    const { model, state } = bench;
    let chosen = null;
    for (const [enters, leaves] of [[part.a, part.b], [part.b, part.a]]) {
      const before = spread(bench, enters, leaves, part, true);
      const after = spread(bench, leaves, enters, part, false);
      const way = enters === part.a ? 1 : -1;
      for (const feed of feeds(bench)) {
        if (!before.has(feed.high) || !after.has(feed.low)) continue;
        if (feed.basis === "DC" && feed.volts[0] < 0) continue;
        const volts = model.bases.map((basis) => (basis === feed.basis
          ? nodal.times(feed.volts, way) : nodal.NOUGHT));
        if (!state.inBand(volts, part.load)) continue;
        const dead = feed.sources.some((one) => !state.live.has(one));
        const cost = before.get(feed.high).cost + after.get(feed.low).cost + feed.sources.length
          + (dead ? OPEN / 2 : 0) + (feed.isHome ? 0.5 : 0);
        if (chosen && chosen.cost <= cost) continue;
        chosen = { cost, feed, out: back(before, feed.high), back: back(after, feed.low).reverse() };
      }
    }
    return chosen;
  }

  /* Two poles between which something stands, of one source or of two in series. */
  function feeds(bench) {
    const { model, state } = bench;
    const alone = model.sources.flatMap((source, index) =>
      source.poles.flatMap((high) => source.poles.filter((low) => low !== high).map((low) => ({
        high: high.t, low: low.t, volts: nodal.sub(high.v, low.v), basis: source.basis,
        sources: [index], isHome: high.t === source.grounded,
      }))));
    const chained = alone.flatMap((one) => alone.filter((next) => next.basis === one.basis
      && next.sources[0] !== one.sources[0] && next.volts[0] * one.volts[0] > 0
      && state.places.find(one.low) === state.places.find(next.high)
      && state.places.find(one.high) !== state.places.find(next.low)).map((next) => ({
      ...one, low: next.low, volts: nodal.add(one.volts, next.volts),
      sources: [...one.sources, ...next.sources], joint: [next.high, one.low],
    })));
    return [...alone, ...chained];
  }
  /* From one source in series to the other. */
  function between(bench, { joint }) {
    if (!joint) return [];
    return told(bench, back(spread(bench, joint[1], -1, null, true), joint[0]), true);
  }

  /* What it costs to get from a terminal to every other, a contact that is open much. */
  function spread(bench, start, barred, load, against) {
    const { state } = bench;
    const found = new Map([[start, { cost: 0, from: -1, by: null }]]);
    const heap = [[0, start]];
    while (heap.length) {
      const [cost, at] = pop(heap);
      if (cost > found.get(at).cost) continue;
      for (const link of links(bench.model).get(at) || []) {
        const next = link.a === at ? link.b : link.a;
        const { part } = link;
        if (next === barred || part === load) continue;
        if (part && part.oneWay && (against ? part.b !== at : part.a !== at)) continue;
        const more = cost + 1 + (part && !state.isClosed(part) ? OPEN : 0);
        if (found.has(next) && found.get(next).cost <= more) continue;
        found.set(next, { cost: more, from: at, by: link });
        push(heap, [more, next]);
      }
    }
    return found;
  }
  function links(model) {
    if (!model.links) {
      model.links = new Map();
      const add = (one) => {
        for (const end of [one.a, one.b]) {
          if (!model.links.has(end)) model.links.set(end, []);
          model.links.get(end).push(one);
        }
      };
      model.wires.forEach((wire) => add({ a: wire.a, b: wire.b, wire }));
      model.parts.forEach((part, index) => {
        if (["joins", "contact", "one way"].includes(part.conducts)) {
          add({ a: part.a, b: part.b, part, index });
        }
      });
    }
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

  function told(bench, way, towards) {
    const { model, state } = bench;
    return way.map((one) => {
      const [start, end] = towards ? [one.start, one.end] : [one.end, one.start];
      const to = model.terminals[end];
      const place = model.devices.find((device) => to.startsWith(`${device.name}:`));
      const where = place && place.at && place.at !== "panel" ? ` (${place.at})` : "";
      if (one.by.wire) {
        const { a, b, label } = one.by.wire;
        const wire = label.replace(` ${model.terminals[a]} to ${model.terminals[b]}`, "");
        return { words: `${wire} from ${model.terminals[start]} to ${to}${where}`,
          wire: one.by.wire.n, open: false };
      }
      const { part, index } = one.by;
      const open = !state.isClosed(part);
      const mechanism = part.m >= 0 ? model.mechanisms[part.m] : null;
      const stands = mechanism
        ? `, ${mechanism.name} is ${mechanism.positions[bench.positions[part.m]]}` : "";
      return { words: `${open ? "OPEN HERE: " : ""}through ${part.label}${stands}`,
        part: index, open, at: `${part.label}${stands.replace(",", " while")}` };
    });
  }

  function push(heap, item) {
    heap.push(item);
    for (let at = heap.length - 1; at > 0;) {
      const up = (at - 1) >> 1;
      if (heap[up][0] <= heap[at][0]) return;
      [heap[up], heap[at]] = [heap[at], heap[up]];
      at = up;
    }
  }
  function pop(heap) {
    const [first] = heap;
    const last = heap.pop();
    if (!heap.length) return first;
    heap[0] = last;
    for (let at = 0; ;) {
      let least = at;
      for (const down of [2 * at + 1, 2 * at + 2]) {
        if (down < heap.length && heap[down][0] < heap[least][0]) least = down;
      }
      if (least === at) return first;
      [heap[at], heap[least]] = [heap[least], heap[at]];
      at = least;
    }
  }

  return { home };
})();

/* What an ohmmeter shows, and why it must not be asked. */
const ohms = (() => {
  const OPEN_OHM = 1e8;
  const LEADS_OHM = 1;
  const NOUGHT_V = 0.05;

  const powered = ({ model, positions }) =>
    model.mechanisms.some((one, m) => one.drive === "source" && positions[m] === 1);

  /* Why resistance may not be measured there now; empty where it may. */
  function refused(bench, red, black) {
    const { model } = bench;
    if (!powered(bench)) return "";
    for (const terminal of [red, black]) {
      for (const source of model.sources) {
        for (const pole of source.poles) {
          const reading = bench.read(terminal, pole.t);
          if (reading && !reading.floats && words.size(reading) >= NOUGHT_V) {
            const name = model.terminals[terminal];
            return `refused: ${name} stands ${words.volts(reading)} against `
              + `${model.terminals[pole.t]}; on a live circuit the reading is false and the meter `
              + "or your hand may burn. Power off and prove it dead first.";
          }
        }
      }
    }
    return "";
  }

  function told(bench, red, black) {
    const why = refused(bench, red, black);
    if (why) return { words: why, refused: true };
    const [low, high] = [between(bench, red, black, 1e-3), between(bench, red, black, null)];
    return { words: inWords(low, high), refused: false, low, high };
  }
  function inWords(low, high) {
    if (low === null) return "open: no reading (OL)";
    const figure = (ohm) => `${Number(ohm.toPrecision(3))} ohm`;
    if (high === null) return "a winding: low ohms, not known";
    if (high - low > 0.02 * high + 0.5) return `between ${figure(low)} and ${figure(high)}`;
    return high < 50 ? `${figure(high)}; it beeps` : figure(high);
  }

  /* Ohms between two terminals; `winding` is what a winding of unknown ohms is taken for. */
  function between(bench, red, black, winding) {
    const { model, state } = bench;
    const branches = [{ a: red, b: black, ohm: [LEADS_OHM, 0], volts: [1, 0] }];
    const add = (a, b, ohm) => branches.push({ a, b, ohm: [ohm, 0], volts: nodal.NOUGHT });
    for (const wire of model.wires) add(wire.a, wire.b, wire.ohm[0]);
    for (const part of model.parts) {
      if (part.a === part.b || part.conducts === "one way") continue;
      if (part.conducts !== "load") {
        if (part.conducts !== "nothing" && state.isClosed(part)) add(part.a, part.b, 0);
        continue;
      }
      const ohm = part.cold === null ? part.draw && part.draw.ohm[0]
        : part.cold.sort === "known" ? part.cold.ohm
          : part.cold.sort === "nothing" ? null : winding;
      if (ohm) add(part.a, part.b, ohm);
    }
    if (winding !== null) for (const one of model.couplings) add(one.c, one.d, winding);
    const solution = nodal.solve(model.terminals.length, branches);
    const through = nodal.size(solution.amperes(0));
    if (through * OPEN_OHM < 1) return null;
    return Math.max(0, nodal.size(solution.volts(red, black)) / through);
  }

  return { told, powered };
})();
