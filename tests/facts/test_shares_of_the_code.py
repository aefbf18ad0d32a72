"""Shares and limits that facts keep as plain numbers are those of the published copies.

Source: NEC 210.19(A)(1), 210.20(A), 430.22, 430.24, 110.14(C)(1), the 5 % of the notes to 215.2.
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.calculations import Calculations
from netcheck.facts.conductor_sheet import WIRES
from netcheck.facts.part_currents import CONTINUOUS
from netcheck.facts.wire_currents import SHARE
from netcheck.model.defaults import DROP_LIMIT, TERMINALS_LARGE_C, TERMINALS_SMALL_C
from netcheck.tables import nec_430_rules, nec_panel_rules
from netcheck.tables.table import Rule
from tests.facts.panels import panel_of


@pytest.mark.parametrize(
    ("kept", "published", "read"),
    [
        (SHARE * 100, nec_panel_rules.CONTINUOUS_LOAD_CONDUCTOR, True),
        (SHARE * 100, nec_430_rules.CONDUCTOR_OF_ONE_MOTOR, True),
        (SHARE * 100, nec_430_rules.CONDUCTOR_OF_SEVERAL_MOTORS, False),
        (CONTINUOUS * 100, nec_panel_rules.CONTINUOUS_LOAD_DEVICE, True),
        (TERMINALS_SMALL_C, nec_panel_rules.TERMINALS_UP_TO_100_A, True),
        (TERMINALS_LARGE_C, nec_panel_rules.TERMINALS_ABOVE_100_A, True),
        (DROP_LIMIT * 100, nec_panel_rules.DROP_FEEDER_AND_BRANCH, False),
    ],
)
def test_a_share_that_is_kept_as_a_number_is_the_published_one(
    kept: float, published: Rule, read: bool
) -> None:
    assert (kept, read) == (published.figure, published.confirmed)


def test_a_quarter_more_for_the_largest_of_several_motors_is_said_to_be_from_memory() -> None:
    text = """panel "Pumps"
edge E1 240 V AC 60 Hz, fused 30 A, 5 kA available, ungrounded
motor M1 1 hp 230 V AC single-phase, 8 A full load, thermally protected
motor M2 1 hp 230 V AC single-phase, 8 A full load, thermally protected
wire kind default: 10 AWG copper MTW 90 degC, 1 m
circuit "Pumps"
  E1:L1 --1-- M1:T1 --3-- M2:T1
  E1:L2 --2-- M1:T2 --4-- M2:T2
"""
    lines = Case(panel_of(text)).conclude(Calculations).lines
    told = {
        step.source: step.confirmed
        for line in lines
        if line.about == WIRES
        for step in line.working
        if step.what.startswith("a quarter more")
    }
    assert {"NEC 430.22": True, "NEC 430.24": False} == told
