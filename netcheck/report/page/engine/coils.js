"use strict";
/* What coils make of what they get: which relay must move next, which timer runs. */

const coils = (() => {
  const DRIVES = new Set(["coil", "on delay", "off delay", "latch"]);

  const moves = (mechanism) => DRIVES.has(mechanism.drive);

  /* `in`, `out`, or `either` where what a coil gets is not surely enough for it.
     Where it only gets something through other loads, or at other volts, the numbers decide. */
  function verdict(bench, index) {
    if (bench.state.energised(index)) return "in";
    const part = bench.model.parts[index];
    if (!part.load || !bench.state.mayGet(part)) return "out";
    const reading = bench.read(part.a, part.b);
    if (!reading || reading.floats || part.load.volts === null) return "either";
    return byVolts(part.load, Math.abs(reading.dc) + reading.ac, reading.ac >= 0.05 ? "AC" : "DC");
  }
  function byVolts(load, volts, kind) {
    if (volts < load.drops) return "out";
    const fits = !load.kind || load.kind === kind;
    const enough = volts >= load.volts * load.low * 0.999;
    return fits && enough && volts <= load.volts * load.high * 1.001 ? "in" : "either";
  }

  function mustMove(bench, m) {
    const mechanism = bench.model.mechanisms[m];
    const isIn = bench.positions[m] === 1;
    if (!isIn && bench.interlockedWith(m)) return false;
    const told = mechanism.coils.map((coil) => verdict(bench, coil));
    const [first] = told;
    if (mechanism.drive === "latch") return mustLatch(bench, mechanism, isIn, first);
    if (!isIn) return mechanism.drive !== "on delay" && told.every((one) => one === "in");
    if (mechanism.drive === "off delay") return false;
    if (mechanism.economised && first === "either") return false;
    return told.includes("out"); // a monitor of three lines wants all of its inputs
  }
  function mustLatch(bench, mechanism, isIn, first) {
    const second = verdict(bench, mechanism.coils[1]);
    return isIn ? second === "in" && first === "out" : first === "in" && second === "out";
  }

  /* Timers that run, and what their running out will do. */
  function runs(bench, m) {
    const mechanism = bench.model.mechanisms[m];
    const isIn = bench.positions[m] === 1;
    if (mechanism.drive === "on delay") {
      return !isIn && verdict(bench, mechanism.coils[0]) === "in";
    }
    return mechanism.drive === "off delay" && isIn && verdict(bench, mechanism.coils[0]) === "out";
  }

  return { moves, mustMove, runs };
})();
