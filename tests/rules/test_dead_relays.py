"""Which rule speaks of a coil that never moves: the trade's three ways for a relay to be dead.

Sources: circuit theory; that one root is one finding is common practice.
"""

from __future__ import annotations

import pytest

from netcheck.finding import Family
from netcheck.review import judge
from tests.facts.panels import panel_of

HEAD = """panel "Bench"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
button S1 normally closed 11-12; normally open 13-14
relay K1 coil 24 V DC 1 W with diode; normally open 13-14 23-24; normally closed 31-32
relay K2 coil 24 V DC 1 W with diode; normally open 13-14 23-24; normally closed 31-32
on-delay timer KT1 5 s; coil 24 V DC 1 W with diode; timed normally open 15-18;
  instantaneous normally closed 31-32
latching relay K6 set coil A1-A2 24 V DC 1 W; reset coil A3-A4 24 V DC 1 W; normally open 13-14
lamp H1 24 V DC 2 W
"""


def told(text: str) -> list[tuple[str, str]]:
    """Rule and message of what is found of relays and loads that are dead or never settle."""
    rules = (
        "relay never pulls in",
        "load never energised",
        "contradictory interlock",
        "chattering",
    )
    found = judge(panel_of(f'{HEAD}circuit "Bench"\n{text}')).findings
    return [(one.rule, one.message) for one in found if one.rule in rules]


def test_a_relay_asked_to_be_in_and_out_never_pulls_in() -> None:
    ((rule, message),) = told("  E1:+ -- K2:13-14 -- K2:31-32 -- K1:A1-A2 -- E1:0V\n"
                              "  E1:+ -- S1:13-14 -- K2:A1-A2 -- E1:0V\n")  # fmt: skip
    assert "relay never pulls in" == rule
    assert "`K2` cannot be in and out at once" in message


def test_a_relay_that_waits_for_its_own_contact_never_pulls_in() -> None:
    ((rule, _),) = told("  E1:+ -- S1:13-14 -- K1:13-14 -- K1:A1-A2 -- E1:0V\n")
    assert "relay never pulls in" == rule


def test_two_relays_that_wait_for_one_another_are_a_contradictory_interlock() -> None:
    ((rule, message),) = told(
        "  E1:+ -- K2:13-14 -- K1:A1-A2 -- E1:0V\n  E1:+ -- K1:13-14 -- K2:A1-A2 -- E1:0V\n"
        "  E1:+ -- K1:23-24 -- H1 -- E1:0V\n"
    )
    assert "contradictory interlock" == rule
    assert "they wait for one another, `K1` for `K2 13-14`" in message
    assert "`H1` is never energised" in message


def test_a_common_lost_to_a_relay_and_a_lamp_is_told_once_as_the_load_s() -> None:
    ((rule, message),) = told("  E1:+ -- S1:13-14 -- K1:A1-A2 -- H1:X2\n  S1:14 -- H1\n")
    assert "load never energised" == rule
    assert message.startswith("`K1` and `H1` are never energised")


def test_a_relay_through_its_own_closed_contact_chatters_and_is_not_dead() -> None:
    ((rule, _),) = told("  E1:+ -- S1:13-14 -- K1:31-32 -- K1:A1-A2 -- E1:0V\n")
    assert "chattering" == rule


def test_a_timer_whose_instantaneous_contact_opens_its_own_coil_chatters() -> None:
    ((rule, message),) = told("  E1:+ -- S1:13-14 -- KT1:31-32 -- KT1:A1-A2 -- E1:0V\n")
    assert "chattering" == rule
    assert "`KT1 31-32`" in message


@pytest.mark.parametrize(
    ("wires", "words"),
    [
        ("  E1:+ -- S1:13-14 -- K6:A1-A2 -- E1:0V\n  K6:A2 -- K6:A4\n", "`K6` is never reset"),
        ("  E1:+ -- S1:13-14 -- K6:A3-A4 -- E1:0V\n  K6:A2 -- K6:A4\n", "`K6` is never set"),
    ],
)
def test_a_latching_relay_that_lacks_one_coil_says_which(wires: str, words: str) -> None:
    ((rule, message),) = told(wires)
    assert ("relay never pulls in", True) == (rule, message.startswith(words))


def test_a_relay_that_what_is_assumed_keeps_out_is_told_though_its_coil_is_fed() -> None:
    ((rule, message),) = told(
        "  E1:+ -- S1:13-14 -- K1:A1-A2 -- E1:0V\n  E1:+ -- K1:13-14 -- H1 -- E1:0V\n"
        "  K1:13 -- K1:31-32 -- K1:14\nassume K1 is never in\n"
    )
    assert "relay never pulls in" == rule
    assert "what is assumed of it never lets it move" in message


def test_a_lamp_behind_the_contact_of_such_a_relay_is_told_once() -> None:
    ((rule, message),) = told(
        "  E1:+ -- S1:13-14 -- K1:A1-A2 -- E1:0V\n  E1:+ -- K1:13-14 -- H1 -- E1:0V\n"
        "assume K1 is never in\n"
    )
    assert "load never energised" == rule
    assert "`K1 13-14` is never closed" in message


def test_all_three_stand_in_their_families() -> None:
    found = judge(panel_of(f'{HEAD}circuit "Bench"\n  E1:+ -- S1:13-14 -- K1:A1\n')).findings
    families = {one.family for one in found if one.rule == "relay never pulls in"}
    assert {Family.OPEN_PATH} == families
