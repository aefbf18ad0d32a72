"""The calculation sheet says of every line what the rules say, and shows what holds too."""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts import calculations as sheet
from netcheck.facts.calculations import Calculations
from netcheck.finding import Calculation
from netcheck.review import review
from tests.annotated import Texts
from tests.facts.panels import panel_of
from tests.test_samples import FAULTS, SOUND

ABOUT = {
    "undersized-conductor": sheet.WIRES,
    "contact-beyond-its-rated-current": sheet.CONTACTS,
    "protection-too-small-for-its-load": sheet.PROTECTION,
    "supply-overloaded": sheet.SUPPLIES,
    "interrupting-rating-too-small": sheet.FAULTS,
    "voltage-drop-too-large": sheet.DROPS,
}
"""Rules that a heading answers to, by the folder of their samples."""


def lines_of(path: str) -> tuple[Calculation, ...]:
    found, _ = review([path], Texts({**FAULTS, **SOUND}), working=True)
    assert () == found.failures
    return tuple(one for _, lines in found.calculations for one in lines)


@pytest.mark.parametrize("path", [p for p in FAULTS if p.split("/")[1] in ABOUT])
def test_where_a_rule_finds_a_fault_the_sheet_has_a_line_that_does_not_hold(path: str) -> None:
    about = ABOUT[path.split("/")[1]]
    failing = [one for one in lines_of(path) if one.about == about and one.holds is False]
    assert failing
    assert all(one.working for one in failing)


@pytest.mark.parametrize("path", SOUND)
def test_in_a_sound_panel_every_line_holds_or_is_not_held_against_anything(path: str) -> None:
    assert [] == [one for one in lines_of(path) if one.holds is False]


BENCH = """panel "Bench"
edge E1 240 V AC 60 Hz, fused 15 A, 5 kA available, ungrounded
breaker CB1 2-pole, 15 A, 10 kA interrupting
heater HTR1 240 V AC 10 A
wire kind default: 14 AWG copper MTW 90 degC, 10 m
circuit "Heater"
  E1:L1 --1-- CB1:1-2 --3-- HTR1:1-2 --4-- CB1:4-3 --2-- E1:L2
"""


def test_each_line_has_what_is_required_what_is_allowed_and_the_row_it_is_from() -> None:
    lines = Case(panel_of(BENCH)).conclude(Calculations).lines
    by_heading = {one.about: one for one in lines}
    wires = by_heading[sheet.WIRES]
    assert (12.5, 15.0, True) == (wires.needed, wires.allowed, wires.holds)
    assert any("NEC 310.16, 14 AWG copper" in step.source for step in wires.working)
    assert 12.5 == by_heading[sheet.PROTECTION].needed
    assert (5000.0, 10_000.0) == (by_heading[sheet.FAULTS].needed, by_heading[sheet.FAULTS].allowed)
    # 10 A through 40 m of 14 AWG at 3.14 ohm a 1000 ft, of 240 V.
    assert 10 * 40 * 3.14 / 304.8 / 240 * 100 == pytest.approx(
        by_heading[sheet.DROPS].needed, rel=2e-3
    )


def test_a_line_that_lacks_a_current_is_not_said_to_hold() -> None:
    text = BENCH.replace("heater HTR1 240 V AC 10 A", "motor HTR1 2 hp 245 V AC single-phase")
    text = text.replace("HTR1:1-2", "HTR1:T1-T2")
    lines = Case(panel_of(text)).conclude(Calculations).lines
    assert {None} == {one.holds for one in lines if one.about in (sheet.WIRES, sheet.PROTECTION)}
