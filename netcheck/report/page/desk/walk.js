"use strict";
/* The way home of a load, walked place by place. */

class Walk {
  constructor(page) {
    this.page = page;
    this.step = 0;
    this.found = null;
    this.chosen = make("select", { id: "live-load" }, ...this.options());
    this.chosen.addEventListener("change", () => this.walkTo(0));
    this.steps = make("ol", { class: "way", tabindex: "0", "aria-label": "Place by place" });
    this.verdict = make("p", {});
    // Spoken as the hand walks, not at every press of a switch.
    this.here = make("p", { class: "here", role: "status", "aria-live": "off" });
    this.group = group("The way home",
      make("p", {}, make("label", { for: "live-load" }, "Load "), this.chosen), this.verdict,
      make("p", {}, button("Back", () => this.walkTo(this.step - 1)), " ",
        button("Next place", () => this.walkTo(this.step + 1))),
      this.here, this.steps);
  }
  *options() {
    const { model, loads } = this.page;
    for (const [at, { parts }] of loads.rows) {
      const { name, said } = model.devices[at];
      for (const part of parts) {
        const label = parts.length > 1 ? model.parts[part].label : name;
        yield make("option", { value: part }, said ? `${label}, ${said}` : label);
      }
    }
  }

  /* What has been walked so far. */
  get walked() {
    return this.found ? this.found.steps.slice(0, this.step + 1) : [];
  }
  /* As the hand leads: to the sheet where that place is drawn. */
  walkTo(step) {
    this.here.setAttribute("aria-live", "polite");
    this.tell(step);
    const here = this.found && this.found.steps[this.step];
    if (here) this.page.sheets.turnTo(here);
    this.page.sheets.colour();
    this.scrollToStep();
  }
  /* Of the panel as it stands now. */
  tell(step = this.step) {
    if (this.page.drill || !this.chosen.value) return;
    this.found = wayHome.of(this.page.bench, Number(this.chosen.value));
    const { told, steps } = this.found;
    this.step = Math.max(0, Math.min(step, steps.length - 1));
    say(this.verdict, told);
    this.list(steps);
    const here = steps[this.step];
    say(this.here, here ? `${this.step + 1} of ${steps.length}: ${plain(here.words)}` : "");
  }
  list(steps) {
    if (this.steps.children.length !== steps.length) {
      this.steps.replaceChildren(...steps.map(() => make("li")));
    }
    steps.forEach(({ words: text, open }, at) => {
      const item = this.steps.children[at];
      say(item, plain(text));
      item.classList.toggle("open", open);
      if (at === this.step) item.setAttribute("aria-current", "step");
      else item.removeAttribute("aria-current");
    });
  }
  scrollToStep() {
    const current = this.steps.children[this.step];
    if (current) this.steps.scrollTop = current.offsetTop - this.steps.clientHeight / 2;
  }
}
