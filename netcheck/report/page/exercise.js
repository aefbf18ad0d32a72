"use strict";
/* An unknown fault to look for: chosen by difficulty and number, metered, named, told. */

const drill = (() => {
  /* The panel with the fault in it. */
  function applied(model, edit) {
    const out = new Set(edit.wiresOut);
    const moved = new Map();
    for (const [n, leaves, to] of edit.moved) {
      if (!moved.has(n)) moved.set(n, new Map());
      moved.get(n).set(leaves, to);
    }
    const wires = model.wires.filter((wire) => !out.has(wire.n)).map((wire) => {
      const ends = moved.get(wire.n);
      if (!ends) return wire;
      const end = (t) => (ends.has(t) ? ends.get(t) : t);
      return { ...wire, a: end(wire.a), b: end(wire.b) };
    });
    const parts = model.parts.map((part, at) => {
      if (edit.dead.includes(at)) return { ...part, b: part.a };
      if (!edit.opened.includes(at)) return part;
      const moves = part.conducts === "contact" || part.m >= 0;
      return moves ? { ...part, closed: [] } : { ...part, conducts: "nothing" };
    });
    for (const [a, b, ohm] of edit.joints) {
      const draw = { ohm: [ohm, 0], volts: 1, holds: "ohm", least: 0.7 };
      parts.push({
        a, b, conducts: ohm ? "load" : "joins", m: -1, closed: [], oneWay: false, load: null,
        leak: null, cold: null, rating: null, draw: ohm ? draw : null, label: "", device: 0,
      });
    }
    const shares = new Map(edit.volts);
    const sources = model.sources.map((source, at) => {
      if (!shares.has(at)) return source;
      const poles = source.poles.map((p) => ({ ...p, v: nodal.times(p.v, shares.get(at)) }));
      return { ...source, poles };
    });
    const couplings = model.couplings.map((one) => {
      const share = [...shares].find(([at]) => model.sources[at].inputs.includes(one.first));
      return share ? { ...one, ratio: one.ratio * share[1] } : one;
    });
    return { ...model, wires, parts, sources, couplings, links: null };
  }

  /* The same numbers from the same seed, here and in the program: Numerical Recipes' quick
     generator of 32 bits, the upper ones of which are taken. */
  function* numbers(seed) {
    let state = seed >>> 0;
    for (;;) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      yield state >>> 8;
    }
  }
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
      if (!bench.isMover(bench.model.mechanisms[m])) bench.put(m, position);
      else if (bench.running().includes(m) && bench.positions[m] !== position) bench.runOut(m);
    }
    return bench;
  }

  /* What a meter shows at every pair of points with each of the faults in turn. */
  function looks(model, task, troubles) {
    return troubles.map((one) => {
      const bench = run(new engine.Bench(applied(model, one.edit)), task.moves);
      return task.pairs.map(([red, black]) => bench.read(red, black));
    });
  }
  /* Whether a meter tells two readings apart; what floats may show nought. */
  function alike(one, other) {
    const shown = (reading) => (reading && !reading.floats ? reading : { dc: 0, ac: 0 });
    const [p, q] = [shown(one), shown(other)];
    const most = Math.max(Math.abs(p.dc) + p.ac, Math.abs(q.dc) + q.ac);
    const room = Math.max(0.5, 0.15 * most);
    return Math.abs(p.dc - q.dc) <= room && Math.abs(p.ac - q.ac) <= room;
  }
  function groups(left, seen, pair) {
    const found = [];
    for (const at of left) {
      const group = found.find((one) => alike(seen[one[0]][pair], seen[at][pair]));
      if (group) group.push(at);
      else found.push([at]);
    }
    return found;
  }
  /* The readings of a plan that always parts what is left most evenly, and what they leave. */
  function plan(task, seen, target) {
    let left = seen.map((_, at) => at);
    const steps = [];
    for (;;) {
      let best = null;
      task.pairs.forEach((pair, at) => {
        const found = groups(left, seen, at);
        const rank = found.reduce((sum, group) => sum + group.length ** 2, 0);
        if (found.length > 1 && (!best || rank < best.rank)) best = { rank, found, pair };
      });
      if (!best) return { steps, left };
      steps.push(best.pair);
      left = best.found.find((group) => group.includes(target));
    }
  }

  /* What wire alone joins, and which of it to a terminal of a source. */
  function sources(model) {
    const joined = new engine.Joined(model.terminals.length);
    for (const wire of model.wires) joined.join(wire.a, wire.b);
    const names = new Set(model.sources.map((one) => model.devices[one.device].name));
    const ofSources = new Set();
    model.terminals.forEach((name, at) => {
      if (names.has(name.slice(0, name.lastIndexOf(":")))) ofSources.add(joined.find(at));
    });
    return { joined, ofSources };
  }

  return { applied, chosen, run, looks, plan, sources };
})();

const SAFE = {
  refused: "asked for ohms on a live circuit",
  powered: "measured ohms with a source still on: off by a contactor or stop is not isolated",
  unproved: "measured ohms where it had not been proved dead: "
    + "volts from each point to ground or a pole of the source first",
  unknown: "trusted a dead reading of a meter that had not shown a known live source before",
  reclosed: "closed again onto a short that had just been opened",
};

class Exercise {
  constructor(page) {
    this.page = page;
    this.data = page.model.exercise;
    this.group = page.group("Exercise: find the fault");
    if (!this.data || !this.data.tasks.length) {
      this.group.append(make("p", {}, "This panel has no load for which faults are prepared."));
      return;
    }
    this.level = make("select", { id: "drill-level" },
      ...["easy", "medium", "hard"].map((one) => make("option", { value: one }, one)));
    this.seed = make("input", { id: "drill-seed", type: "number", min: "0", max: "4294967295",
      value: "1" });
    this.brief = make("div", { role: "status", "aria-live": "polite" });
    this.tools = make("div", { class: "tools" });
    this.tools.hidden = true;
    this.named = make("select", { id: "drill-named" });
    this.told = make("div", { role: "status", "aria-live": "polite" });
    const button = (text, does) => make("button", { type: "button", does }, text);
    this.tools.append(
      button("A hint", () => this.hint()), " ",
      make("p", {}, make("label", { for: "drill-named" }, "The fault is "), this.named, " ",
        button("Name it", () => this.name())),
      button("Give up", () => this.finish("")));
    this.group.append(
      make("p", { class: "faint" },
        "A fault is put into the panel. Operate it, meter it, and name the fault. The drawing "
        + "then shows no voltages, and a blown fuse looks like a good one."),
      make("p", {}, make("label", { for: "drill-level" }, "Difficulty "), this.level, " ",
        make("label", { for: "drill-seed" }, "number "), this.seed, " ",
        button("Begin", () => this.begin())),
      this.brief, this.tools, this.told);
  }

  begin() {
    const { page, data } = this;
    const seed = Math.max(0, Math.min(4294967295, Math.trunc(Number(this.seed.value) || 0)));
    this.now = drill.chosen(data, this.level.value, seed);
    this.readings = 0;
    this.hints = 0;
    this.misses = new Map();
    this.dead = new Set();
    this.opened = new Set();
    this.meterShown = false;
    this.seen = null;
    this.sources = drill.sources(page.sound);
    page.drill = this.now;
    page.model = drill.applied(page.sound, this.now.trouble.edit);
    page.wayGroup.hidden = true;
    page.powerUp();
    const { task, troubles } = this.now;
    this.brief.replaceChildren(
      make("p", {}, make("strong", {}, make("bdi", {}, plain(task.name)),
        " does not work as it should.")),
      make("p", {}, `It should after: ${plain(task.steps.join("; "))}.`));
    const names = troubles.map((one) => one.words).sort();
    this.named.replaceChildren(...names.map((one) => make("option", { value: one }, plain(one))));
    this.told.replaceChildren();
    this.tools.hidden = false;
  }

  // ---- what the page tells ----------------------------------------------------------------------

  operated(m, position) {
    if (!this.page.drill) return;
    this.dead.clear();
    if (position === 1 && this.opened.has(m)) this.missed("reclosed");
  }
  followed(said) {
    if (!this.page.drill) return;
    this.page.model.mechanisms.forEach((one, m) => {
      if (said.includes(`${one.name} opens: a short`)) this.opened.add(m);
    });
  }
  missed(what) {
    this.misses.set(what, (this.misses.get(what) || 0) + 1);
  }
  read(red, black, dial, told) {
    if (!this.page.drill) return;
    if (told && told.refused) {
      this.missed("refused");
      return;
    }
    this.readings += 1;
    if (dial === "volts") {
      const reading = this.page.bench.read(red, black);
      if (words.size(reading) >= 0.5) this.meterShown = true;
      else this.provedDead(red, black);
      return;
    }
    if (ohms.powered(this.page.bench)) this.missed("powered");
    else if (!this.dead.has(red) || !this.dead.has(black)) this.missed("unproved");
    else if (!this.meterShown) this.missed("unknown");
  }
  /* Nought between two points of one pole proves nothing: one lead must stand on what wire alone
     joins to a source. */
  provedDead(red, black) {
    const { joined, ofSources } = this.sources;
    for (const [one, other] of [[red, black], [black, red]]) {
      if (ofSources.has(joined.find(other))) this.dead.add(one);
    }
  }

  // ---- hints and the end --------------------------------------------------------------------------

  best() {
    const { task, troubles, trouble } = this.now;
    this.seen = this.seen || drill.looks(this.page.sound, task, troubles);
    return drill.plan(task, this.seen, troubles.indexOf(trouble));
  }
  hint() {
    const { steps } = this.best();
    const { terminals } = this.page.sound;
    const step = steps[this.hints];
    this.hints += 1;
    const text = step
      ? `Do what should make it work, then meter ${terminals[step[0]]} against ${terminals[step[1]]}.`
      : `It is a fault of this sort: ${this.now.trouble.sort}.`;
    this.told.append(make("p", {}, `Hint ${this.hints}: ${text}`));
  }
  name() {
    this.finish(this.named.value);
  }
  finish(named) {
    const { page } = this;
    const { troubles, trouble } = this.now;
    const { steps, left } = this.best();
    const same = left.some((at) => troubles[at].words === named);
    if (named && named !== trouble.words && !same) {
      this.told.append(make("p", {},
        `Not ${plain(named)}: with that the readings would be others. Go on.`));
      this.wrong = (this.wrong || 0) + 1;
      return;
    }
    const verdict = !named ? "Given up." : named === trouble.words ? "Right."
      : "Right, as far as volts can tell.";
    const missed = [...this.misses].map(([what, times]) => make("li", {},
      `${SAFE[what]}${times > 1 ? `, ${times} times` : ""}`));
    this.told.replaceChildren(
      make("p", {}, make("strong", {}, `${verdict} The fault: ${plain(trouble.words)}.`)),
      make("p", {}, `Readings taken: ${this.readings}; a plan that parts the ${troubles.length} `
        + `faults it may be most evenly takes ${steps.length}. Hints: ${this.hints}. `
        + `Named wrongly: ${this.wrong || 0}.`),
      make("p", {}, missed.length ? "Safe work missed:" : "Safe work: nothing missed."),
      make("ul", {}, ...missed));
    this.wrong = 0;
    page.drill = null;
    page.model = page.sound;
    page.wayGroup.hidden = false;
    this.tools.hidden = true;
    this.brief.replaceChildren();
    page.powerUp();
  }
}
