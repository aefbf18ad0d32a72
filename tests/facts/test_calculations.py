"""The calculation sheet says of every line what the rules say, and shows what holds too."""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts import calculations as sheet
from netcheck.facts import conductor_sheet
from netcheck.facts.calculations import Calculations
from netcheck.finding import Calculation
from netcheck.review import review
from tests.annotated import Texts
from tests.facts.panels import panel_of
from tests.test_samples import FAULTS, SOUND

ABOUT = {
    "undersized-conductor": conductor_sheet.WIRES,
    "contact-beyond-its-rated-current": sheet.CONTACTS,
    "protection-too-small-for-its-load": sheet.PROTECTION,
    "supply-overloaded": sheet.SUPPLIES,
    "interrupting-rating-too-small": sheet.FAULTS,
    "voltage-drop-too-large": sheet.DROPS,
    "undersized-grounding-conductor": conductor_sheet.GROUNDING,
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


@pytest.mark.parametrize("path", [p for p in FAULTS if p.split("/")[1] == "oversized-protection"])
def test_a_device_that_is_too_large_has_a_line_for_what_it_is_too_large_for(path: str) -> None:
    headings = (conductor_sheet.BEHIND, conductor_sheet.EQUIPMENT)
    assert [one for one in lines_of(path) if one.about in headings and one.holds is False]


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
    wires = by_heading[conductor_sheet.WIRES]
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
    assert {None} == {
        one.holds for one in lines if one.about in (conductor_sheet.WIRES, sheet.PROTECTION)
    }


GREENHOUSE = "panels/greenhouse.panel"


def line_of(about: str, what: str) -> Calculation:
    (one,) = (c for c in lines_of(GREENHOUSE) if c.about == about and c.what.startswith(what))
    return one


def test_the_feeder_of_the_greenhouse_panel_adds_up_as_on_paper() -> None:
    """NEC 430.24 and 210.19(A)(1) by hand: 10 + 8 + 6.9 A of motors by table 430.248, 0.9 A of a
    starting winding, two heaters of 12.5 A and two lots of lights of 10 A at 125 %, 20 A of a
    receptacle, and a quarter of the largest motor; 1 AWG has 130 A at 75 degC (table 310.16)."""
    motors_a, heat_and_light_a = 10 + 8 + 6.9, 2 * 12.5 + 2 * 10
    by_hand_a = motors_a + 0.9 + 1.25 * heat_and_light_a + 20 + 10 / 4
    line = line_of(conductor_sheet.WIRES, "wire 2, wire 4")
    assert line.needed == pytest.approx(by_hand_a)
    assert (130.0, True) == (line.allowed, line.holds)


def test_a_load_stands_in_its_feeder_s_sum_once_though_it_is_fed_either_way_round() -> None:
    line = line_of(conductor_sheet.WIRES, "wire 2, wire 4")
    names = [step.what for step in line.working]
    assert 1 == names.count("M3") == names.count("M3S")
    terms = names.index("required, all its loads at once")
    assert line.needed == pytest.approx(sum(float(s.value) for s in line.working[:terms]))


def test_the_drop_to_the_north_pump_is_that_of_its_cable_and_the_wires_before_it() -> None:
    """NEC chapter 9 table 8: 1.98 ohm a 1000 ft of 12 AWG, stranded, at 75 degC; 25 m each way."""
    line = line_of(sheet.DROPS, "M1")
    cable_v = 10 * 1.98 * 25 / 304.8
    assert 2 * [pytest.approx(cable_v, rel=2e-3)] == [
        step.value for step in line.working if step.what.startswith("in wire W1.")
    ]


def test_devices_overloads_and_grounding_conductors_of_the_north_pump_by_hand() -> None:
    """Tables 240.4(D): 12 AWG may have 20 A; 430.52: 250 % of 10 A is 25 A; 430.32: 125 % of
    9.6 A is 12 A; 250.122: 12 AWG copper behind 20 A."""
    by_table = {
        (conductor_sheet.BEHIND, "CB1, for wire 101"): (20.0, 20.0),
        (conductor_sheet.EQUIPMENT, "CB1, for M1"): (20.0, 25.0),
        (sheet.OVERLOADS, "OL1, for M1"): (9.6, 12.0),
        (conductor_sheet.GROUNDING, "M1, "): (pytest.approx(3.31, rel=1e-2),) * 2,
    }
    found = {key: line_of(*key) for key in by_table}
    assert by_table == {key: (one.needed, one.allowed) for key, one in found.items()}


def test_no_device_stands_twice_under_the_contacts_and_the_breakers() -> None:
    lines = lines_of(GREENHOUSE)
    contacts = {one.what for one in lines if one.about == sheet.CONTACTS}
    assert not contacts & {one.what for one in lines if one.about == sheet.PROTECTION}
    assert not [what for what in contacts if what.startswith(("CB", "FU"))]


def test_watts_at_a_power_factor_draw_more_than_watts() -> None:
    """P = V I cos phi: 1 kW at 240 V and 0.5 draws 8.33 A."""
    ballast = "lamp HTR1 240 V AC 1 kW power factor 0.5"
    text = BENCH.replace("heater HTR1 240 V AC 10 A", ballast).replace("HTR1:1-2", "HTR1")
    (load,) = (
        one for one in Case(panel_of(text)).conclude(Calculations).lines if one.about == sheet.LOADS
    )
    assert load.needed == pytest.approx(1000 / 240 / 0.5)
    assert "1 kW at 240 V, power factor 0.5" == load.working[0].source


def test_a_motor_that_turns_either_way_draws_its_current_once() -> None:
    """208 V, 1 hp: 4.6 A (NEC 430.250), whichever of two lines feeds a terminal."""
    lines = lines_of("sound/reversing-starter.panel")
    (drop,) = (one for one in lines if one.about == sheet.DROPS and one.what == "M1")
    currents = {
        step.source.partition(" A x ")[0] for step in drop.working if " A x " in step.source
    }
    assert {"4.6"} == currents
