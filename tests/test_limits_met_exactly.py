"""A limit that is met exactly holds, and what exceeds it by a tenth of a per cent is found.

Source: the code's words, `not less than` and `shall not exceed`: equality is allowed (NEC 210.19,
210.20, 430.32, 110.9; from memory).
"""

from __future__ import annotations

import pytest

from tests.rules.told import review_of

PANEL = """panel "Edges"
source MAINS 240 V AC 60 Hz, two-wire, {available} available, L2 grounded
breaker CB1 15 A, 240 V AC, 10 kA interrupting
switch S1 normally open 1-2 240 V AC {contact}
heater HTR1 240 V AC {heater}, restart allowed
overload OL1 set {setting}; trip contact normally closed 95-96
contactor K1 coil 24 V DC 1 W with diode; 2 main poles 240 V AC 25 A
motor M1 1 hp 230 V AC single-phase, 8 A full load, service factor 1.15, restart allowed
breaker CB2 2-pole, 20 A, 240 V AC, 10 kA interrupting
supply PS1 240 V AC to 24 V DC, 1 A, draws 0.2 A, isolated, 0V grounded
switch S2 normally open 1-2 60 V DC 2 A
valve Y1 24 V DC {valve} with diode
wire kind heat: 14 AWG copper MTW 90 degC, 2 m
wire kind other: 12 AWG copper MTW 90 degC, 2 m
circuit "Heat" in heat
  MAINS:L1 --1-- CB1 --2-- S1 --3-- HTR1 --N-- MAINS:L2
  MAINS:PE --PE-- HTR1:PE
circuit "Pump" in other
  MAINS:L1 --1-- CB2:1-2 --4-- K1:1-2 --5-- OL1:1-2 --6-- M1:T1
  MAINS:L2 --N-- CB2:3-4 --7-- K1:3-4 --8-- M1:T2
  MAINS:PE --PE-- M1:PE --PE-- PS1:PE
circuit "Control" in other
  MAINS:L1 --1-- PS1:L1-L2 --N-- MAINS:L2
  PS1:+ --201-- S2 --202-- OL1:95-96 --203-- K1:A1-A2 --200-- PS1:0V
  S2:2 --202-- Y1 --200-- PS1:0V
"""
AT_THE_LIMIT = {
    "available": "10 kA",  # CB1 interrupts 10 kA
    "contact": "12 A",  # the heater's current
    "heater": "12 A",  # 125 % are 15 A: the terminals of 14 AWG, and CB1
    "setting": "10 A",  # 125 % of 8 A
    "valve": "23 W",  # and 1 W of the coil: 24 W of 24 V and 1 A
}


def rules_that_speak(**figures: str) -> set[str]:
    found = review_of(PANEL.format(**(AT_THE_LIMIT | figures)))
    return {one.rule for one in found.findings} | {r for n in found.not_checked for r in n.rules}


OTHERWISE = rules_that_speak()
OF_LIMITS = {
    "undersized conductor",
    "protection too small for its load",
    "contact beyond its rated current",
    "motor without overload",
    "supply overloaded",
    "interrupting rating too small",
}


def test_every_limit_met_exactly_holds() -> None:
    assert set() == OTHERWISE & OF_LIMITS


@pytest.mark.parametrize(
    ("figure", "beyond", "rules"),
    [
        ("heater", "12.012 A", {"undersized conductor", "contact beyond its rated current"}),
        ("contact", "11.988 A", {"contact beyond its rated current"}),
        ("setting", "10.01 A", {"motor without overload"}),
        ("valve", "23.024 W", {"supply overloaded"}),
    ],
)
def test_a_tenth_of_a_per_cent_beyond_is_found(figure: str, beyond: str, rules: set[str]) -> None:
    assert rules == (rules_that_speak(**{figure: beyond}) - OTHERWISE) & OF_LIMITS


def test_a_tenth_of_a_per_cent_more_than_a_breaker_interrupts_is_solved_and_then_holds() -> None:
    """Two metres of 14 AWG ahead of CB1 leave less than its 10 kA: the bound alone would not."""
    assert OTHERWISE == rules_that_speak(available="10.01 kA")
