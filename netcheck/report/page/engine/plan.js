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

  /* The pairs that are metered in turn for one fault, and the faults that no pair then tells
     from it; `best` if on average over all of them no plan takes fewer. */
  function of(task, seen, target) {
    const tree = new Tree(seen, task.pairs.length);
    let left = seen.map((_, at) => at);
    const best = tree.isWhole(left);
    const steps = [];
    for (;;) {
      const parting = best ? tree.first(left) : tree.partings(left)[0];
      if (!parting) return { steps, left, best };
      steps.push(task.pairs[parting.pair]);
      left = parting.groups.find((group) => group.includes(target));
    }
  }

  /* What is best to meter first for each set of faults that readings can leave: every order of
     readings is weighed, each set once, where there are not too many. */
  class Tree {
    static MOST_SETS = 5000;

    constructor(seen, pairs) {
      this.seen = seen;
      this.pairs = pairs;
      this.known = new Map();
      this.begun = 0;
    }
    isWhole(faults) {
      this.least(faults);
      return this.begun <= Tree.MOST_SETS;
    }
    /* Readings that the best plan takes, summed over these faults. */
    least(faults) {
      const key = faults.join();
      if (!this.known.has(key)) {
        this.begun += 1;
        if (this.begun > Tree.MOST_SETS) return 0;
        this.known.set(key, this.weighed(faults));
      }
      return this.known.get(key).taken;
    }
    weighed(faults) {
      let best = { taken: 0, parting: null };
      for (const parting of this.partings(faults)) {
        const most = best.parting ? best.taken : Infinity;
        const taken = this.taken(faults.length, parting, most);
        if (taken < most) best = { taken, parting };
      }
      return best;
    }
    /* As far as it is no better than `most`. */
    taken(first, { groups }, most) {
      let taken = first;
      for (const group of groups) {
        if (taken >= most) break;
        taken += this.least(group);
      }
      return taken;
    }
    first(faults) {
      this.least(faults);
      return this.known.get(faults.join()).parting;
    }

    /* All that differ, the most even first. */
    partings(faults) {
      const found = new Map();
      for (let pair = 0; pair < this.pairs; pair += 1) {
        const groups = this.groups(faults, pair);
        const key = groups.join(";");
        if (groups.length < 2 || found.has(key)) continue;
        const rank = groups.reduce((sum, group) => sum + group.length ** 2, 0);
        found.set(key, { pair, groups, rank });
      }
      return [...found.values()].sort((one, other) => one.rank - other.rank);
    }
    /* Faults that one reading does not tell apart stand together. */
    groups(faults, pair) {
      const found = [];
      for (const at of faults) {
        const group = found.find((one) => alike(this.seen[one[0]][pair], this.seen[at][pair]));
        if (group) group.push(at);
        else found.push([at]);
      }
      return found;
    }
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
