"use strict";
/* Which readings tell the faults of an exercise apart. */

const plan = (() => {
  const SHOWN_V = 0.5;
  const LIKE = 0.15;

  /* What a meter shows at every pair of points with each of the faults in turn. */
  function looks(model, task, troubles) {
    return troubles.map((one) => {
      const bench = drill.run(new Bench(fault.put(model, one.edit)), task.moves);
      return task.pairs.map(([red, black]) => bench.read(red, black));
    });
  }

  /* The readings of a plan that always parts what is left most evenly, and what they leave. */
  function of(task, seen, target) {
    let left = seen.map((_, at) => at);
    const steps = [];
    for (;;) {
      const best = mostEven(task, seen, left);
      if (!best) return { steps, left };
      steps.push(best.pair);
      left = best.found.find((group) => group.includes(target));
    }
  }
  function mostEven(task, seen, left) {
    let best = null;
    task.pairs.forEach((pair, at) => {
      const found = groups(left, seen, at);
      const rank = found.reduce((sum, group) => sum + group.length ** 2, 0);
      if (found.length > 1 && (!best || rank < best.rank)) best = { rank, found, pair };
    });
    return best;
  }

  /* Faults that one reading does not tell apart stand together. */
  function groups(left, seen, pair) {
    const found = [];
    for (const at of left) {
      const group = found.find((one) => alike(seen[one[0]][pair], seen[at][pair]));
      if (group) group.push(at);
      else found.push([at]);
    }
    return found;
  }
  /* Whether a meter does not tell two readings apart; what floats may show nought. */
  function alike(one, other) {
    const shown = (reading) => (reading && !reading.floats ? reading : { dc: 0, ac: 0 });
    const [p, q] = [shown(one), shown(other)];
    const room = Math.max(SHOWN_V, LIKE * Math.max(words.size(p), words.size(q)));
    return Math.abs(p.dc - q.dc) <= room && Math.abs(p.ac - q.ac) <= room;
  }

  return { looks, of };
})();
