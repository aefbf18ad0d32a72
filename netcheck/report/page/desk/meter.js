"use strict";
/* A meter with two leads, on volts or ohms. */

class Meter {
  /* What a meter itself pulls down: leakage, a diode that blocks, an idle winding. */
  static OWN_OHM = 10e6;

  constructor(page) {
    this.page = page;
    this.next = "red";
    const { model } = page;
    this.terminals = new Map(model.terminals.map((name, at) => [name, at]));
    this.hasSoft = model.couplings.length > 0
      || model.parts.some((part) => part.leak || part.conducts === "one way");
    this.red = this.lead("red");
    this.black = this.lead("black");
    this.dial = make("select", { id: "live-dial" },
      make("option", { value: "volts" }, "volts"), make("option", { value: "ohms" }, "ohms"));
    this.dial.addEventListener("change", () => this.measure(false));
    this.reading = make("output", { class: "reading", "aria-live": "polite" }, "no leads placed");
    this.names = make("datalist", { id: "live-terminals" });
    this.group = this.built();
    this.group.addEventListener("focusin", () => this.listTerminals(), { once: true });
  }
  /* Thousands, that nobody needs before a lead is placed. */
  listTerminals() {
    this.names.append(...[...this.terminals.keys()].filter((name) => !name.includes(":("))
      .map((name) => make("option", { value: name })));
  }
  lead(colour) {
    const made = make("input", { id: `live-${colour}`, list: "live-terminals",
      autocomplete: "off", spellcheck: "false" });
    made.addEventListener("change", () => this.measure(false));
    return made;
  }
  built() {
    const line = (words, of, ...more) =>
      make("p", {}, make("label", { for: of.id }, words), " ", of, ...more);
    return group("Meter",
      make("p", { class: "faint" },
        "Name two terminals, or choose them on the drawing: red first, then black."),
      this.names,
      line("Red lead on", this.red), line("Black lead on", this.black),
      line("Dial on", this.dial, " ", button("Read", () => this.measure(true))),
      this.reading);
  }

  /* A terminal chosen on the drawing: red first, then black. */
  place(terminal) {
    this[this.next].value = terminal;
    this.next = this.next === "red" ? "black" : "red";
    this.measure(false);
  }
  terminal({ value }) {
    return this.terminals.get(value.trim());
  }
  /* While a fault is looked for only a reading that is asked for is taken, and counted. */
  measure(counted) {
    const [red, black] = [this.terminal(this.red), this.terminal(this.black)];
    if (red === undefined || black === undefined) say(this.reading, this.unplaced());
    else if (this.page.drill && !counted) say(this.reading, "leads placed: press Read");
    else if (this.dial.value === "ohms") this.readOhms(red, black, counted);
    else this.readVolts(red, black, counted);
  }
  unplaced() {
    const named = [this.red, this.black]
      .find((one) => one.value && this.terminal(one) === undefined);
    return named ? `there is no terminal ${plain(named.value)}` : "no leads placed";
  }
  readOhms(red, black, counted) {
    const told = ohms.told(this.page.bench, red, black);
    if (counted) this.page.trainer.readOhms(red, black, told);
    say(this.reading, told.words);
  }
  readVolts(red, black, counted) {
    const { bench } = this.page;
    const reading = bench.read(red, black);
    if (counted) this.page.trainer.readVolts(red, black, reading);
    const soft = this.hasSoft && reading && !reading.floats;
    const pulled = soft ? bench.read(red, black, Meter.OWN_OHM) : null;
    say(this.reading, words.volts(pulled || reading));
  }
}
