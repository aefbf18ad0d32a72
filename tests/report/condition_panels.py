"""Small panels, one for each way a load's condition is told."""

from __future__ import annotations

from netcheck.model.build import build_panel
from netcheck.network.nodes import find_nodes
from netcheck.reading.project import gather
from netcheck.report.condition_sheet import Accounts, sheet_of
from netcheck.states.behaviour import Behaviour
from netcheck.states.conditions import Conditions
from tests.annotated import Texts

HEAD = 'panel "Greenhouse"\nsource MAINS 120 V AC, ungrounded\n'

PANELS = {
    "held": """
button S1 "Stop" normally closed 11-12
button S2 "Start" normally open 13-14
overload OL1 1-pole; trip contact normally closed 95-96
contactor K1 coil 120 V AC; 1 main pole; auxiliary normally open 13-14
motor M1 "Pump" 1/4 hp 115 V AC single-phase
lamp H1 "Pump stands" 120 V AC
relay KA coil 120 V AC; normally closed 11-12
circuit "Pump"
  MAINS:L -- S1 -- S2 -- OL1:95-96 -- K1:A1-A2 -- MAINS:N
  S1:12 -- K1:13-14 -- S2:14
  MAINS:L -- K1:1-2 -- M1:T1-T2 -- MAINS:N
  S2:14 -- KA:A1-A2 -- MAINS:N
  MAINS:L -- KA:11-12 -- H1 -- MAINS:N
""",
    "jog": """
button S1 "Stop" normally closed 11-12
button S2 "Start" normally open 13-14
button S3 "Jog" normally open 13-14; normally closed 21-22
relay K1 coil 120 V AC; normally open 13-14 23-24
motor M1 "Conveyor" 1/4 hp 115 V AC single-phase
circuit "Conveyor"
  MAINS:L -- S1 -- S2 -- K1:A1-A2 -- MAINS:N
  S1:12 -- S3:21-22 -- K1:13-14 -- S2:14
  S1:12 -- S3:13-14 -- S2:14
  MAINS:L -- K1:23-24 -- M1:T1-T2 -- MAINS:N
""",
    "passing selector": """
selector SS1 "Fan" positions HAND OFF AUTO; 13-14 in HAND; 23-24 in OFF
button S2 "Start" normally open 13-14
relay K1 coil 120 V AC; normally open 13-14
circuit "Fan"
  MAINS:L -- SS1:13-14 -- S2 -- K1:A1-A2 -- MAINS:N
  SS1:13 -- SS1:23-24 -- SS1:14
  SS1:14 -- K1:13-14 -- S2:14
""",
    "selector": """
selector SS1 "Vent" positions CLOSE OFF OPEN AUTO; 13-14 in OPEN; 23-24 in CLOSE; 33-34 in AUTO
limit switch LS1 "Fully open" normally closed 11-12
limit switch LS2 "Fully closed" normally closed 11-12
switch S5 "Rain" normally closed 1-2
assume LS1 and LS2 are never operated together
relay K1 "Opens" coil 120 V AC; normally open 13-14; normally closed 21-22
relay K2 "Closes" coil 120 V AC; normally open 13-14; normally closed 21-22
lamp H1 "Vent moves" 120 V AC
circuit "Vent"
  MAINS:L -- SS1:13-14 -- K2:21-22 -- LS1 -- K1:A1-A2 -- MAINS:N
  MAINS:L -- SS1:23-24 -- K1:21-22 -- LS2 -- K2:A1-A2 -- MAINS:N
  MAINS:L -- SS1:33-34 -- S5 -- SS1:14
  MAINS:L -- K1:13-14 -- H1 -- MAINS:N
  K1:13 -- K2:13-14 -- H1:X1
""",
    "locked out by turns": """
button S1 "Forwards" normally open 13-14
button S2 "Backwards" normally open 13-14
relay K1 coil 120 V AC; normally closed 21-22
relay K2 coil 120 V AC; normally closed 21-22
circuit "Trolley"
  MAINS:L -- S1 -- K2:21-22 -- K1:A1-A2 -- MAINS:N
  MAINS:L -- S2 -- K1:21-22 -- K2:A1-A2 -- MAINS:N
""",
    "blocked mechanically": """
switch S1 "Forwards" normally open 1-2
switch S2 "Backwards" normally open 1-2
contactor K1 coil 120 V AC; 1 main pole
contactor K2 coil 120 V AC; 1 main pole
mechanical interlock K1 and K2
circuit "Trolley"
  MAINS:L -- S1 -- K1:A1-A2 -- MAINS:N
  MAINS:L -- S2 -- K2:A1-A2 -- MAINS:N
""",
    "held by a follower": """
emergency stop ES1 normally closed 11-12
button S1 "Reset" normally open 13-14
contactor K1 coil 120 V AC; 1 main pole; auxiliary normally open 13-14
relay KA coil 120 V AC; normally open 13-14
lamp H1 120 V AC
circuit "Master"
  MAINS:L -- ES1 -- S1 -- K1:A1-A2 -- MAINS:N
  ES1:12 -- KA:13-14 -- S1:14
  MAINS:L -- K1:13-14 -- KA:A1-A2 -- MAINS:N
  MAINS:L -- K1:1-2 -- H1 -- MAINS:N
""",
    "timers": """
switch S1 "Mist" normally open 1-2
on-delay timer KT1 10 min; coil 120 V AC; timed normally open 15-18;
  instantaneous normally open 23-24
off-delay timer KT2 90 s; coil 120 V AC; timed normally open 17-18
valve Y1 "Mist" 120 V AC
lamp H1 "Pause" 120 V AC
lamp H2 "Fan runs on" 120 V AC
circuit "Mist"
  MAINS:L -- S1 -- KT1:A1-A2 -- MAINS:N
  S1:2 -- KT1:15-18 -- Y1 -- MAINS:N
  MAINS:L -- KT1:23-24 -- H1 -- MAINS:N
  Y1:1 -- KT2:A1-A2 -- MAINS:N
  MAINS:L -- KT2:17-18 -- H2 -- MAINS:N
""",
    "latching": """
button S1 "Day" normally open 13-14
button S2 "Night" normally open 13-14
latching relay K1 set coil A1-A2 120 V AC; reset coil A3-A4 120 V AC; normally open 13-14
lamp H1 120 V AC
circuit "Shift"
  MAINS:L -- S1 -- K1:A1-A2 -- MAINS:N
  MAINS:L -- S2 -- K1:A3-A4 -- MAINS:N
  MAINS:L -- K1:13-14 -- H1 -- MAINS:N
""",
    "chattering": """
switch S1 normally open 1-2
relay K1 coil 120 V AC; normally closed 11-12; normally open 23-24
lamp H1 120 V AC
circuit "Buzzer"
  MAINS:L -- S1 -- K1:11-12 -- K1:A1-A2 -- MAINS:N
  MAINS:L -- K1:23-24 -- H1 -- MAINS:N
""",
    "in series": """
switch S1 normally open 1-2
relay K1 coil 120 V AC; normally open 13-14
lamp H1 120 V AC
lamp H2 120 V AC
circuit "Lamp and coil"
  MAINS:L -- S1 -- H1 -- K1:A1-A2 -- MAINS:N
  MAINS:L -- K1:13-14 -- H2 -- MAINS:N
""",
    "in passing": """
switch S1 normally open 1-2
on-delay timer KT1 60 s; coil 120 V AC; timed normally closed 15-16; timed normally open 27-28
off-delay timer KT2 2 s; coil 120 V AC; timed normally open 17-18
circuit "Pulses"
  MAINS:L -- S1 -- KT1:15-16 -- KT1:A1-A2 -- MAINS:N
  S1:2 -- KT1:27-28 -- KT2:A1-A2 -- MAINS:N
""",
    "never and always": """
button S1 normally open 13-14; normally closed 21-22
lamp H1 120 V AC
lamp H2 120 V AC
controller PLC1 120 V AC 5 W; relay outputs Q0 from L; inputs I0 I1 to N 120 V AC 6 mA
circuit "Lamps"
  MAINS:L -- S1:13-14 -- S1:21-22 -- H1 -- MAINS:N
  MAINS:L -- H2 -- MAINS:N
""",
}


def conditions_of(name: str) -> Conditions:
    return conditions_of_text(HEAD + PANELS[name])


def conditions_of_text(text: str) -> Conditions:
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes, mistakes
    return Conditions(Behaviour(panel, find_nodes(panel)))


def told(conditions: Conditions, *names: str) -> dict[str, list[str]]:
    """For each load asked for, the lines of its account."""
    sheet = sheet_of(conditions, names)
    assert sheet.panel is not None
    accounts = Accounts(sheet, sheet.panel)
    return {
        accounts.label(load): [
            " | ".join([f"{line.name}: {line.said.lead}", *line.said.alternatives])
            for line in accounts.of(load)
        ]
        for load in sheet.loads
    }
