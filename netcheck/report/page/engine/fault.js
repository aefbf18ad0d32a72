"use strict";
/* The panel with a fault in it. */

const fault = (() => {
  function put(model, edit) {
    return {
      ...model,
      wires: wires(model, edit),
      parts: [...parts(model, edit), ...edit.joints.map(joint)],
      sources: sources(model, new Map(edit.volts)),
      couplings: couplings(model, edit.volts),
      links: null,
    };
  }

  function wires(model, { wiresOut, moved }) {
    const out = new Set(wiresOut);
    const ends = new Map();
    for (const [n, leaves, to] of moved) {
      if (!ends.has(n)) ends.set(n, new Map());
      ends.get(n).set(leaves, to);
    }
    return model.wires.filter((wire) => !out.has(wire.n)).map((wire) => {
      const of = ends.get(wire.n);
      if (!of) return wire;
      const end = (t) => (of.has(t) ? of.get(t) : t);
      return { ...wire, a: end(wire.a), b: end(wire.b) };
    });
  }
  function parts(model, { dead, opened }) {
    return model.parts.map((part, at) => {
      if (dead.includes(at)) return { ...part, b: part.a };
      if (!opened.includes(at)) return part;
      const moves = part.conducts === "contact" || part.m >= 0;
      return moves ? { ...part, closed: [] } : { ...part, conducts: "nothing" };
    });
  }
  /* Of nought ohm as good as a wire, of more a bad joint. */
  function joint([a, b, ohm]) {
    const draw = { ohm: [ohm, 0], volts: 1, holds: "ohm", least: 0.7 };
    return {
      a, b, conducts: ohm ? "load" : "joins", m: -1, closed: [], oneWay: false, load: null,
      leak: null, cold: null, opens: false, rating: null, draw: ohm ? draw : null, label: "",
      device: 0,
    };
  }
  function sources(model, shares) {
    return model.sources.map((source, at) => {
      if (!shares.has(at)) return source;
      const poles = source.poles.map((p) => ({ ...p, v: complex.times(p.v, shares.get(at)) }));
      return { ...source, poles };
    });
  }
  function couplings(model, volts) {
    return model.couplings.map((one) => {
      const share = volts.find(([at]) => model.sources[at].inputs.includes(one.first));
      return share ? { ...one, ratio: one.ratio * share[1] } : one;
    });
  }

  return { put };
})();
