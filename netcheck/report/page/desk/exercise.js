"use strict";
/* Exercise: an unknown fault in the panel is looked for, metered, named, told. */

class Exercise {
  static LEVELS = ["easy", "medium", "hard"];
  static MOST_SEED = 4294967295;

  constructor(page) {
    this.page = page;
    this.data = page.model.exercise;
    this.group = group("Exercise: find the fault");
    if (this.data && this.data.tasks.length) this.group.append(...this.built());
    else this.group.append(make("p", {}, "This panel has no load for which faults are prepared."));
  }
  built() {
    this.level = make("select", { id: "drill-level" },
      ...Exercise.LEVELS.map((one) => make("option", { value: one }, one)));
    this.seed = make("input", { id: "drill-seed", type: "number", min: "0",
      max: String(Exercise.MOST_SEED), value: "1" });
    this.brief = make("div", { role: "status", "aria-live": "polite" });
    // A log: what is added is spoken, not all of it again.
    this.told = make("div", { role: "log", "aria-label": "Hints and verdict", tabindex: "-1" });
    this.named = make("select", { id: "drill-named" });
    this.tools = make("div", { class: "tools", hidden: "" },
      button("A hint", () => this.hint()), " ",
      make("p", {}, make("label", { for: "drill-named" }, "The fault is "), this.named, " ",
        button("Name it", () => this.name())),
      button("Give up", () => this.end("Given up.")));
    return [
      make("p", { class: "faint" },
        "A fault is put into the panel. Operate it, meter it, and name the fault. The drawing "
        + "then shows no voltages, and a blown fuse looks like a good one."),
      make("p", {}, make("label", { for: "drill-level" }, "Difficulty "), this.level, " ",
        make("label", { for: "drill-seed" }, "exercise number "), this.seed, " ",
        button("Begin", () => this.begin())),
      this.brief, this.tools, this.told];
  }

  begin() {
    const { page } = this;
    const given = Math.trunc(Number(this.seed.value) || 0);
    const seed = Math.max(0, Math.min(Exercise.MOST_SEED, given));
    this.now = drill.chosen(this.data, this.level.value, seed);
    this.readings = 0;
    this.hints = 0;
    this.wrong = 0;
    this.seen = null;
    this.safe = new SafeWork(page.sound);
    page.drill = this.now;
    page.model = fault.put(page.sound, this.now.trouble.edit);
    page.walk.group.hidden = true;
    page.powerUp();
    this.tellTask();
  }
  tellTask() {
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

  // ---- what the page tells --------------------------------------------------------------------

  operated(m, position) {
    if (this.page.drill) this.safe.operated(m, position);
  }
  followed(said) {
    if (this.page.drill) this.safe.followed(said);
  }
  readVolts(red, black, reading) {
    if (!this.page.drill) return;
    this.readings += 1;
    this.safe.volts(red, black, reading);
  }
  readOhms(red, black, { refused }) {
    if (!this.page.drill) return;
    if (refused) {
      this.safe.missed("refused");
      return;
    }
    this.readings += 1;
    this.safe.ohms(red, black, ohms.powered(this.page.bench));
  }

  // ---- hints and the end ----------------------------------------------------------------------

  best() {
    const { task, troubles, trouble } = this.now;
    this.seen = this.seen || plan.looks(this.page.sound, task, troubles);
    return plan.of(task, this.seen, troubles.indexOf(trouble));
  }
  hint() {
    const step = this.best().steps[this.hints];
    const { terminals } = this.page.sound;
    this.hints += 1;
    const text = step
      ? `Do what should make it work, then meter ${terminals[step[0]]} against ${terminals[step[1]]}.`
      : `It is a fault of this sort: ${this.now.trouble.sort}.`;
    this.told.append(make("p", {}, `Hint ${this.hints}: ${text}`));
  }
  name() {
    const named = this.named.value;
    const { troubles, trouble } = this.now;
    if (named === trouble.words) this.end("Right.");
    else if (this.best().left.some((at) => troubles[at].words === named)) {
      this.end("Right, as far as volts can tell.");
    } else {
      this.wrong += 1;
      this.told.append(make("p", {},
        `Not ${plain(named)}: with that the readings would be others. Go on.`));
    }
  }
  end(verdict) {
    const { page } = this;
    this.told.replaceChildren(...this.account(verdict));
    page.drill = null;
    page.model = page.sound;
    page.walk.group.hidden = false;
    this.tools.hidden = true;
    this.brief.replaceChildren();
    page.powerUp();
    this.told.focus(); // what was pressed is hidden now
  }
  account(verdict) {
    const { troubles, trouble } = this.now;
    const missed = this.safe.told;
    return [
      make("p", {}, make("strong", {}, `${verdict} The fault: ${plain(trouble.words)}.`)),
      make("p", {}, this.score()),
      make("p", {}, `Hints: ${this.hints}. Named wrongly: ${this.wrong}.`),
      make("p", {}, missed.length ? "Safe work missed:" : "Safe work: nothing missed."),
      make("ul", {}, ...missed.map((one) => make("li", {}, one)))];
  }
  /* The readings taken against those of the plan. */
  score() {
    const { steps, best } = this.best();
    const how = best ? "the best plan, the one that on average takes fewest,"
      : "a good plan, which always parts what is left most evenly,";
    return `Readings taken: ${this.readings}; of the ${this.now.troubles.length} faults that it may `
      + `be, ${how} tells this one after ${steps.length}.`;
  }
}
