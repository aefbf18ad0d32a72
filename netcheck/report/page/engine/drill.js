"use strict";
/* One unknown fault to look for, chosen by difficulty and number. */

const drill = (() => {
  /* The same numbers from the same seed, here and in the program: Numerical Recipes' quick
     generator of 32 bits, the upper ones of which are taken. */
  function* numbers(seed) {
    let state = seed >>> 0;
    for (;;) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      yield state >>> 8;
    }
  }
  /* Every load as likely as another, then every sort of fault, then every fault of it. */
  function chosen(data, level, seed) {
    const next = numbers(seed);
    const pick = (list) => list[next.next().value % list.length];
    const task = pick(data.tasks);
    const troubles = task[level].map((at) => data.troubles[at]);
    const sort = pick([...new Set(troubles.map((one) => one.sort))]);
    return { task, troubles, trouble: pick(troubles.filter((one) => one.sort === sort)) };
  }

  /* Puts everything where the load should work; timers run out where that is part of it. */
  function run(bench, moves) {
    for (const [m, position] of moves) {
      if (!coils.moves(bench.model.mechanisms[m])) bench.put(m, position);
      else if (bench.running().includes(m) && bench.positions[m] !== position) bench.runOut(m);
    }
    return bench;
  }

  return { chosen, run };
})();
