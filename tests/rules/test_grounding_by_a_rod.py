"""What a fault draws through a ground rod, and what then opens.

Source: the trade's example, told in every grounding class: 120 V over a rod of 25 ohm is
4.8 A, which a breaker of 15 or 20 A carries for ever (NEC 250.4(A)(5), 250.53(A)(2), 250.54;
from memory).  TT earthing with a residual-current device: IEC 60364-4-41 411.5.3, from memory.
"""

from __future__ import annotations

import pytest

from tests.rules.told import findings_of, messages_of

RULE = "grounding by a rod"
OUTLET = """panel "Pond"
practice {practice}
numbers one for each node
wire kind branch: 12 AWG copper THWN-2 black, 600 V insulation, 20 m
source MAINS {source} AC 60 Hz, {poles}, 5 kA available, {grounded}
source PUMPS 480Y/277 V AC 60 Hz, four-wire, 5 kA available, neutral bonded here
breaker CB1 {breaker}, 10 kA interrupting
breaker CB2 3-pole, 15 A, 480 V AC, 10 kA interrupting
heater HTR1 1 kW 480 V AC three-phase, restart allowed
ground rod GE1{ohm}
receptacle XS1 {load} AC 10 A
circuit "Outlet" in branch
  MAINS:{line} --1-- CB1:1-2 --2-- XS1:L
  XS1:N --N-- MAINS:{home}
  XS1:PE --PE2-- GE1:1
circuit "Tank" in branch
  PUMPS:L1 --11-- CB2:1-2 --14-- HTR1:1
  PUMPS:L2 --12-- CB2:3-4 --15-- HTR1:2
  PUMPS:L3 --13-- CB2:5-6 --16-- HTR1:3
  PUMPS:PE --PE-- HTR1:PE
"""
POND = {
    "practice": "NEC 2023",
    "source": "120 V",
    "poles": "two-wire",
    "grounded": "neutral bonded here",
    "breaker": "1-pole, 20 A, 120 V AC",
    "ohm": " 25 ohm",
    "load": "120 V",
    "line": "L",
    "home": "N",
}
ALONE = "`XS1` is grounded by the rod `GE1` alone: "


def told(**given: str) -> str:
    (message,) = messages_of(OUTLET.format(**(POND | given)), RULE)
    return message.removeprefix(ALONE)


@pytest.mark.parametrize("amperes", ["15 A", "20 A"])
def test_the_trade_s_example_draws_4_8_a_and_no_breaker_opens(amperes: str) -> None:
    """480 V elsewhere in the panel, which the highest of any source would take."""
    assert f"a fault draws no more than 4.8 A, and `CB1` of {amperes} never opens" == told(
        breaker=f"1-pole, {amperes}, 120 V AC"
    )


def test_a_rod_that_says_no_ohm_is_taken_to_have_25_and_that_is_assumed() -> None:
    (finding,) = findings_of(OUTLET.format(**(POND | {"ohm": ""})), RULE)
    assert ("`GE1`: 25 ohm to earth",) == finding.assumed
    assert [120.0, 25.0, 4.8, 20.0] == [step.value for step in finding.working]
    assert [True, False, True, True] == [step.confirmed for step in finding.working]


def test_between_two_lines_a_fault_has_the_volts_to_ground_of_one() -> None:
    both = {"source": "120/240 V", "poles": "three-wire", "line": "L1", "home": "N"}
    assert "draws no more than 4.8 A" in told(**both)


def test_a_very_good_rod_lets_more_through_than_the_rating_and_still_counts_for_nothing() -> None:
    words = "draws no more than 60 A, and `CB1` of 20 A opens late, if the earth lets so much pass"
    assert words in told(ohm=" 2 ohm")


def test_a_rating_met_exactly_is_carried() -> None:
    assert "draws no more than 20 A, and `CB1` of 20 A never opens" in told(ohm=" 6 ohm")


def test_a_ground_fault_breaker_is_said_to_be_all_that_opens() -> None:
    guarded = "1-pole, 20 A, 120 V AC, trips at 30 mA to ground"
    assert "only the ground-fault trip of `CB1` opens on it" in told(breaker=guarded)


@pytest.mark.parametrize(("ohm", "held"), [(" 25 ohm", True), (" 1700 ohm", False), ("", False)])
def test_in_iec_practice_a_rod_behind_a_residual_current_device_is_tt_earthing(
    ohm: str, held: bool
) -> None:
    guarded = {"breaker": "1-pole, 20 A, 120 V AC, trips at 30 mA to ground", "ohm": ohm}
    text = OUTLET.format(**(POND | guarded | {"practice": "IEC 60204-1"}))
    assert held == (not messages_of(text, RULE))


def test_behind_a_source_that_floats_a_fault_draws_nothing_that_is_known() -> None:
    assert "the earth is no way home for a fault" == told(grounded="ungrounded", line="L", home="N")
