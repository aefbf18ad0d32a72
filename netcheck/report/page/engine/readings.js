"use strict";
/* What a meter shows, in words. */

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
