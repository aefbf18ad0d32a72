"""Beyond its last row and column a table has no answer, and nothing is extrapolated.

Source: the published copies; the last row of each stands beside the first value beyond it.
"""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
from typing import Any

import pytest

import netcheck.tables
from netcheck.tables import ampacity, circuits, motors, protection, resistance, sizing, transformers
from netcheck.tables.conditions import IEC, Conditions
from netcheck.tables.lookup import NotTabulated
from netcheck.tables.wire_sizes import trade_size

NORMAL = Conditions(90, 75, 30)
METRIC = Conditions(70, 70, 40, practice=IEC)
LARGEST, BEYOND_LARGEST = trade_size("500 kcmil"), trade_size("600 kcmil")
SMALL = trade_size("30 AWG")
GENERAL, BREAKER = motors.POLYPHASE, motors.INVERSE_TIME_BREAKER

# Function, the last arguments that its table answers, and arguments beyond it.
ENDS: list[tuple[Any, tuple[Any, ...], tuple[Any, ...]]] = [
    (ampacity.ampacity, (LARGEST, NORMAL), (BEYOND_LARGEST, NORMAL)),
    (ampacity.ampacity, (trade_size("14 AWG"), NORMAL), (SMALL, NORMAL)),
    (ampacity.ampacity, (trade_size("120 mm2"), METRIC), (trade_size("400 mm2"), METRIC)),
    (ampacity.nec_row_size, (LARGEST, "copper"), (BEYOND_LARGEST, "copper")),
    (ampacity.nec_ambient_factor, (90, 85), (90, 86)),
    (ampacity.nec_ambient_factor, (60, 55), (60, 56)),
    (ampacity.nec_ambient_factor, (60, 30), (55, 30)),
    (ampacity.nec_bundling_factor, (500,), (0,)),
    (ampacity.iec_ambient_factor, (60,), (61,)),
    (circuits.class_2_device_max_a, (30,), (30.1,)),
    (circuits.class_2_power_max_va, (30,), (30.1,)),
    (circuits.class_1_device_max_a, ("16 AWG",), ("14 AWG",)),
    (motors.motor_full_load_current_a, (10, 230, 1), (15, 230, 1)),
    (motors.motor_full_load_current_a, (200, 460, 3), (300, 460, 3)),
    (motors.motor_full_load_current_a, (10, 230, 3), (10, 230, 2)),
    (motors.motor_full_load_current_a, (10, 230, 1), (10, 460, 1)),
    (motors.motor_locked_rotor_current_a, (10, 230), (15, 230)),
    (motors.motor_code_letter_current_a, ("G", 10, 230, 3), ("I", 10, 230, 3)),
    (motors.dc_motor_full_load_current_a, (7.5, 240), (10, 240)),
    (motors.dc_motor_full_load_current_a, (1, 240), (1, 24)),
    (motors.motor_branch_device_max_pct, (BREAKER, GENERAL), (BREAKER, "a motor of no row")),
    (motors.motor_branch_device_max_pct, (BREAKER, GENERAL), ("a link of wire", GENERAL)),
    (motors.motor_branch_device_max_a, (10.0, BREAKER, GENERAL), (1e5, BREAKER, GENERAL)),
    (protection.next_standard_rating_a, (6000.0,), (6001.0,)),
    (protection.largest_standard_rating_a, (15.0,), (14.9,)),
    (protection.egc_minimum_size, (400.0,), (401.0,)),
    (protection.egc_minimum_size, (400.0, "copper"), (400.0, "silver")),
    (protection.tap_minimum_ampacity_a, ("10 ft feeder tap", 100), ("a tap of no rule", 100)),
    (protection.tap_longest_ft, ("10 ft feeder tap",), ("a tap of no rule",)),
    (resistance.conductor_resistance_ohm_per_m, (LARGEST, "copper", 75), (LARGEST, "silver", 75)),
    (resistance.conductor_reactance_ohm_per_m, (trade_size("14 AWG"), True), (SMALL, True)),
    (transformers.transformer_device_max_a, (transformers.BOTH_SIDES, "primary", 5.0),
     ("by nothing", "primary", 5.0)),
    (sizing.smallest_size_for, (380.0, NORMAL), (381.0, NORMAL)),
]  # fmt: skip
NAMED = {
    "expected_colours": "colours, held word by word in test_published_tables.py",
    "small_conductor_limit_a": "240.4(D) ends above 10 AWG by saying nothing, not by an answer",
    "control_conductor_device_max_a": "held column by column in test_protection.py",
}


@pytest.mark.parametrize(("function", "within", "beyond"), ENDS)
def test_the_last_row_answers_and_beyond_it_there_is_no_answer(
    function: Any, within: tuple[Any, ...], beyond: tuple[Any, ...]
) -> None:
    assert not isinstance(function(*within), NotTabulated)
    outside = function(*beyond)
    assert isinstance(outside, NotTabulated)
    assert outside.reason


def test_every_lookup_that_can_have_no_answer_is_asked_here() -> None:
    found = set()
    for module in pkgutil.iter_modules(netcheck.tables.__path__):
        source = inspect.getsource(importlib.import_module(f"netcheck.tables.{module.name}"))
        for node in ast.parse(source).body:
            if isinstance(node, ast.FunctionDef) and node.returns and node.name[0] != "_":
                found |= {node.name} if "NotTabulated" in ast.unparse(node.returns) else set()
    assert found == {function.__name__ for function, _, _ in ENDS} | set(NAMED)
