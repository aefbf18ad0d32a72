"""Contactors that pull opposite ways: what is said of a pair, by how they are kept apart.

Sources: a normally closed contact of each in the other's coil, and a mechanical interlock
besides, is common practice for reversing starters; no standard was read.
"""

from __future__ import annotations

import pytest

from netcheck.review import judge
from tests.facts.panels import panel_of

HEAD = """panel "Vent"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
button S1 normally open 13-14
button S2 normally open 13-14
selector SS1 positions CLOSE OFF OPEN; 13-14 in CLOSE; 23-24 in OPEN
contactor K1 coil 24 V DC 3 W with diode; auxiliary normally closed 21-22
contactor K2 coil 24 V DC 3 W with diode; auxiliary normally closed 21-22
opposing K1 and K2
"""
EACH = (
    "  E1:+ -- S1 -- K2:21-22 -- K1:A1-A2 -- E1:0V\n  E1:+ -- S2 -- K1:21-22 -- K2:A1-A2 -- E1:0V\n"
)
ONE = "  E1:+ -- S1 -- K1:A1-A2 -- E1:0V\n  E1:+ -- S2 -- K1:21-22 -- K2:A1-A2 -- E1:0V\n"
NONE = "  E1:+ -- S1 -- K1:A1-A2 -- E1:0V\n  E1:+ -- S2 -- K2:A1-A2 -- E1:0V\n"
SELECTED = "  E1:+ -- SS1:13-14 -- K1:A1-A2 -- E1:0V\n  E1:+ -- SS1:23-24 -- K2:A1-A2 -- E1:0V\n"
FIGHT, APART = "outputs that fight", "opposing pair without interlock"


def told(circuit: str, more: str = "") -> list[tuple[str, str]]:
    found = judge(panel_of(f'{HEAD}{more}circuit "Vent"\n{circuit}')).findings
    return [(one.rule, one.message) for one in found if one.rule in (FIGHT, APART)]


def test_each_through_the_other_s_closed_contact_is_an_interlock() -> None:
    assert [] == told(EACH)


def test_nothing_between_two_buttons_lets_both_in_to_stay() -> None:
    assert [FIGHT] == [rule for rule, _ in told(NONE)]


def test_a_contact_on_one_side_lets_both_in_for_a_moment_and_the_other_side_is_named() -> None:
    ((rule, message),) = told(ONE)
    assert APART == rule
    assert "for a moment while relays settle" in message
    assert message.endswith(": no contact of `K2` keeps `K1` out")


def test_a_selector_between_them_leaves_a_race() -> None:
    ((rule, message),) = told(SELECTED)
    assert APART == rule
    assert "if an operation overtakes relays still moving" in message


def test_a_mechanical_interlock_alone_leaves_one_coil_pulling_against_it() -> None:
    ((rule, message),) = told(NONE, "mechanical interlock K1 and K2\n")
    assert APART == rule
    assert "held apart mechanically alone" in message


@pytest.mark.parametrize("circuit", [EACH, SELECTED])
def test_a_mechanical_interlock_and_one_in_the_circuit_are_enough(circuit: str) -> None:
    assert [] == told(circuit, "mechanical interlock K1 and K2\n")


def test_what_is_assumed_of_the_buttons_keeps_them_apart_but_shows_no_weld() -> None:
    rules = [rule for rule, _ in told(NONE, "assume S1 and S2 are never pressed together\n")]
    assert [APART] == rules


def test_outputs_of_opposite_sense_on_one_node_are_a_missing_load() -> None:
    text = """panel "Outputs"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
controller PLC1 24 V DC 8 W; transistor outputs Q0 from +, 0.5 A; transistor outputs Q1 to 0V, 0.5 A
lamp H1 24 V DC 2 W
circuit "Outputs"
  E1:+ -- PLC1:+
  PLC1:0V -- E1:0V
  PLC1:Q0 -- H1 -- E1:0V
  PLC1:Q1 -- H1:X1
"""
    assert "missing load" in {one.rule for one in judge(panel_of(text)).findings}
