"""Where the path of a dead load ends, and which loads one cause keeps dead.

Sources: circuit theory; that one root is one finding is common practice.
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.breaks import Kind
from netcheck.facts.open_paths import OpenPath, OpenPaths, names_of
from netcheck.finding import Family, Finding
from netcheck.model.panel import Panel
from netcheck.record import replace
from netcheck.review import judge
from tests.facts.panels import panel_of

HEAD = """panel "Bench"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
"""
RELAYS = """button S1 normally closed 11-12
button S2 normally open 13-14
relay K1 coil 24 V DC 1 W with diode; normally open 13-14 23-24
relay K2 coil 24 V DC 1 W with diode; normally open 13-14
lamp H1 24 V DC 2 W
lamp H2 24 V DC 2 W
circuit "Bench"
"""


def paths_in(text: str) -> tuple[OpenPath, ...]:
    return Case(panel_of(HEAD + text)).conclude(OpenPaths).found


def only(text: str) -> OpenPath:
    (found,) = paths_in(text)
    return found


def test_a_missing_return_ends_at_the_load() -> None:
    found = only(RELAYS + "  E1:+ -- H1\n")
    assert (Kind.NO_WIRE, "H1:X2", "E1:0V") == (
        found.broken.kind,
        found.broken.last,
        found.broken.first,
    )


def test_a_feed_that_stops_is_told_from_the_end_that_leads_nowhere() -> None:
    found = only(RELAYS + "  E1:+ -- S1 -- S2\n  K1:A1-A2 -- E1:0V\n")
    assert (Kind.NO_WIRE, "S2:14", "K1:A1") == (
        found.broken.kind,
        found.broken.last,
        found.broken.first,
    )
    (arrow,) = [step for step in found.broken.path if step.here]
    assert ("S2:14", "no wire") == (arrow.at, arrow.by)


def test_a_lost_common_is_one_cause_that_names_all_it_cuts_off() -> None:
    lines = "".join(f"  E1:+ -- {load} -- X1:1\n" for load in ("K1:A1-A2", "K2:A1-A2", "H1", "H2"))
    found = only("strip X1 terminals 1 to 2\n" + RELAYS + lines)
    assert ("K1", "K2", "H1", "H2") == names_of(found.loads)


def test_what_waits_for_a_dead_coil_goes_with_it_and_so_does_what_waits_for_that() -> None:
    found = only(
        RELAYS
        + "  E1:+ -- K1:A1\n  E1:+ -- K1:13-14 -- K2:A1-A2 -- E1:0V\n"
        + "  E1:+ -- K2:13-14 -- H1 -- E1:0V\n"
    )
    assert ("K1",) == names_of(found.loads)
    assert ("K2", "H1") == names_of(found.waiting)


def test_two_relays_that_wait_for_one_another_are_one_cause() -> None:
    found = only(
        RELAYS
        + "  E1:+ -- K2:13-14 -- K1:A1-A2 -- E1:0V\n  E1:+ -- K1:13-14 -- K2:A1-A2 -- E1:0V\n"
        + "  E1:+ -- K1:23-24 -- H1 -- E1:0V\n"
    )
    assert Kind.WAITING is found.broken.kind
    assert ("K1", "K2") == names_of(found.loads)
    assert ("H1",) == names_of(found.waiting)


def test_a_start_button_that_ends_in_the_open_explains_a_relay_that_waits_for_itself() -> None:
    found = only(RELAYS + "  E1:+ -- S2\n  E1:+ -- K1:13-14 -- K1:A1-A2 -- E1:0V\n")
    assert (Kind.NO_WIRE, "S2:14") == (found.broken.kind, found.broken.last)


def test_the_fewest_contacts_that_exclude_one_another_are_named() -> None:
    text = """selector SS1 positions HAND OFF AUTO; 13-14 in HAND; 23-24 in AUTO
switch S1 normally open 1-2
lamp H1 24 V DC 2 W
circuit "Bench"
  E1:+ -- SS1:13-14 -- S1 -- SS1:23-24 -- H1 -- E1:0V
"""
    found = only(text)
    assert Kind.CONTACTS is found.broken.kind
    assert ["SS1 13-14", "SS1 23-24"] == [part.label for part in found.broken.parts]


def test_a_contact_that_an_assumption_keeps_open_is_never_closed() -> None:
    text = """switch S1 normally open 1-2
lamp H1 24 V DC 2 W
circuit "Bench"
  E1:+ -- S1 -- H1 -- E1:0V
assume S1 is never on
"""
    assert ["S1 1-2"] == [part.label for part in only(text).broken.parts]


def test_a_load_on_ground_of_a_source_that_is_not_grounded_is_dead() -> None:
    text = """battery B1 24 V DC, ungrounded, fused 3 A, 100 A available
grounding bar GB1 terminals 1 to 2
lamp H1 24 V DC 2 W
circuit "Bench"
  B1:+ -- H1 -- GB1:1
  E1:PE -- GB1:2
"""
    found = only(text)
    assert (Kind.ON_GROUND, "GB1:1") == (found.broken.kind, found.broken.last)


def test_one_number_on_two_places_is_where_the_wire_is_missing() -> None:
    found = only(
        "strip X1 terminals 1 to 2\n" + RELAYS + "  E1:+ --7-- X1:1\n  X1:2 --7-- H1 -- E1:0V\n"
    )
    assert ("7", "X1:1", "X1:2") == (found.broken.number, found.broken.last, found.broken.first)


PUMP = """panel "Pump"
edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded, from "lighting panel"
supply PS1 120 V AC to 24 V DC, 2.5 A, isolated, 0V grounded
fuse FU1 1 A
contactor K1 coil 24 V DC 3 W with diode; 1 main pole 25 A; auxiliary normally open 13-14 23-24
overload OL1 1-pole, set 4.4 A; trip contact normally closed 95-96
motor M1 1/6 hp 115 V AC single-phase, 4.4 A full load
button S1 normally closed 11-12
button S2 normally open 13-14
float switch FL1 normally open 13-14
lamp H1 24 V DC 20 mA LED
circuit "Power"
  E1:L -- K1:1-2 -- OL1:1-2 -- M1:T1-T2 -- E1:N
  K1:1 -- PS1:L-N -- M1:T2
circuit "Control"
  PS1:+ -- FU1 -- OL1:95-96 -- S1 -- S2 -- FL1 -- K1:A1-A2 -- PS1:0V
  S2:13 -- K1:13-14 -- S2:14
  FU1:2 -- K1:23-24 -- H1 -- K1:A2
"""
WIRES = range(len(panel_of(PUMP).wires))
COIL_ALONE = {"OL1:95", "OL1:96", "S1:12", "S2:14", "FL1:14"}
"""Each wire that feeds K1's coil and nothing else ends at one of them."""


def findings_of(panel: Panel) -> list[Finding]:
    return [one for one in judge(panel).findings if one.family is Family.OPEN_PATH]


def test_the_pump_is_sound_as_drawn() -> None:
    assert [] == findings_of(panel_of(PUMP))


@pytest.mark.parametrize("taken", WIRES)
def test_each_wire_taken_away_is_one_finding(taken: int) -> None:
    """Seal-in wires leave every load fed: there it is an end that leads nowhere.  In the coil's
    own wires the relay speaks, and names the motor and the lamp that wait for it."""
    panel = panel_of(PUMP)
    left = tuple(wire for wire in panel.wires if wire.index != taken)
    (finding,) = findings_of(replace(panel, wires=left))
    seal_in = {"S2:13", "K1:13"}, {"K1:14", "S2:14"}
    missing = panel.wires[taken]
    if {missing.a, missing.b} in seal_in:
        expected = "end not connected"
    elif not COIL_ALONE.isdisjoint((missing.a, missing.b)):
        expected = "relay never pulls in"
        assert {"M1", "H1"} <= set(finding.devices)
    else:
        expected = "load never energised"
    assert expected == finding.rule
