"use strict";
/* Pieces of the page, and readings in words.  Every word comes in as text, never as markup. */

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
    if (!reading) return "no reading: a dead short, or volts that do not settle in numbers";
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
