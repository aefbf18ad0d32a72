"use strict";
/* Volts as a panel has them: one complex number for each basis, DC and each AC system. */

const bases = (() => {
  const LEAST_V = 1e-2;

  const of = (model) => {
    const found = [...new Set(model.sources.map((source) => source.basis))].sort();
    return found.length ? found : ["DC"];
  };
  const rounded = (value) => [Math.round(value[0] * 1e3) / 1e3, Math.round(value[1] * 1e3) / 1e3];
  const nothing = (model) => model.bases.map(() => complex.NOUGHT);
  const only = (model, basis, volts) =>
    model.bases.map((one) => (one === basis ? volts : complex.NOUGHT));
  const plus = (p, q) => p.map((one, at) => complex.add(one, q[at]));
  const minus = (volts) => volts.map((one) => complex.times(one, -1));
  const total = (volts) => volts.reduce((sum, one) => sum + complex.size(one), 0);
  /* The most at any moment: systems that are not in step meet with their peaks at some. */
  const most = (model, volts) => volts.reduce((sum, one, at) =>
    sum + (model.bases[at] === "DC" ? one[0] : Math.SQRT2 * complex.size(one)), 0);
  const isNothing = (volts) => volts.every((one) => complex.size(one) <= LEAST_V);
  const dc = (model, volts) => {
    const at = model.bases.indexOf("DC");
    return at < 0 ? 0 : volts[at][0];
  };
  /* `DC`, `AC` or both. */
  const kind = (model, volts) => {
    const kinds = new Set();
    volts.forEach((one, at) => {
      if (complex.size(one) > LEAST_V) kinds.add(model.bases[at] === "DC" ? "DC" : "AC");
    });
    return kinds.size > 1 ? "AC and DC" : [...kinds][0];
  };

  return { LEAST_V, of, rounded, nothing, only, plus, minus, total, most, isNothing, dc, kind };
})();
