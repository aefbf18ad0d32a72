"""Relays that hold themselves in: what counts as letting one go.

Source: three-wire control, a stop in series with the seal-in (common practice).
"""

from __future__ import annotations

import pytest

from netcheck.review import judge
from tests.facts.panels import panel_of

HEAD = """panel "Fan"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
button S1 normally closed 11-12
button S2 normally open 13-14
overload OL1 set 4 A; trip contact normally closed 95-96
relay K1 coil 24 V DC 1 W with diode{mark}; normally open 13-14 23-24
relay K2 coil 24 V DC 1 W with diode; normally open 13-14; normally closed 21-22
circuit "Fan"
"""


def is_told(circuit: str, mark: str = "") -> bool:
    found = judge(panel_of(HEAD.replace("{mark}", mark) + circuit)).findings
    return "relay that nothing drops out" in {one.rule for one in found}


def test_a_seal_in_with_no_stop_is_told() -> None:
    assert is_told("  E1:+ -- S2 -- K1:A1-A2 -- E1:0V\n  S2:13 -- K1:13-14 -- S2:14\n")


def test_a_stop_ahead_of_the_start_alone_lets_nothing_go() -> None:
    assert is_told("  E1:+ -- S1 -- S2 -- K1:A1-A2 -- E1:0V\n  S1:11 -- K1:13-14 -- S2:14\n")


def test_a_stop_ahead_of_both_lets_it_go() -> None:
    assert not is_told("  E1:+ -- S1 -- S2 -- K1:A1-A2 -- E1:0V\n  S2:13 -- K1:13-14 -- S2:14\n")


def test_a_trip_is_no_way_of_stopping() -> None:
    assert is_told("  E1:+ -- OL1:95-96 -- S2 -- K1:A1-A2 -- E1:0V\n  S2:13 -- K1:13-14 -- S2:14\n")


def test_another_relay_may_let_it_go() -> None:
    assert not is_told(
        "  E1:+ -- K2:21-22 -- S2 -- K1:A1-A2 -- E1:0V\n  S2:13 -- K1:13-14 -- S2:14\n"
        "  E1:+ -- S1 -- K2:A1-A2 -- E1:0V\n"
    )


@pytest.mark.parametrize("circuit", ["  E1:+ -- K1:A1-A2 -- E1:0V\n"])
def test_a_relay_that_is_in_whenever_its_supply_is_there_is_not_told(circuit: str) -> None:
    assert not is_told(circuit)


def test_a_mark_says_that_it_is_meant_to_stay_in() -> None:
    circuit = "  E1:+ -- S2 -- K1:A1-A2 -- E1:0V\n  S2:13 -- K1:13-14 -- S2:14\n"
    assert not is_told(circuit, ", always on")
