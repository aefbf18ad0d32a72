"""The highest volts of a circuit, where two sources may feed it and never do so at once."""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.states.volts import magnitude
from tests.facts.panels import panel_of

TRANSFER = """\
panel "Pump house"
source MAINS 120/240 V AC 60 Hz, N grounded
edge G1 120/240 V AC 60 Hz, fused 30 A, N grounded, from "generator"
{switch}
heater HTR1 2 kW 240 V AC
circuit "Power"
  MAINS:L1 --1-- {first}:1-2 --5-- HTR1:1-2 --6-- {first}:4-3 --2-- MAINS:L2
  G1:L1 --3-- {second} --5-- HTR1:1
  G1:L2 --4-- {other} --6-- HTR1:2
  G1:N --N-- MAINS:N
"""
SELECTOR = "selector Q1 positions MAINS OFF GEN; 1-2 in MAINS; 3-4 in MAINS; 5-6 in GEN; 7-8 in GEN"
SWITCHES = "switch Q1 normally open 1-2 3-4\nswitch Q2 normally open 1-2 3-4"


def volts_at(text: str, terminal: str) -> float:
    case = Case(panel_of(text))
    place = case.conclude(Behaviour).node(terminal)
    return max(map(magnitude, case.conclude(CircuitVolts).all_of((place,))))


@pytest.mark.parametrize(
    ("text", "highest_v"),
    [
        (TRANSFER.format(switch=SELECTOR, first="Q1", second="Q1:5-6", other="Q1:7-8"), 240),
        (TRANSFER.format(switch=SWITCHES, first="Q1", second="Q2:1-2", other="Q2:3-4"), 480),
    ],
)
def test_positions_of_one_switch_are_never_taken_at_once(text: str, highest_v: float) -> None:
    """Two switches may both be closed; a transfer switch is in one place."""
    assert highest_v == volts_at(text, "HTR1:1")
