"""Short circuits at devices, solved between their bounds.

Sources: Ohm's law; that impedances at right angles add up to least is plane geometry.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.component_values import wire_ohm
from netcheck.facts.fault_currents import FaultCurrents
from netcheck.facts.solved_faults import COLD_C, SolvedFaults
from tests.facts.panels import panel_of
from tests.rules.told import findings_of, unchecked_of

RULE = "interrupting rating too small"


def behind_wire(available: str, metres: float, rating: str = "100 A") -> str:
    return f"""panel "Short"
edge E1 240 V AC 60 Hz, fused 400 A, {available} available, ungrounded
breaker CB1 2-pole, 20 A, 240 V AC, {rating} interrupting
heater HTR1 240 V AC 10 A
wire kind default: 12 AWG copper THHN, {metres} m
circuit "Heater"
  E1:L1 -- CB1:1-2 -- HTR1:1-2 -- CB1:4-3 -- E1:L2
"""


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 100), st.integers(1, 500))
def test_the_solution_lies_between_its_bounds_and_is_that_of_two_impedances(
    kiloamperes: int, decimetres: int
) -> None:
    panel = panel_of(behind_wire(f"{kiloamperes} kA", decimetres / 10))
    case = Case(panel)
    (bounds,) = case.conclude(FaultCurrents).devices
    solved = case.conclude(SolvedFaults).devices["CB1"]
    assert bounds.most_a is not None
    assert bounds.least_a <= solved.with_source_a <= solved.infinite_bus_a
    assert solved.with_source_a <= bounds.most_a * (1 + 1e-6)
    ohm = wire_ohm(panel.wires[0], COLD_C)
    assert ohm is not None
    source_ohm = 240 / (kiloamperes * 1000)
    by_hand = [240 / abs(2 * ohm + source) for source in (source_ohm, 1j * source_ohm)]
    assert solved.with_source_a == pytest.approx(max(by_hand), rel=1e-3)


def test_a_source_that_says_its_x_to_r_is_taken_at_its_angle() -> None:
    text = behind_wire("10 kA", 2)
    said = "source E1 240 V AC 60 Hz, two-wire, 10 kA available, X/R 1, ungrounded"
    panel = panel_of("\n".join(said if "edge" in line else line for line in text.splitlines()))
    solved = Case(panel).conclude(SolvedFaults).devices["CB1"]
    ohm = wire_ohm(panel.wires[0], COLD_C)
    assert ohm is not None
    source_ohm = 240 / 10_000 * complex(math.sqrt(0.5), math.sqrt(0.5))
    assert solved.with_source_a == pytest.approx(240 / abs(2 * ohm + source_ohm), rel=1e-3)


def test_wire_that_lets_little_enough_through_makes_a_small_breaker_right() -> None:
    assert [] == findings_of(behind_wire("50 kA", 10, "10 kA"), RULE)


def test_where_only_the_angle_of_the_source_tells_it_is_not_checked() -> None:
    (reason,) = unchecked_of(behind_wire("12 kA", 0.9, "10 kA"), RULE)
    assert "by the X/R of its source, which is not said" in reason


def test_a_breaker_behind_a_contact_that_moves_is_not_solved() -> None:
    text = behind_wire("50 kA", 10, "10 kA").replace(
        "heater", "contactor K1 coil 24 V DC 3 W; 2 main poles 40 A\nheater"
    )
    text = text.replace("E1:L1 -- CB1:1-2", "E1:L1 -- K1:1-2 -- CB1:1-2")
    text = text.replace("CB1:4-3 -- E1:L2", "CB1:4-3 -- K1:4-3 -- E1:L2")
    (reason,) = unchecked_of(text, RULE)
    assert "has no solution in numbers" in reason
