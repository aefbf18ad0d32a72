"use strict";
/* Complex numbers as pairs: [re, im]. */

const complex = (() => {
  const NOUGHT = [0, 0];
  const add = (p, q) => [p[0] + q[0], p[1] + q[1]];
  const sub = (p, q) => [p[0] - q[0], p[1] - q[1]];
  const mul = (p, q) => [p[0] * q[0] - p[1] * q[1], p[0] * q[1] + p[1] * q[0]];
  const times = (p, factor) => [p[0] * factor, p[1] * factor];
  const size = (p) => Math.hypot(p[0], p[1]);
  const over = (p, q) => {
    const square = q[0] * q[0] + q[1] * q[1];
    return [(p[0] * q[0] + p[1] * q[1]) / square, (p[1] * q[0] - p[0] * q[1]) / square];
  };
  /* Of p as much as lies in the direction of q, times its size. */
  const along = (p, q) => p[0] * q[0] + p[1] * q[1];
  const isNought = (p) => p[0] === 0 && p[1] === 0;

  return { NOUGHT, add, sub, mul, times, size, over, along, isNought };
})();
