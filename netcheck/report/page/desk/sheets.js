"use strict";
/* One sheet of the drawing at a time, live: what is pressed on it is operated or metered. */

class Sheets {
  static LEGEND = {
    hot: "from a source: solid and heavy", home: "leads home: long dashes",
    through: "live only through a load: dots", dead: "dead: thin",
  };

  constructor(page) {
    this.page = page;
    this.all = [...document.querySelectorAll("#drawing figure svg.sheet")];
    this.choice = make("select", { id: "live-sheet" }, ...this.all.map((svg, at) =>
      make("option", { value: at }, svg.getAttribute("aria-label"))));
    this.choice.addEventListener("change", () => this.show(Number(this.choice.value)));
    this.frame = make("div", { class: "wide", tabindex: "0", role: "region",
      "aria-label": "The drawing, live" });
    this.larger = button("Larger", () => this.enlarge(), { "aria-pressed": "false" });
    this.figure = make("figure", { class: "shown" },
      make("p", {}, make("label", { for: "live-sheet" }, "Sheet "), this.choice, " ", this.larger),
      this.frame, this.legend());
    if (this.all.length) this.put(0);
  }
  legend() {
    const lines = Object.entries(Sheets.LEGEND).map(([style, text]) =>
      make("li", {}, make("span", { class: `line ${style}` }), text));
    return make("ul", { class: "legend" }, ...lines,
      make("li", {}, "bar through a contact: closed now; cross: open now; neither: as drawn"));
  }
  enlarge() {
    this.larger.setAttribute("aria-pressed", String(this.frame.classList.toggle("larger")));
  }

  show(at) {
    this.put(at);
    this.colour();
  }
  put(at) {
    this.shown = at;
    this.choice.value = at;
    const svg = this.all[at].cloneNode(true);
    svg.removeAttribute("role");
    this.frame.replaceChildren(svg);
    this.drawn = new Drawn(svg, this.page.model);
    svg.addEventListener("click", (event) => this.clicked(event.target));
  }
  /* To the sheet where a wire or part is drawn. */
  turnTo(place) {
    const at = this.sheetOf(place);
    if (at >= 0 && at !== this.shown) this.put(at);
  }
  sheetOf({ wire, part }) {
    const what = wire === undefined ? `[data-part="${part}"]` : `[data-wire="${wire}"]`;
    return this.all.findIndex((svg) => svg.querySelector(what));
  }
  clicked(target) {
    if (!(target instanceof Element)) return;
    if (target.dataset.terminal !== undefined) {
      this.page.meter.place(target.dataset.terminal);
      return;
    }
    const part = target.closest("[data-part]");
    if (part) this.page.turnOn(this.page.model.parts[Number(part.dataset.part)].m);
  }
  colour() {
    if (!this.drawn) return;
    if (this.page.drill) this.drawn.hide();
    else this.drawn.colour(this.page.bench, this.page.walk.walked);
  }
}
