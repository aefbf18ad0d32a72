"use strict";
/* The live page: controls, what is on, the meter, the way home, and the drawing that shows it.

   What is told by a tint is told by the pattern and weight of a line, and in words, as well. */

class LivePage {
  constructor(root, model) {
    this.root = root;
    this.model = model;
    this.sound = model;
    this.drill = null;
    this.step = 0;
    this.lead = "red";
    for (const list of [model.devices, model.mechanisms, model.parts]) {
      for (const one of list) {
        for (const key of ["name", "said", "at", "label"]) if (one[key]) one[key] = plain(one[key]);
      }
    }
    // What a meter of 10 megohm itself pulls down: leakage, a diode that blocks, an idle winding.
    this.hasSoft = model.couplings.length > 0
      || model.parts.some((part) => part.leak || part.conducts === "one way");
    this.bench = new engine.Bench(model);
    this.bySort = this.sorted();
    this.build();
    this.powerUp();
  }

  // ---- what is there --------------------------------------------------------------------------

  sorted() {
    const sorts = { stop: [], hand: [], process: [], output: [], protection: [], source: [], timer: [] };
    this.model.mechanisms.forEach((one, m) => {
      const { kind } = this.model.devices[one.device];
      if (one.held !== null) return;
      if (kind === "emergency stop" || kind === "pull-cord switch") sorts.stop.push(m);
      else if (one.drive === "on delay" || one.drive === "off delay") sorts.timer.push(m);
      else if (sorts[one.drive]) sorts[one.drive].push(m);
    });
    return sorts;
  }
  deviceOf(m) {
    return this.model.devices[this.model.mechanisms[m].device];
  }
  called(m) {
    const { said } = this.deviceOf(m);
    const { name } = this.model.mechanisms[m];
    return said ? `${name} ${said}` : name;
  }

  powerUp() {
    this.bench = new engine.Bench(this.model);
    const said = this.bySort.source.flatMap((m) => this.bench.put(m, 1));
    this.trainer.followed(said);
    this.update([], "Everything at rest, power on", said);
  }

  // ---- building -------------------------------------------------------------------------------

  build() {
    this.status = make("p", { class: "status", role: "status", "aria-live": "polite" });
    this.alarm = make("p", { class: "alarm", role: "alert" });
    this.rows = new Map();
    const bar = make("div", { class: "bar" },
      make("div", { class: "stops" }, ...this.bySort.stop.map((m) => this.control(m))),
      this.status, this.alarm);
    const side = make("div", { class: "side" }, ...this.controls(), this.loads());
    const bench = make("div", { class: "bench" }, this.meter(), this.way(), this.exercise());
    this.root.append(bar, make("div", { class: "desk" }, this.sheet(), side, bench));
  }

  group(title, ...contents) {
    const made = make("details", { class: "group" }, make("summary", {}, title), ...contents);
    made.open = true;
    return made;
  }

  controls() {
    const titles = {
      source: "Power", hand: "Buttons and selectors", process: "Process: floats, limits, overloads",
      output: "Controller outputs", timer: "Timers", protection: "Breakers, fuses, disconnects",
    };
    this.filter = make("input", { type: "search", id: "live-filter", autocomplete: "off" });
    this.filter.addEventListener("input", () => this.sift());
    const again = make("button", { type: "button", does: () => this.powerUp() },
      "Everything to rest, power on");
    const groups = Object.entries(titles).filter(([sort]) => this.bySort[sort].length)
      .map(([sort, title]) => {
        const made = this.group(title, ...this.bySort[sort].map((m) => this.control(m)));
        made.open = sort === "hand" || this.bySort[sort].length <= 12;
        return made;
      });
    return [make("p", { class: "sift" }, make("label", { for: "live-filter" }, "Show only "),
      this.filter, " ", again), ...groups];
  }
  sift() {
    const wanted = this.filter.value.trim().toLowerCase();
    for (const row of this.root.querySelectorAll(".control, .loads li")) {
      row.hidden = wanted !== "" && !row.textContent.toLowerCase().includes(wanted);
    }
  }

  /* One thing that can be moved: its name, where it stands, and a button for each place. */
  control(m) {
    const mechanism = this.model.mechanisms[m];
    const label = `live-name-${m}`;
    const stands = make("span", { class: "stands" });
    const row = make("div", { class: "control", role: "group", "aria-labelledby": label },
      make("span", { id: label, class: "name" }, this.called(m)), " ", stands, " ");
    const buttons = new Map();
    if (this.isTimer(m)) {
      const button = make("button", { type: "button", does: () => this.runOut(m) }, "Let it run out");
      buttons.set("runs out", button);
      row.append(button);
    } else if (this.deviceOf(m).kind === "button") {
      const press = make("button", { type: "button" }, "Press");
      this.momentary(press, m);
      const hold = make("button", { type: "button", "aria-pressed": "false",
        does: () => this.put(m, this.bench.positions[m] === this.pressed(m) ? 0 : this.pressed(m)) },
      "Hold");
      buttons.set("press", press).set("hold", hold);
      row.append(press, hold);
    } else {
      if (!this.isFuse(m)) row.classList.add("places");
      for (const position of mechanism.resting) {
        const button = make("button", { type: "button", "aria-pressed": "false",
          does: () => this.put(m, position) }, plain(this.positionWord(m, position)));
        buttons.set(position, button);
        row.append(button);
      }
    }
    this.rows.set(m, { row, stands, buttons });
    return row;
  }
  isTimer(m) {
    return this.bySort.timer.includes(m);
  }
  isFuse(m) {
    return this.deviceOf(m).kind === "fuse";
  }
  positionWord(m, position) {
    const { drive, positions } = this.model.mechanisms[m];
    if (drive === "source") return position ? "on" : "off";
    if (this.isFuse(m)) return position ? "in" : "pulled";
    return positions[position];
  }
  pressed(m) {
    return this.model.mechanisms[m].positions.length - 1;
  }
  /* Down while the finger or key is down; a click from anything else presses and lets go. */
  momentary(button, m) {
    let down = false;
    const press = () => {
      if (down) return;
      down = true;
      this.put(m, this.pressed(m));
    };
    const release = () => {
      if (!down) return;
      down = false;
      this.put(m, 0, this.status.textContent);
    };
    button.addEventListener("pointerdown", press);
    for (const name of ["pointerup", "pointerleave", "pointercancel", "blur"]) {
      button.addEventListener(name, release);
    }
    button.addEventListener("keydown", (event) => {
      if (event.key === " " || event.key === "Enter") press();
    });
    button.addEventListener("keyup", release);
    button.addEventListener("click", (event) => {
      if (event.detail === 0 && !down && Date.now() - this.moved > 300) {
        press();
        release();
      }
    });
  }

  loads() {
    this.loadRows = new Map();
    const list = make("ul", { class: "loads" });
    this.model.devices.forEach((device, at) => {
      const parts = device.parts.filter((part) => {
        const { load, spare, a, b } = this.model.parts[part];
        return load && !spare && a !== b;
      });
      if (!parts.length) return;
      const told = make("span", { class: "told" });
      const name = device.said ? `${device.name} ${device.said}` : device.name;
      const row = make("li", {}, make("span", { class: "name" }, name), " ", told);
      list.append(row);
      this.loadRows.set(at, { row, told, parts });
    });
    return this.group("Loads: what is on", list);
  }

  meter() {
    const list = make("datalist", { id: "live-terminals" },
      ...this.model.terminals.filter((name) => !name.includes(":("))
        .map((name) => make("option", { value: name })));
    const lead = (colour, word) => {
      const input = make("input", { id: `live-${colour}`, list: "live-terminals",
        autocomplete: "off", spellcheck: "false" });
      input.addEventListener("change", () => this.measure(false));
      this[colour] = input;
      return make("p", {}, make("label", { for: `live-${colour}` }, word), " ", input);
    };
    this.dial = make("select", { id: "live-dial" },
      make("option", { value: "volts" }, "volts"), make("option", { value: "ohms" }, "ohms"));
    this.dial.addEventListener("change", () => this.measure(false));
    this.reading = make("output", { class: "reading", "aria-live": "polite" }, "no leads placed");
    return this.group("Meter",
      make("p", { class: "faint" },
        "Name two terminals, or choose them on the drawing: red first, then black."),
      list, lead("red", "Red lead on"), lead("black", "Black lead on"),
      make("p", {}, make("label", { for: "live-dial" }, "Dial on"), " ", this.dial, " ",
        make("button", { type: "button", does: () => this.measure(true) }, "Read")),
      this.reading);
  }

  way() {
    this.chosen = make("select", { id: "live-load" });
    for (const [at, { parts }] of this.loadRows) {
      for (const part of parts) {
        const { name, said } = this.model.devices[at];
        const label = parts.length > 1 ? this.model.parts[part].label : name;
        this.chosen.append(make("option", { value: part }, said ? `${label}, ${said}` : label));
      }
    }
    this.chosen.addEventListener("change", () => this.walkTo(0));
    this.steps = make("ol", { class: "way", tabindex: "0", "aria-label": "Place by place" });
    this.verdict = make("p", {});
    this.here = make("p", { class: "here", role: "status", "aria-live": "polite" });
    this.wayGroup = this.group("The way home",
      make("p", {}, make("label", { for: "live-load" }, "Of "), this.chosen), this.verdict,
      make("p", {},
        make("button", { type: "button", does: () => this.walkTo(this.step - 1) }, "Back"), " ",
        make("button", { type: "button", does: () => this.walkTo(this.step + 1) }, "Next place")),
      this.here, this.steps);
    return this.wayGroup;
  }

  exercise() {
    this.trainer = new Exercise(this);
    return this.trainer.group;
  }

  // ---- operating --------------------------------------------------------------------------------

  /* Put it there; what is told comes `after` what was told before. */
  put(m, position, after = "") {
    const why = this.bench.barred(m, position);
    if (why) {
      say(this.status, `Not possible: ${why}.`);
      return;
    }
    this.moved = Date.now();
    const before = this.onNow();
    this.trainer.operated(m, position);
    const said = this.bench.put(m, position);
    const step = this.model.mechanisms[m].steps[position];
    this.trainer.followed(said);
    this.update(before, plain(step || this.called(m)), said, after);
  }
  runOut(m) {
    const before = this.onNow();
    const said = this.bench.runOut(m);
    this.update(before, `${this.model.mechanisms[m].name} runs out`, said);
  }
  onNow() {
    return [...this.loadRows].filter(([, { parts }]) =>
      parts.some((part) => this.bench.state.energised(part))).map(([at]) => at);
  }

  // ---- telling ----------------------------------------------------------------------------------

  update(before, done, said = [], after = "") {
    for (const [m, row] of this.rows) this.tellControl(m, row);
    for (const [at, row] of this.loadRows) this.tellLoad(at, row);
    const now = this.onNow();
    const names = (list) => list.map((at) => this.model.devices[at].name).join(", ");
    const gone = before.filter((at) => !now.includes(at));
    const come = now.filter((at) => !before.includes(at));
    const told = said.filter((one) => one && !(this.drill && this.hides(one)));
    const sentences = [done, ...told];
    if (come.length) sentences.push(`on: ${names(come)}`);
    if (gone.length) sentences.push(`off: ${names(gone)}`);
    say(this.status, `${after} ${sentences.join("; ").replace(/\.$/, "")}.`.trim());
    const alarms = told.filter((one) => /short|rest/.test(one));
    if (alarms.length || !after) say(this.alarm, alarms.join("; "));
    this.colour();
    if (!this.drill) {
      this.measure(false);
      this.walk(this.step);
    } else say(this.reading, "the panel has moved: read again");
  }
  /* A fuse blows unseen. */
  hides(said) {
    return this.model.mechanisms.some((one, m) => this.isFuse(m) && said.startsWith(`${one.name} `));
  }

  tellControl(m, { stands, buttons }) {
    const position = this.bench.positions[m];
    const { positions } = this.model.mechanisms[m];
    const hidden = this.drill && this.isFuse(m);
    if (this.isTimer(m)) {
      const runs = this.bench.running().includes(m);
      say(stands, `${positions[position]}${runs ? ", running" : ""}`);
      buttons.get("runs out").disabled = !runs;
      return;
    }
    say(stands, hidden ? "in its holder" : this.positionWord(m, position));
    for (const [at, button] of buttons) {
      const on = at === "hold" ? position === this.pressed(m) : at === position && !hidden;
      if (at !== "press") button.setAttribute("aria-pressed", String(on));
    }
  }

  tellLoad(at, { row, told, parts }) {
    const on = parts.filter((part) => this.bench.state.energised(part));
    const { works } = this.model.parts[parts[0]].load;
    const [yes, no] = WORKS[works] || ["on", "off"];
    let word = on.length ? yes : no;
    if (on.length && on.length < parts.length && works !== "input") {
      word = `${yes} on ${on.map((part) => this.model.parts[part].label).join(", ")}`;
    }
    if (!on.length) {
      const part = parts.map((one) => this.model.parts[one])
        .find((one) => this.bench.state.mayGet(one));
      if (part) {
        const reading = this.bench.read(part.a, part.b);
        if (reading && words.size(reading) >= 0.5) {
          word = this.drill ? `${no}, or weakly` : `gets ${words.volts(reading)}, not what it needs`;
        }
      }
    }
    row.classList.toggle("on", on.length > 0);
    say(told, on.length ? `ON: ${word}` : `off: ${word}`);
  }

  // ---- the meter --------------------------------------------------------------------------------

  terminal(input) {
    return this.model.terminals.indexOf(input.value.trim());
  }
  measure(counted) {
    const [red, black] = [this.terminal(this.red), this.terminal(this.black)];
    if (red < 0 || black < 0) {
      const named = [this.red, this.black].find((one) => one.value && this.terminal(one) < 0);
      say(this.reading, named ? `there is no terminal ${plain(named.value)}` : "no leads placed");
      return;
    }
    if (this.drill && !counted) {
      say(this.reading, "leads placed: press Read");
      return;
    }
    const told = this.dial.value === "ohms" ? ohms.told(this.bench, red, black) : null;
    if (counted) this.trainer.read(red, black, this.dial.value, told);
    if (told) {
      say(this.reading, told.words);
      return;
    }
    const reading = this.bench.read(red, black);
    const soft = this.hasSoft && reading && !reading.floats;
    const ghost = soft ? this.bench.read(red, black, 10e6) : null;
    say(this.reading, words.volts(ghost || reading));
  }

  // ---- the way home -----------------------------------------------------------------------------

  /* As the hand leads: to the sheet where that place is drawn. */
  walkTo(step) {
    this.walk(step);
    const here = this.found && this.found.steps[this.step];
    const at = here ? this.sheetOf(here) : -1;
    if (at >= 0 && at !== this.shown) this.show(at);
  }
  sheetOf({ wire, part }) {
    const what = wire === undefined ? `[data-part="${part}"]` : `[data-wire="${wire}"]`;
    return this.sheets.findIndex((svg) => svg.querySelector(what));
  }
  walk(step) {
    if (this.drill || !this.chosen.value) return;
    const found = path.home(this.bench, Number(this.chosen.value));
    this.found = found;
    this.step = Math.max(0, Math.min(step, found.steps.length - 1));
    say(this.verdict, found.told);
    const texts = found.steps.map((one) => one.words);
    if (this.steps.children.length !== texts.length) {
      this.steps.replaceChildren(...texts.map(() => make("li")));
    }
    texts.forEach((text, at) => {
      const item = this.steps.children[at];
      say(item, plain(text));
      item.classList.toggle("open", found.steps[at].open);
      if (at === this.step) item.setAttribute("aria-current", "step");
      else item.removeAttribute("aria-current");
    });
    const current = this.steps.children[this.step];
    if (current) this.steps.scrollTop = current.offsetTop - this.steps.clientHeight / 2;
    const here = found.steps[this.step];
    say(this.here, here ? `${this.step + 1} of ${texts.length}: ${plain(here.words)}` : "");
    this.colour();
  }

  // ---- the drawing ------------------------------------------------------------------------------

  sheet() {
    this.sheets = [...document.querySelectorAll("#drawing svg.sheet")];
    this.choice = make("select", { id: "live-sheet" }, ...this.sheets.map((svg, at) =>
      make("option", { value: at }, svg.getAttribute("aria-label"))));
    this.choice.addEventListener("change", () => this.show(Number(this.choice.value)));
    this.frame = make("div", { class: "wide", tabindex: "0", role: "region",
      "aria-label": "The drawing, live" });
    const legend = make("ul", { class: "legend" }, ...[
      ["hot", "from a source: solid and heavy"], ["home", "leads home: long dashes"],
      ["through", "live only through a load: dots"], ["dead", "dead: thin"],
    ].map(([style, text]) => make("li", {}, make("span", { class: `line ${style}` }), text)),
    make("li", {}, "bar through a contact: closed now; cross: open now; neither: as drawn"));
    const larger = make("button", { type: "button", "aria-pressed": "false", does: () =>
      larger.setAttribute("aria-pressed", String(this.frame.classList.toggle("larger"))) },
    "Larger");
    this.figure = make("figure", { class: "shown" },
      make("p", {}, make("label", { for: "live-sheet" }, "Sheet "), this.choice, " ", larger),
      this.frame, legend);
    if (this.sheets.length) this.show(0);
    return this.figure;
  }
  show(at) {
    this.shown = at;
    this.choice.value = at;
    const svg = this.sheets[at].cloneNode(true);
    svg.removeAttribute("role");
    this.frame.replaceChildren(svg);
    this.drawn = new Drawn(svg, this.model);
    svg.addEventListener("click", (event) => this.clicked(event.target));
    if (this.rows.size) this.colour();
  }
  clicked(target) {
    if (!(target instanceof Element)) return;
    if (target.dataset.terminal !== undefined) {
      this[this.lead].value = target.dataset.terminal;
      this.lead = this.lead === "red" ? "black" : "red";
      this.measure(false);
      return;
    }
    const part = target.closest("[data-part]");
    const m = part ? this.model.parts[Number(part.dataset.part)].m : -1;
    if (m < 0 || !this.rows.has(m) || this.isTimer(m)) return;
    const { resting } = this.model.mechanisms[m];
    const next = resting[(resting.indexOf(this.bench.positions[m]) + 1) % resting.length];
    this.put(m, next);
  }
  colour() {
    if (!this.drawn) return;
    if (this.drill) this.drawn.hide();
    else this.drawn.colour(this.bench, this.found ? this.found.steps.slice(0, this.step + 1) : []);
  }
}
