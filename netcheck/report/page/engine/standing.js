"use strict";
/* How each place stands: from a source, on the way home, live through a load only, dead. */

class Standing {
  constructor({ model, state }) {
    this.state = state;
    this.style = new Map();
    for (const index of state.live) this.addPoles(model.sources[index]);
    this.spread();
  }
  of(terminal) {
    return this.style.get(this.state.places.find(terminal)) || "dead";
  }

  addPoles({ poles, grounded }) {
    const least = Math.min(...poles.map((pole) => complex.size(pole.v)));
    for (const pole of poles) {
      const place = this.state.places.find(pole.t);
      const isHome = pole.t === grounded || complex.size(pole.v) === least;
      if (this.style.get(place) !== "hot") this.style.set(place, isHome ? "home" : "hot");
    }
  }
  /* From what is hot through what lets current one way, and through loads. */
  spread() {
    const todo = [...this.style.keys()].filter((place) => this.style.get(place) === "hot");
    const reach = (place, style) => {
      if (this.style.has(place)) return;
      this.style.set(place, style);
      todo.push(place);
    };
    while (todo.length) {
      const place = todo.pop();
      for (const next of this.state.arcs.get(place) || []) reach(next, this.style.get(place));
      for (const part of this.state.loadsAt.get(place) || []) {
        if (part.conducts !== "load" || part.a === part.b) continue;
        for (const end of this.state.ends(part)) reach(end, "through");
      }
    }
  }
}
