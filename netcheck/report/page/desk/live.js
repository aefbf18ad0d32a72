"use strict";
/* The live page: what is operated, what follows, and who tells it.

   What is told by a tint is told by the pattern and weight of a line, and in words, as well. */

class LivePage {
  constructor(root, model) {
    this.root = root;
    this.model = shown(model);
    this.sound = model;
    this.drill = null;
    this.bench = new Bench(model);
    this.status = make("p", { class: "status", role: "status", "aria-live": "polite" });
    this.alarm = make("p", { class: "alarm", role: "alert" });
    this.controls = new Controls(this);
    this.loads = new Loads(this);
    this.meter = new Meter(this);
    this.walk = new Walk(this);
    this.trainer = new Exercise(this);
    this.sheets = new Sheets(this);
    this.build();
    this.powerUp();
  }

  build() {
    this.stop = make("p", { class: "stop" });
    this.bar = make("div", { class: "bar" },
      this.controls.stops, this.stop, this.status, this.alarm);
    const side = make("div", { class: "side" }, this.above(), ...this.controls.groups,
      this.loads.group);
    const bench = make("div", { class: "bench" },
      this.meter.group, this.walk.group, this.trainer.group);
    this.root.append(this.bar, make("div", { class: "desk" }, this.sheets.figure, side, bench));
  }
  /* What stands above the controls: only some of them, and back to the beginning. */
  above() {
    this.filter = make("input", { type: "search", id: "live-filter", autocomplete: "off" });
    this.filter.addEventListener("input", () => this.sift());
    return make("p", { class: "sift" }, make("label", { for: "live-filter" }, "Show only "),
      this.filter, " ", button("Everything to rest, power on", () => this.powerUp()));
  }
  sift() {
    const wanted = this.filter.value.trim().toLowerCase();
    for (const row of this.root.querySelectorAll(".control, .loads li")) {
      row.hidden = wanted !== "" && !row.textContent.toLowerCase().includes(wanted);
    }
  }

  // ---- operating ------------------------------------------------------------------------------

  powerUp() {
    this.bench = new Bench(this.model);
    const said = this.controls.bySort.source.flatMap((m) => this.bench.put(m, 1));
    this.trainer.followed(said);
    this.tell([], "Everything at rest, power on", said);
  }
  /* What is told comes `after` what was told before. */
  put(m, position, after = "") {
    const why = this.bench.barred(m, position);
    if (why) {
      say(this.status, `Not possible: ${why}.`);
      return;
    }
    this.moved = Date.now();
    const before = this.loads.names;
    this.trainer.operated(m, position);
    const said = this.bench.put(m, position);
    this.trainer.followed(said);
    const done = this.model.mechanisms[m].steps[position] || this.controls.called(m);
    this.tell(before, plain(done), said, after);
  }
  letGo(m) {
    this.put(m, 0, this.status.textContent);
  }
  get hasJustMoved() {
    return Date.now() - this.moved <= 300;
  }
  runOut(m) {
    const before = this.loads.names;
    const said = this.bench.runOut(m);
    this.tell(before, `${this.model.mechanisms[m].name} runs out`, said);
  }
  /* From where it stands to its next place. */
  turnOn(m) {
    if (!this.controls.rows.has(m) || this.controls.isTimer(m)) return;
    const { resting } = this.model.mechanisms[m];
    const at = resting.indexOf(this.bench.positions[m]);
    this.put(m, resting[(at + 1) % resting.length]);
  }

  // ---- telling --------------------------------------------------------------------------------

  tell(before, done, said, after = "") {
    this.walk.here.setAttribute("aria-live", "off");
    this.controls.tell();
    this.loads.tell();
    this.bar.classList.toggle("stopped", this.controls.stopped.length > 0);
    say(this.stop, this.controls.stopped.map((name) => `STOPPED: ${name}`).join(", "));
    const told = said.filter((one) => one && !(this.drill && this.hides(one)));
    const sentences = [done, ...told, ...this.changes(before)].join("; ").replace(/\.$/, "");
    say(this.status, `${after} ${sentences}.`.trim());
    const alarms = told.filter((one) => /short|rest/.test(one));
    if (alarms.length || !after) say(this.alarm, alarms.join("; "));
    if (this.drill) say(this.meter.reading, "the panel has moved: read again");
    else this.meter.measure(false);
    this.walk.tell();
    this.sheets.colour();
  }
  changes(before) {
    const now = this.loads.names;
    const come = now.filter((name) => !before.includes(name));
    const gone = before.filter((name) => !now.includes(name));
    return [
      ...(come.length ? [`on: ${come.join(", ")}`] : []),
      ...(gone.length ? [`off: ${gone.join(", ")}`] : []),
    ];
  }
  /* A fuse blows unseen. */
  hides(said) {
    return this.model.mechanisms.some(
      (one, m) => this.controls.isFuse(m) && said.startsWith(`${one.name} `));
  }
}

/* The model with every name as it is shown. */
function shown(model) {
  for (const list of [model.devices, model.mechanisms, model.parts]) {
    for (const one of list) {
      for (const key of ["name", "said", "at", "label"]) if (one[key]) one[key] = plain(one[key]);
    }
  }
  return model;
}
