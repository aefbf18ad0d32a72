"use strict";
/* A sheet of the drawing while it is live: each line by how its place stands, each contact by
   how it is now. */

class Drawn {
  static LINES = ["hot", "home", "through", "dead"];
  static SYMBOLS = ["shut", "parted", "energised", "walked"];

  constructor(svg, model) {
    this.model = model;
    this.at = new Map();
    this.lines = [];
    this.findDots(svg, new Map(model.terminals.map((name, at) => [name, at])));
    const bare = this.findWires(svg, new Map(model.wires.map((wire) => [wire.n, wire])));
    this.findBare(bare);
    this.symbols = [...svg.querySelectorAll("[data-part]")].map((symbol) =>
      [symbol, model.parts[Number(symbol.dataset.part)], Number(symbol.dataset.part)]);
  }

  // ---- what the sheet shows -------------------------------------------------------------------

  point(x, y) {
    return `${Number(x).toFixed(1)} ${Number(y).toFixed(1)}`;
  }
  findDots(svg, terminals) {
    for (const dot of svg.querySelectorAll(".dot")) {
      dot.setAttribute("r", "3.4");
      const point = this.point(dot.getAttribute("cx"), dot.getAttribute("cy"));
      this.at.set(point, terminals.get(dot.dataset.terminal));
    }
  }
  /* Lines that are wires; the bare ones beside them with their ends. */
  findWires(svg, wires) {
    const bare = [];
    for (const line of svg.querySelectorAll("polyline")) {
      const points = line.getAttribute("points").split(" ");
      const ends = points.map((one) => this.point(...one.split(",")));
      const wire = line.dataset.wire === undefined ? null : wires.get(Number(line.dataset.wire));
      if (wire) this.addLine(line, ends, wire.a, wire);
      else if (!line.classList.contains("link")) bare.push([line, ends]);
    }
    return bare;
  }
  addLine(line, ends, terminal, wire) {
    this.lines.push([line, terminal, wire]);
    for (const end of ends) if (!this.at.has(end)) this.at.set(end, terminal);
  }
  /* A bare line stands as what it touches does. */
  findBare(bare) {
    for (let left = bare, before = -1; left.length !== before;) {
      before = left.length;
      left = left.filter(([line, ends]) => {
        const end = ends.find((one) => this.at.has(one));
        if (end === undefined) return true;
        this.addLine(line, ends, this.at.get(end), null);
        return false;
      });
    }
  }

  // ---- how it stands --------------------------------------------------------------------------

  /* As printed: nothing is told. */
  hide() {
    for (const [line] of this.lines) this.style(line, "");
    for (const [symbol] of this.symbols) {
      this.mark(symbol, "");
      this.bar(symbol, true, true);
    }
  }
  colour(bench, walked) {
    const standing = new Standing(bench);
    const wires = new Set(walked.map((one) => one.wire));
    const parts = new Set(walked.map((one) => one.part));
    for (const [line, terminal, wire] of this.lines) {
      this.style(line, standing.of(terminal));
      if (wire && wires.has(wire.n)) line.classList.add("walked");
    }
    for (const [symbol, part, index] of this.symbols) {
      this.tell(bench, symbol, part, index);
      if (parts.has(index)) symbol.classList.add("walked");
    }
  }
  style(line, style) {
    for (const one of Drawn.LINES) line.classList.toggle(one, one === style);
    line.classList.remove("walked");
  }
  mark(symbol, style) {
    for (const one of Drawn.SYMBOLS) symbol.classList.toggle(one, one === style);
  }
  tell(bench, symbol, part, index) {
    if (part.conducts === "contact" || (part.conducts === "joins" && part.m >= 0)) {
      const now = bench.state.isClosed(part);
      const as = this.isDrawn(part);
      this.mark(symbol, now === as ? "" : now ? "shut" : "parted");
      this.bar(symbol, now, as);
    } else this.mark(symbol, part.load && bench.state.energised(index) ? "energised" : "");
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
