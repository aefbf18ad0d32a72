"use strict";
/* What an ohmmeter shows, and why it must not be asked. */

const ohms = (() => {
  const OPEN_OHM = 1e8;
  const LEADS_OHM = 1;
  const NOUGHT_V = 0.05;

  const powered = ({ model, positions }) =>
    model.mechanisms.some((one, m) => one.drive === "source" && positions[m] === 1);

  function told(bench, red, black) {
    const why = refused(bench, red, black);
    if (why) return { words: why, refused: true };
    const [low, high] = [between(bench, red, black, 1e-3), between(bench, red, black, null)];
    return { words: inWords(low, high), refused: false, low, high };
  }

  /* Why resistance may not be measured there now; empty where it may. */
  function refused(bench, red, black) {
    const live = powered(bench) && liveAt(bench, [red, black]);
    if (!live) return "";
    const { terminals } = bench.model;
    return `refused: ${terminals[live.terminal]} stands ${words.volts(live.reading)} against `
      + `${terminals[live.pole]}; on a live circuit the reading is false and the meter `
      + "or your hand may burn. Power off and prove it dead first.";
  }
  /* The first of the terminals that stands at volts against a pole of a source. */
  function liveAt(bench, terminals) {
    const poles = bench.model.sources.flatMap((source) => source.poles.map((one) => one.t));
    for (const terminal of terminals) {
      for (const pole of poles) {
        const reading = bench.read(terminal, pole);
        if (reading && !reading.floats && words.size(reading) >= NOUGHT_V) {
          return { terminal, pole, reading };
        }
      }
    }
    return null;
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
    const { model } = bench;
    const solution = nodal.solve(model.terminals.length, [
      { a: red, b: black, ohm: [LEADS_OHM, 0], volts: [1, 0] },
      ...branches(bench, winding),
    ]);
    const through = complex.size(solution.amperes(0));
    if (through * OPEN_OHM < 1) return null;
    return Math.max(0, complex.size(solution.volts(red, black)) / through);
  }
  function* branches({ model, state }, winding) {
    const branch = (a, b, ohm) => ({ a, b, ohm: [ohm, 0], volts: complex.NOUGHT });
    for (const wire of model.wires) yield branch(wire.a, wire.b, wire.ohm[0]);
    for (const part of model.parts) {
      if (part.a === part.b || part.conducts === "one way") continue;
      const ohm = part.conducts === "load" ? coldOhm(part, winding) : closedOhm(part, state);
      if (ohm !== null) yield branch(part.a, part.b, ohm);
    }
    if (winding !== null) for (const one of model.couplings) yield branch(one.c, one.d, winding);
  }
  const closedOhm = (part, state) =>
    (part.conducts !== "nothing" && state.isClosed(part) ? 0 : null);
  function coldOhm({ cold, draw }, winding) {
    if (cold === null) return (draw && draw.ohm[0]) || null;
    if (cold.sort === "known") return cold.ohm || null;
    return cold.sort === "nothing" ? null : winding;
  }

  return { told, powered };
})();
