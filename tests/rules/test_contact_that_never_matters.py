"""Contacts that look idle and are not, and contacts that are.

Circuits of the trade, drawn from memory; no source was read.
"""

from __future__ import annotations

import pytest

from netcheck.review import judge
from tests.facts.panels import panel_of

HEAD = """panel "Bench"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
edge E2 240 V AC 60 Hz, fused 15 A, 5 kA available, from "main panel"
"""
SOUND = {
    "a switch for three heats": """
selector SS1 positions OFF LOW MEDIUM HIGH; 1-2 in MEDIUM HIGH;
  3-4 in HIGH; 5-6 in LOW; 7-8 in LOW MEDIUM HIGH
heater H1 500 W 240 V AC
heater H2 500 W 240 V AC
circuit "Bench"
  E2:L1 -- SS1:1-2 -- H1:1
  E2:L1 -- SS1:5-6 -- H2:1
  H1:1-2 -- E2:L2
""",
    "elements in series on low and side by side on high": """
selector SS1 positions OFF LOW HIGH; 1-2 in HIGH; 3-4 in HIGH; 5-6 in LOW
heater H1 500 W 240 V AC
heater H2 500 W 240 V AC
circuit "Bench"
  E2:L1 -- H1:1
  E2:L1 -- SS1:1-2 -- H2:1
  H1:2 -- SS1:3-4 -- E2:L2
  H1:2 -- SS1:5-6 -- H2:1
  H2:2 -- E2:L2
""",
    "a lamp dimmed through a resistor": """
switch S1 normally open 1-2 3-4
switch S2 normally open 1-2
resistor R1 40 ohm
lamp H1 24 V DC 10 W
circuit "Bench"
  E1:+ -- S1:1-2 -- H1 -- E1:0V
  E1:+ -- S2 -- R1 -- H1:X1
""",
    "two channels read by a controller": """
controller PLC1 24 V DC 8 W; inputs I0 I1 to 0V, 24 V DC, 6 mA
emergency stop ES1 normally closed 11-12 21-22
circuit "Bench"
  E1:+ -- PLC1:+
  PLC1:0V -- E1:0V
  E1:+ -- ES1:11-12 -- PLC1:I0
  E1:+ -- ES1:21-22 -- PLC1:I1
""",
    "a transfer between two mains": """
edge E3 240 V AC 60 Hz, fused 15 A, 5 kA available, from "lighting panel"
contactor K1 coil 240 V AC 8 VA; 2 main poles 25 A; auxiliary normally closed 21-22
contactor K2 coil 240 V AC 8 VA; 2 main poles 25 A; auxiliary normally closed 21-22
mechanical interlock K1 and K2
heater H1 500 W 240 V AC
circuit "Bench"
  E2:L1 -- K2:21-22 -- K1:A1-A2 -- E2:L2
  E3:L1 -- K1:21-22 -- K2:A1-A2 -- E3:L2
  E2:L1 -- K1:1-2 -- H1:1-2 -- K1:4
  K1:3 -- E2:L2
  E3:L1 -- K2:1-2 -- H1:1
  E3:L2 -- K2:3-4 -- H1:2
""",
    "a voltmeter and its selector": """
selector SS1 positions L1 OFF L2; 1-2 in L1; 3-4 in L2
voltmeter PV1 300 V AC
heater H1 500 W 240 V AC
circuit "Bench"
  E2:L1 -- SS1:1-2 -- PV1:1-2 -- E2:L2
  E2:L2 -- SS1:3-4 -- PV1:1
  E2:L1 -- H1 -- E2:L2
""",
    "a button across an ammeter": """
button S1 normally closed 1-2
ammeter PA1 20 A
heater H1 500 W 240 V AC
circuit "Bench"
  E2:L1 -- PA1 -- H1 -- E2:L2
  PA1:1 -- S1 -- PA1:2
""",
}
RELAYS = """button S1 normally closed 11-12
button S2 normally open 13-14 23-24
relay K1 coil 24 V DC 1 W; normally open 13-14 23-24; normally closed 31-32
lamp H1 24 V DC 2 W
circuit "Bench"
"""


def idle(text: str) -> list[str]:
    found = judge(panel_of(HEAD + text)).findings
    return [one.message for one in found if one.rule == "contact that never matters"]


@pytest.mark.parametrize("circuit", SOUND.values(), ids=SOUND)
def test_a_contact_that_matters_in_a_way_of_its_own_is_not_told(circuit: str) -> None:
    assert [] == idle(circuit)


def test_a_jumper_across_a_stop_is_told_with_its_wire() -> None:
    (message,) = idle(
        RELAYS + "  E1:+ --1-- S1 --2-- S2:13-14 -- K1:A1-A2 -- E1:0V\n  S1:11 --3-- S1:12\n"
        "  E1:+ -- K1:13-14 -- H1 -- E1:0V\n"
    )
    assert message.startswith("`S1 11-12` never matters")
    assert message.endswith("wire 3 bridges it")


def test_a_contact_in_a_branch_that_another_branch_always_bridges_is_told_with_it() -> None:
    (message,) = idle(
        RELAYS + "  E1:+ -- S1 -- K1:A1-A2 -- E1:0V\n  E1:+ -- S2:13-14 -- H1 -- E1:0V\n"
        "  S2:13 -- S2:23-24 -- K1:13-14 -- S2:14\n"
    )
    assert message.startswith("`K1 13-14` never matters")
    assert "`S2 13-14` around it are closed whenever it could carry current" in message


def test_the_same_contact_beside_another_button_matters() -> None:
    assert [] == idle(
        RELAYS + "  E1:+ -- S1 -- K1:A1-A2 -- E1:0V\n  E1:+ -- S2:13-14 -- H1 -- E1:0V\n"
        "  S2:13 -- K1:13-14 -- S2:14\n"
    )
