"""How long the live page of a large panel takes: to be made, to open, to answer a press.

    python -m tests.benchmarks.live_page [BAYS]

A bay is a pump with its starter, seven devices: 143 of them make a thousand.  Measured in
Chromium, each press with everything that follows it: relays, loads, the drawing, the meter.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import quantiles
from tempfile import TemporaryDirectory
from time import perf_counter

from netcheck.cli.report import _drawn, _live
from netcheck.finding import Review
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.report.page.document import document
from tests.annotated import Texts
from tests.browser import browser

BAYS = 143

HEAD = """\
panel "Irrigation, all bays"
  practice NEC 2023
source MAINS 120/240 V AC 60 Hz, three-wire, 22 kA available, neutral bonded here
supply PS1 120 V AC to 24 V DC, 40 A, isolated, 0V grounded
emergency stop ES1 "Emergency stop" normally closed 11-12
wire kind default: 14 AWG copper MTW 90 degC, 1 m
circuit "Supply"
  MAINS:L1 --1-- PS1:L
  PS1:N --N-- MAINS:N
  PS1:+ --200-- ES1:11
"""
BAY = """\
breaker CB{n} 2-pole, 20 A, 120/240 V AC
fuse FU{n} 2 A
button S{n}1 "Stop {n}" normally closed 11-12
button S{n}2 "Start {n}" normally open 13-14
contactor K{n} coil 24 V DC 3 W with diode; 2 main poles 25 A; auxiliary normally open 13-14
overload OL{n} set 8 A; trip contact normally closed 95-96
motor M{n} "Pump {n}" 1 hp 240 V AC single-phase
circuit "Bay {n}"
  MAINS:L1 -- CB{n}:1-2 -- K{n}:1-2 -- OL{n}:1-2 -- M{n}:T1
  MAINS:L2 -- CB{n}:3-4 -- K{n}:3-4 -- OL{n}:3-4 -- M{n}:T2
  ES1:12 -- FU{n} -- OL{n}:95-96 -- S{n}1 -- S{n}2 -- K{n}:A1-A2 -- PS1:0V
  S{n}1:12 -- K{n}:13-14 -- K{n}:A1
"""

PRESSES = """
  const named = new Map(live.model.mechanisms.map((one, m) => [one.name, m]));
  const took = [];
  const timed = (m, position) => {
    const before = performance.now();
    live.put(m, position);
    document.body.offsetHeight;
    took.push(performance.now() - before);
  };
  for (let bay = 1; bay <= 10; bay += 1) {
    timed(named.get(`S${bay}2`), 1);
    timed(named.get(`S${bay}2`), 0);
  }
  timed(named.get('ES1'), 1);
  return took;
"""
READ = """
  const before = performance.now();
  live.meter.red.value = 'M1:T1';
  live.meter.black.value = 'M1:T2';
  live.meter.measure(true);
  return [performance.now() - before, live.meter.reading.textContent];
"""


def panel_of(bays: int) -> Panel:
    text = HEAD + "".join(BAY.format(n=n) for n in range(1, bays + 1))
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes, mistakes[0].message
    return panel


def main(bays: int) -> None:
    panel = panel_of(bays)
    start = perf_counter()
    drawing, failures = _drawn(panel, Review())
    live, unfit = _live(panel)
    assert not failures + unfit, failures + unfit
    page = document(panel, Review(), drawing.sheets, (), (), live, drawing.symbols)
    print(f"{len(panel.devices)} devices, {len(panel.wires)} wires, {len(drawing.sheets)} sheets")
    print(f"made in {perf_counter() - start:.1f} s, {len(page) / 1e6:.1f} MB")
    with TemporaryDirectory() as folder, browser() as session:
        path = Path(folder) / "report.html"
        path.write_text(page, encoding="utf-8")
        start = perf_counter()
        session.open(path)
        print(f"open after {perf_counter() - start:.1f} s")
        session.show_as("screen", 1280)
        took = session.run(PRESSES)
        low, middle, high = quantiles(took, n=4)
        print(f"a press: {middle:.0f} ms ({low:.0f} to {high:.0f}), at most {max(took):.0f}")
        for what, script in {"a reading": READ, "the same again": READ}.items():
            ms, words = session.run(script)
            print(f"{what}: {ms:.0f} ms, {words}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else BAYS)
