"use strict";
/* What is on. */

const WORKS = {
  motor: ["runs", "stands still"], lamp: ["lit", "dark"], heater: ["heats", "cold"],
  valve: ["pulled in", "at rest"], solenoid: ["pulled in", "at rest"], coil: ["in", "out"],
  horn: ["sounds", "silent"], input: ["sees voltage", "sees none"],
};

class Loads {
  static LEAST_V = 0.5;

  constructor(page) {
    this.page = page;
    this.model = page.model;
    this.rows = new Map();
    const list = make("ul", { class: "loads" });
    this.model.devices.forEach((device, at) => {
      const parts = device.parts.filter((part) => this.isUsed(this.model.parts[part]));
      if (parts.length) list.append(this.row(device, at, parts));
    });
    this.group = group("Loads: what is on", list);
  }
  isUsed({ load, spare, a, b }) {
    return load && !spare && a !== b;
  }
  row(device, at, parts) {
    const told = make("span", { class: "told" });
    const name = device.said ? `${device.name} ${device.said}` : device.name;
    const row = make("li", {}, make("span", { class: "name" }, name), " ", told);
    this.rows.set(at, { row, told, parts });
    return row;
  }

  /* Of those that are on. */
  get names() {
    const { state } = this.page.bench;
    return [...this.rows].filter(([, { parts }]) => parts.some((part) => state.energised(part)))
      .map(([at]) => this.model.devices[at].name);
  }
  tell() {
    for (const { row, told, parts } of this.rows.values()) {
      const on = parts.filter((part) => this.page.bench.state.energised(part));
      row.classList.toggle("on", on.length > 0);
      const [word, how] = on.length ? ["ON", this.onWords(parts, on)] : ["off", this.offWords(parts)];
      say(told, how.toLowerCase() === word.toLowerCase() ? word : `${word}: ${how}`);
    }
  }
  works(parts) {
    return WORKS[this.model.parts[parts[0]].load.works] || ["on", "off"];
  }
  onWords(parts, on) {
    const [yes] = this.works(parts);
    const isInput = this.model.parts[parts[0]].load.works === "input";
    if (on.length === parts.length || isInput) return yes;
    return `${yes} on ${on.map((part) => this.model.parts[part].label).join(", ")}`;
  }
  offWords(parts) {
    const [, no] = this.works(parts);
    const { bench, drill } = this.page;
    const part = parts.map((one) => bench.model.parts[one]).find((one) => bench.state.mayGet(one));
    const reading = part ? bench.read(part.a, part.b) : null;
    if (!reading || words.size(reading) < Loads.LEAST_V) return no;
    return drill ? `${no}, or weakly` : `gets ${words.volts(reading)}, not what it needs`;
  }
}
