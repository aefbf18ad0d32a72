"use strict";
/* The live page: controls, what is on, the meter, the way home, and the drawing that shows it.

   Every word comes in as text, never as markup.  What is told by a tint is told by the pattern
   and weight of a line, and in words, as well. */

const make = (name, attributes = {}, ...contents) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key === "does") made.addEventListener("click", value);
    else made.setAttribute(key, value);
  }
  made.append(...contents);
  return made;
};
/* Text is only touched where it differs: a page of thousands stays quick. */
const say = (element, text) => {
  if (element.textContent !== text) element.textContent = text;
};
/* What hides or turns the reading direction is shown as such. */
const plain = (text) => text.replace(/[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Cn}\p{Zl}\p{Zp}]/gu, "\uFFFD");

const words = {
  volts(reading) {
    if (!reading) return "no reading: a dead short, or nothing that limits the current";
    if (reading.floats) return "floats: nothing fixes it, a meter may show any ghost";
    const told = [];
    const tenth = (value) => `${Number(value.toFixed(1))} V`;
    if (Math.abs(reading.dc) >= 0.05) told.push(`${tenth(reading.dc)} DC`);
    if (reading.ac >= 0.05) told.push(`${tenth(reading.ac)} AC`);
    return told.join(" and ") || "0 V";
  },
  size: (reading) => (reading ? Math.abs(reading.dc) + reading.ac : 0),
};

const WORKS = {
  motor: ["runs", "stands still"], lamp: ["lit", "dark"], heater: ["heats", "cold"],
  valve: ["pulled in", "at rest"], solenoid: ["pulled in", "at rest"], coil: ["in", "out"],
  horn: ["sounds", "silent"], input: ["sees voltage", "sees none"],
};

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
    this.update([], "Everything at rest, power on.");
    return said;
  }

  // ---- building -------------------------------------------------------------------------------

  build() {
    this.status = make("p", { class: "status", role: "status", "aria-live": "polite" });
    this.alarm = make("p", { class: "alarm", role: "alert" });
    this.rows = new Map();
    const bar = make("div", { class: "bar" },
      make("div", { class: "stops" }, ...this.bySort.stop.map((m) => this.control(m))),
      this.status, this.alarm);
    const side = make("div", { class: "side" }, ...this.controls(), this.loads(), this.meter(),
      this.way(), this.exercise());
    this.root.append(bar, make("div", { class: "desk" }, this.sheet(), side));
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
      this.put(m, 0);
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
      ...this.model.terminals.map((name) => make("option", { value: name })));
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
    this.chosen.addEventListener("change", () => this.walk(0));
    this.steps = make("ol", { class: "way" });
    this.verdict = make("p", {});
    this.here = make("p", { class: "here", role: "status", "aria-live": "polite" });
    this.wayGroup = this.group("The way home",
      make("p", {}, make("label", { for: "live-load" }, "Of "), this.chosen), this.verdict,
      make("p", {},
        make("button", { type: "button", does: () => this.walk(this.step - 1) }, "Back"), " ",
        make("button", { type: "button", does: () => this.walk(this.step + 1) }, "Next place")),
      this.here, this.steps);
    return this.wayGroup;
  }

  exercise() {
    this.trainer = new Exercise(this);
    return this.trainer.group;
  }

  // ---- operating --------------------------------------------------------------------------------

  put(m, position) {
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
    this.update(before, plain(step || this.called(m)), said);
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

  update(before, done, said = []) {
    for (const [m, row] of this.rows) this.tellControl(m, row);
    for (const [at, row] of this.loadRows) this.tellLoad(at, row);
    const now = this.onNow();
    const names = (list) => list.map((at) => this.model.devices[at].name).join(", ");
    const gone = before.filter((at) => !now.includes(at));
    const come = now.filter((at) => !before.includes(at));
    const told = said.filter((one) => one && !(this.drill && this.hides(one)));
    const sentences = [done, ...told];
    if (come.length && before.length + come.length) sentences.push(`on: ${names(come)}`);
    if (gone.length) sentences.push(`off: ${names(gone)}`);
    say(this.status, `${sentences.join("; ").replace(/\.$/, "")}.`);
    say(this.alarm, told.filter((one) => /short|rest/.test(one)).join("; "));
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
    const ghost = reading && !reading.floats ? this.bench.read(red, black, 10e6) : null;
    say(this.reading, words.volts(ghost || reading));
  }

  // ---- the way home -----------------------------------------------------------------------------

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
    const here = found.steps[this.step];
    say(this.here, here ? `${this.step + 1} of ${texts.length}: ${plain(here.words)}` : "");
    this.colour();
  }

  // ---- the drawing ------------------------------------------------------------------------------

  sheet() {
    this.sheets = [...document.querySelectorAll("#drawing svg.sheet")];
    const choice = make("select", { id: "live-sheet" }, ...this.sheets.map((svg, at) =>
      make("option", { value: at }, svg.getAttribute("aria-label"))));
    choice.addEventListener("change", () => this.show(Number(choice.value)));
    this.frame = make("div", { class: "wide", tabindex: "0", role: "region",
      "aria-label": "The drawing, live" });
    const legend = make("ul", { class: "legend" }, ...[
      ["hot", "from a source: solid and heavy"], ["home", "leads home: long dashes"],
      ["through", "live only through a load: dots"], ["dead", "dead: thin"],
    ].map(([style, text]) => make("li", {}, make("span", { class: `line ${style}` }), text)),
    make("li", {}, "bar across a contact: closed now; cross: open now"));
    this.figure = make("figure", { class: "shown" },
      make("p", {}, make("label", { for: "live-sheet" }, "Sheet "), choice), this.frame, legend);
    if (this.sheets.length) this.show(0);
    return this.figure;
  }
  show(at) {
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

/* One sheet of the drawing: which place each of its lines stands at, and how that stands now. */
class Drawn {
  constructor(svg, model) {
    this.model = model;
    this.wires = new Map(model.wires.map((wire) => [wire.n, wire]));
    this.terminals = new Map(model.terminals.map((name, at) => [name, at]));
    const key = (x, y) => `${Number(x).toFixed(1)} ${Number(y).toFixed(1)}`;
    const at = new Map();
    this.dots = [];
    for (const dot of svg.querySelectorAll(".dot")) {
      const terminal = this.terminals.get(dot.dataset.terminal);
      dot.setAttribute("r", "3.4");
      this.dots.push([dot, terminal]);
      at.set(key(dot.getAttribute("cx"), dot.getAttribute("cy")), terminal);
    }
    const bare = [];
    this.lines = [];
    for (const line of svg.querySelectorAll("polyline")) {
      const ends = line.getAttribute("points").split(" ").map((one) => key(...one.split(",")));
      const wire = this.wires.get(Number(line.dataset.wire));
      if (line.dataset.wire !== undefined && wire) {
        this.lines.push([line, wire.a, wire]);
        ends.forEach((end) => at.has(end) || at.set(end, wire.a));
      } else if (!line.classList.contains("link")) bare.push([line, ends]);
    }
    for (let left = bare, before = -1; left.length !== before;) {
      before = left.length;
      left = left.filter(([line, ends]) => {
        const end = ends.find((one) => at.has(one));
        if (end === undefined) return true;
        this.lines.push([line, at.get(end), null]);
        ends.forEach((one) => at.has(one) || at.set(one, at.get(end)));
        return false;
      });
    }
    this.symbols = [...svg.querySelectorAll("[data-part]")].map((symbol) =>
      [symbol, model.parts[Number(symbol.dataset.part)], Number(symbol.dataset.part)]);
  }
  hide() {
    for (const [line] of this.lines) this.style(line, "");
    for (const [symbol] of this.symbols) this.mark(symbol, "");
  }
  style(line, style) {
    for (const one of ["hot", "home", "through", "dead"]) line.classList.toggle(one, one === style);
    line.classList.remove("walked");
  }
  mark(symbol, style) {
    for (const one of ["shut", "parted", "energised", "walked"]) {
      symbol.classList.toggle(one, one === style);
    }
  }
  colour(bench, walked) {
    const levels = new Standing(bench);
    const wires = new Set(walked.map((one) => one.wire));
    const parts = new Set(walked.map((one) => one.part));
    for (const [line, terminal, wire] of this.lines) {
      this.style(line, levels.of(terminal));
      if (wire && wires.has(wire.n)) line.classList.add("walked");
    }
    for (const [symbol, part, index] of this.symbols) {
      if (part.conducts === "contact" || (part.conducts === "joins" && part.m >= 0)) {
        const now = bench.state.isClosed(part);
        const first = part.m < 0 || part.closed.includes(this.model.mechanisms[part.m].first);
        this.mark(symbol, now === first ? "" : now ? "shut" : "parted");
        this.bar(symbol, now, first);
      } else this.mark(symbol, part.load && bench.state.energised(index) ? "energised" : "");
      if (parts.has(index)) symbol.classList.add("walked");
    }
  }
  bar(symbol, now, first) {
    let bar = symbol.querySelector(".now");
    if (now === first) {
      if (bar) bar.remove();
      return;
    }
    if (!bar) {
      bar = document.createElementNS("http://www.w3.org/2000/svg", "path");
      bar.setAttribute("class", "now");
      (symbol.querySelector("g") || symbol).append(bar);
    }
    bar.setAttribute("d", now ? "M-16 0H16" : "M-5 -9L5 9M5 -9L-5 9");
  }
}

/* How each place stands: from a source, on the way home, live through a load only, dead. */
class Standing {
  constructor(bench) {
    const { model, state } = bench;
    this.state = state;
    this.style = new Map();
    const note = (place, style) => {
      if (this.style.get(place) !== "hot") this.style.set(place, style);
    };
    for (const index of state.live) {
      const { poles, grounded } = model.sources[index];
      const least = Math.min(...poles.map((pole) => nodal.size(pole.v)));
      for (const pole of poles) {
        const home = pole.t === grounded || nodal.size(pole.v) === least;
        note(state.places.find(pole.t), home ? "home" : "hot");
      }
    }
    const todo = [...this.style.keys()].filter((place) => this.style.get(place) === "hot");
    const spread = (place, style) => {
      if (this.style.has(place)) return;
      this.style.set(place, style);
      todo.push(place);
    };
    while (todo.length) {
      const place = todo.pop();
      const style = this.style.get(place);
      for (const next of state.arcs.get(place) || []) spread(next, style);
      for (const part of state.loadsAt.get(place) || []) {
        if (part.conducts !== "load" || part.a === part.b) continue;
        for (const end of [part.a, part.b]) spread(state.places.find(end), "through");
      }
    }
  }
  of(terminal) {
    return this.style.get(this.state.places.find(terminal)) || "dead";
  }
}
