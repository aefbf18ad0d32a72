"use strict";
/* Everything that can be moved: its name, where it stands, and a button for each place. */

class Controls {
  static TITLES = {
    source: "Power", hand: "Buttons and selectors", process: "Process: floats, limits, overloads",
    output: "Controller outputs", timer: "Timers", protection: "Breakers, fuses, disconnects",
  };
  static MOST_OPEN = 12;
  static STOPS = ["emergency stop", "pull-cord switch"];

  constructor(page) {
    this.page = page;
    this.model = page.model;
    this.rows = new Map();
    this.bySort = this.sorted();
    this.stops = make("div", { class: "stops" }, ...this.bySort.stop.map((m) => this.control(m)));
    this.groups = Object.entries(Controls.TITLES).filter(([sort]) => this.bySort[sort].length)
      .map(([sort, title]) => this.groupOf(sort, title));
  }

  // ---- what is there --------------------------------------------------------------------------

  sorted() {
    const sorts = Object.fromEntries(
      ["stop", ...Object.keys(Controls.TITLES)].map((sort) => [sort, []]));
    this.model.mechanisms.forEach((one, m) => {
      if (one.held === null) (sorts[this.sortOf(one, m)] || []).push(m);
    });
    return sorts;
  }
  sortOf({ drive }, m) {
    if (Controls.STOPS.includes(this.deviceOf(m).kind)) return "stop";
    return drive === "on delay" || drive === "off delay" ? "timer" : drive;
  }
  deviceOf(m) {
    return this.model.devices[this.model.mechanisms[m].device];
  }
  called(m) {
    const { said } = this.deviceOf(m);
    const { name } = this.model.mechanisms[m];
    return said ? `${name} ${said}` : name;
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

  // ---- building -------------------------------------------------------------------------------

  groupOf(sort, title) {
    const made = group(title, ...this.bySort[sort].map((m) => this.control(m)));
    made.open = sort === "hand" || this.bySort[sort].length <= Controls.MOST_OPEN;
    return made;
  }
  control(m) {
    const label = `live-name-${m}`;
    const stands = make("span", { class: "stands" });
    const buttons = this.buttonsOf(m);
    const row = make("div", { class: "control", role: "group", "aria-labelledby": label },
      make("span", { id: label, class: "name" }, this.called(m)), " ", stands, " ",
      make("span", { class: "buttons" }, ...buttons.values()));
    row.classList.toggle("places", !this.isFuse(m) && typeof [...buttons.keys()][0] === "number");
    this.rows.set(m, { row, stands, buttons });
    return row;
  }
  /* By the position each leads to, or by what it does. */
  buttonsOf(m) {
    if (this.isTimer(m)) {
      return new Map([["runs out", button("Let it run out", () => this.page.runOut(m))]]);
    }
    if (this.deviceOf(m).kind === "button") {
      return new Map([["press", this.momentary(m)], ["hold", this.holding(m)]]);
    }
    return new Map(this.model.mechanisms[m].resting.map((position) => [position,
      button(plain(this.positionWord(m, position)), () => this.page.put(m, position),
        { "aria-pressed": "false" })]));
  }
  holding(m) {
    const isIn = () => this.page.bench.positions[m] === this.pressed(m);
    return button("Hold", () => this.page.put(m, isIn() ? 0 : this.pressed(m)),
      { "aria-pressed": "false" });
  }
  /* Down while the finger or key is down; a click from anything else presses and lets go. */
  momentary(m) {
    const made = make("button", { type: "button" }, "Press");
    let down = false;
    const press = () => {
      if (down) return;
      down = true;
      this.page.put(m, this.pressed(m));
    };
    const release = () => {
      if (!down) return;
      down = false;
      this.page.letGo(m);
    };
    made.addEventListener("pointerdown", press);
    for (const name of ["pointerup", "pointerleave", "pointercancel", "blur", "keyup"]) {
      made.addEventListener(name, release);
    }
    made.addEventListener("keydown", (event) => {
      if (event.key === " " || event.key === "Enter") press();
    });
    made.addEventListener("click", (event) => {
      if (event.detail !== 0 || down || this.page.hasJustMoved) return;
      press();
      release();
    });
    return made;
  }

  /* Names of the stops that are pressed or pulled. */
  get stopped() {
    const { positions } = this.page.bench;
    return this.bySort.stop.filter((m) => positions[m] !== this.model.mechanisms[m].first)
      .map((m) => `${this.called(m)} ${this.positionWord(m, positions[m])}`);
  }

  // ---- telling --------------------------------------------------------------------------------

  tell() {
    const running = new Set(this.page.bench.running());
    for (const [m, row] of this.rows) {
      if (this.isTimer(m)) this.tellTimer(m, row, running.has(m));
      else this.tellPosition(m, row);
    }
  }
  tellTimer(m, { stands, buttons }, runs) {
    const position = this.model.mechanisms[m].positions[this.page.bench.positions[m]];
    say(stands, `${position}${runs ? ", running" : ""}`);
    buttons.get("runs out").disabled = !runs;
  }
  tellPosition(m, { stands, buttons }) {
    const position = this.page.bench.positions[m];
    const hidden = this.page.drill && this.isFuse(m);
    say(stands, hidden ? "in its holder" : this.positionWord(m, position));
    for (const [at, one] of buttons) {
      const on = at === "hold" ? position === this.pressed(m) : at === position && !hidden;
      if (at !== "press") one.setAttribute("aria-pressed", String(on));
    }
  }
}
