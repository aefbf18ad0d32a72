"""Small panels of a greenhouse to trace and to meter, and how they are read."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from netcheck.cli.loader import FileLoader
from netcheck.model.build import build_panel
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.supposed import suppose
from netcheck.reading.project import gather
from tests.annotated import Texts

SAMPLES = Path(__file__).parents[2] / "samples" / "panels"

VALVE = """\
panel "Bench valve"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
button S1 "Stop" normally closed 11-12, on door
button S2 "Start" normally open 13-14, on door
relay K1 coil 24 V DC 3 W with diode; normally open 13-14 23-24
location benches: outside
valve Y1 "Mist" 24 V DC 8 W, at benches
valve Y2 "Drip" 24 V DC 8 W, at benches
wire kind default: 18 AWG copper MTW 90 degC blue, 0.5 m
circuit "Valves"
  E1:+ --201-- FU1 --202-- S1 --203-- S2 --204-- K1:A1-A2 --200-- E1:0V
  S1:12 --205-- K1:13-14 --206-- K1:A1
  FU1:2 --207-- K1:23-24 --208-- Y1 --209-- E1:0V
  Y1:1 --210-- Y2 --211-- Y1:2
"""

BRANCHES = """\
panel "Bench valves on a breaker of their own"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
breaker CB3 1-pole, 1 A, 24 V DC
button S1 "Stop" normally closed 11-12, on door
button S2 "Start" normally open 13-14, on door
relay K2 coil 24 V DC 3 W with diode; normally open 13-14 23-24 33-34
lamp H1 24 V DC 1 W, on door
location benches: outside
valve Y1 "Mist" 24 V DC 8 W, at benches
valve Y2 "Drip" 24 V DC 8 W, at benches
wire kind default: 18 AWG copper MTW 90 degC blue, 0.5 m
circuit "Valves"
  E1:+ --201-- FU1 --202-- S1 --203-- S2 --204-- K2:A1-A2 --200-- E1:0V
  S1:12 --205-- K2:13-14 --206-- K2:A1
  E1:+ --221-- CB3 --207-- K2:23-24 --208-- Y1 --209-- E1:0V
  K2:24 --210-- Y2 --211-- E1:0V
  FU1:2 --212-- K2:33-34 --213-- H1 --214-- E1:0V
"""

HEATER = """\
panel "Tank heater"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
fuse FU1 30 A
fuse FU2 30 A
location tank: outside
heater HTR1 3 kW 240 V AC, at tank
wire kind default: 10 AWG copper THWN-2 black, 10 m
circuit "Heater"
  MAINS:L1 --1-- FU1 --3-- HTR1:1-2 --4-- FU2 --2-- MAINS:L2
  HTR1:PE --PE-- MAINS:PE
"""

SENSOR = """\
panel "Rain"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
sensor B1 two-wire DC normally open, leaks 0.8 mA, drops 5 V
relay K1 coil 24 V DC 3 W; normally open 13-14
circuit "Rain"
  E1:+ --1-- B1 --2-- K1:A1-A2 --3-- E1:0V
"""

CONTROLLER = """\
panel "Mist"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
float switch FL1 "Water" normally open 13-14
controller PLC1 24 V DC 6 W; inputs I0 I1 to 0V 24 V DC 6 mA;
  transistor outputs Q0 Q1 from + 24 V DC 0.5 A leaks 0.1 mA
valve Y1 24 V DC 6 W
circuit "Mist"
  E1:+ --1-- PLC1:+
  PLC1:0V --2-- E1:0V
  E1:+ --3-- FL1 --4-- PLC1:I0
  PLC1:Q1 --5-- Y1 --6-- E1:0V
"""

TWO_CONTROLLERS = """\
panel "Two controllers on one supply"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
supply PS1 120 V AC to 24 V DC, 5 A, limits at 6 A, isolated, 0V grounded
disconnect QS1 1-pole, 1 A
fuse FU1 3 A
fuse FU2 1 A
controller PLC1 24 V DC 6 W; inputs I0 to 0V 24 V DC 6 mA;
  transistor outputs Q0 from + 24 V DC 0.5 A
controller PLC2 24 V DC 6 W; inputs I0 to 0V 24 V DC 6 mA;
  transistor outputs Q0 from + 24 V DC 0.5 A
button S1 normally open 13-14
valve Y1 24 V DC 6 W
valve Y2 24 V DC 6 W
valve Y3 24 V DC 96 W
circuit "Mist"
  MAINS:L1 --1-- PS1:L-N --2-- MAINS:N
  PS1:+ --3-- QS1 --4-- FU1 --5-- PLC1:+-0V --9-- PS1:0V
  QS1:2 --4-- FU2 --6-- PLC2:+-0V --9-- PLC1:0V
  PLC1:Q0 --7-- Y1 --9-- PLC1:0V
  PLC2:Q0 --8-- Y2 --9-- PLC1:0V
  QS1:2 --4-- S1 --10-- PLC2:I0
"""

TOO_FEW_VOLTS = """\
panel "Sensor that keeps too much"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
sensor B1 two-wire DC normally open, leaks 1.5 mA, drops 12 V
controller PLC1 24 V DC 6 W; inputs I0 to 0V 24 V DC 6 mA
circuit "Rain"
  E1:+ --1-- PLC1:+
  PLC1:0V --2-- E1:0V
  E1:+ --3-- B1 --4-- PLC1:I0
"""

TWO_HANDS = """\
panel "A valve that both hands start"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
button S0 normally closed 11-12
button S1 normally open 13-14
button S2 normally open 13-14
relay K1 coil 24 V DC 3 W; normally open 13-14 23-24
valve Y1 24 V DC 8 W
circuit "Valve"
  E1:+ --1-- S0 --2-- S1 --3-- S2 --4-- K1:A1-A2 --9-- E1:0V
  S0:12 --2-- K1:13-14 --4-- K1:A1
  S0:12 --2-- K1:23-24 --5-- Y1 --9-- E1:0V
"""

WINDINGS = """\
panel "Fan and bell"
source MAINS 120 V AC 60 Hz, 10 kA available, neutral bonded here
switch SS1 normally open 1-2
motor M1 1/4 hp 115 V AC single-phase
contactor K1 coil 120 V AC 20 VA sealed; 1 main pole
circuit "Fan"
  MAINS:L --1-- SS1 --2-- M1:T1-T2 --3-- MAINS:N
  SS1:2 --4-- K1:A1-A2 --5-- MAINS:N
"""

THREE_PHASE = """\
panel "Boiler"
source MAINS 480 V AC three-phase 60 Hz, 10 kA available, ungrounded
fuse FU1 30 A
heater HTR1 9 kW 480 V AC three-phase
circuit "Boiler"
  MAINS:L1 --1-- FU1 --2-- HTR1:1
  MAINS:L2 --3-- HTR1:2
  MAINS:L3 --4-- HTR1:3
"""

THREE_LINES = """\
panel "Booster"
source MAINS 480 V AC three-phase 60 Hz, 10 kA available, ungrounded
edge E1 24 V DC, fused 2 A, 0V grounded
fuse FU1 15 A
fuse FU2 15 A
fuse FU3 15 A
phase monitor PM1 480 V AC three-phase 3 VA; normally open 11-14
lamp H1 24 V DC 1 W
circuit "Watch"
  MAINS:L1 --1-- FU1 --4-- PM1:L1
  MAINS:L2 --2-- FU2 --5-- PM1:L2
  MAINS:L3 --3-- FU3 --6-- PM1:L3
  E1:+ --7-- PM1:11-14 --8-- H1 --9-- E1:0V
"""

ALL = {
    "three-phase": THREE_PHASE,
    "valve": VALVE,
    "heater": HEATER,
    "sensor": SENSOR,
    "controller": CONTROLLER,
    "windings": WINDINGS,
}


def panel_of(text: str, withs: Sequence[str] = (), faults: Sequence[str] = ()) -> Panel:
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert [] == [mistake.message for mistake in mistakes]
    return suppose(panel, withs, faults).panel


def load_of(panel: Panel, device: str) -> Part:
    """The first load of a device."""
    parts = (panel.parts[index] for index in panel.devices[device].parts)
    return next(part for part in parts if part.load is not None)


def greenhouse() -> Panel:
    return sample(SAMPLES / "greenhouse.panel")


def sample(path: Path) -> Panel:
    """A sample panel, with what it includes."""
    panel, _ = build_panel(str(path), gather(str(path), FileLoader({str(path): str(path.parent)})))
    return panel


def string_of(contacts: int) -> str:
    """So many normally closed contacts in series before a lamp."""
    names = [f"LS{number}" for number in range(1, contacts + 1)]
    devices = "\n".join(f"limit switch {name} normally closed 11-12" for name in names)
    way = " ".join(f"--{number}-- {name}" for number, name in enumerate(names, start=1))
    return f"""\
panel "Vents shut"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
lamp H1 24 V DC 1 W
{devices}
circuit "Vents"
  E1:+ {way} --98-- H1 --99-- E1:0V
"""
