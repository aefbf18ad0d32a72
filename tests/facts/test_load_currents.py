"""What a motor draws where the tables have it, and what is said where they do not.

Source: NEC 430.6(A) (table currents for conductors), 430.248 (1/2 hp at 115 V draws 9.8 A).
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.load_currents import LoadCurrents
from netcheck.finding import Working
from netcheck.review import judge
from tests.facts.panels import panel_of

TEXT = """panel "Vents"
practice {practice}
source MAINS 120 V AC 60 Hz, 5 kA available, neutral bonded here
motor M1 {motor} 120 V AC single-phase, 8 A full load
circuit "Vents"
  MAINS:L -- M1 -- MAINS:N
"""


def draws(motor: str, practice: str = "NEC 2023") -> Working:
    panel = panel_of(TEXT.format(motor=motor, practice=practice))
    (load,) = Case(panel).conclude(LoadCurrents).loads
    return load.working


def assumed(motor: str, practice: str = "NEC 2023") -> list[str]:
    review = judge(panel_of(TEXT.format(motor=motor, practice=practice)))
    return [said for said in review.assumed if "nameplate" in said]


def test_a_motor_of_the_tables_draws_what_they_say_and_not_its_nameplate_current() -> None:
    assert 9.8 == draws("1/2 hp").value
    assert [] == assumed("1/2 hp")


def test_a_motor_that_the_tables_do_not_have_draws_its_nameplate_current_and_that_is_told() -> None:
    why = "NEC 430.248 has no single-phase motor of 0.9 hp"
    expected = Working("full-load current of M1", 8.0, "A", f"as described, nameplate: {why}")
    assert expected == draws("0.9 hp")
    assert [f"M1 draws its nameplate current: {why}"] == assumed("0.9 hp")


@pytest.mark.parametrize("motor", ["1/2 hp", "0.9 hp"])
def test_in_iec_practice_the_nameplate_is_what_counts_and_nothing_is_assumed(motor: str) -> None:
    assert 8.0 == draws(motor, "IEC 60204-1").value
    assert [] == assumed(motor, "IEC 60204-1")
