"use strict";
/* The drawing while it is live: each line by how its place stands, each contact by how it is now. */

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
    for (const [symbol] of this.symbols) {
      this.mark(symbol, "");
      this.bar(symbol, true, true);
    }
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
        const as = this.isDrawn(part);
        this.mark(symbol, now === as ? "" : now ? "shut" : "parted");
        this.bar(symbol, now, as);
      } else this.mark(symbol, part.load && bench.state.energised(index) ? "energised" : "");
      if (parts.has(index)) symbol.classList.add("walked");
    }
  }
  /* Whether a contact is drawn closed; null for what protects or disconnects, whose symbol looks
     open or closed by the practice: there it always stands. */
  isDrawn(part) {
    if (part.m < 0) return true;
    const { drive, first } = this.model.mechanisms[part.m];
    return drive === "protection" ? null : part.closed.includes(first);
  }
  bar(symbol, now, as) {
    let bar = symbol.querySelector(".now");
    if (now === as) {
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
