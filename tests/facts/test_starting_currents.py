"""What loads take as they are switched on: as said, by a code letter, by a rule of thumb."""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.starting_currents import StartingCurrent, StartingCurrents
from netcheck.model.build import build_panel
from netcheck.model.kinds.motors import CODE
from netcheck.reading.project import gather
from netcheck.tables import nec_430_7_b
from tests.annotated import Texts

PANEL = """\
panel "Vent"
edge E1 230 V AC 60 Hz, fused 60 A, 5 kA available, ungrounded, from "main panel"
{motor}
circuit "Vent"
  E1:L1 -- M1:T1
  E1:L2 -- M1:T2
"""


def starting(words: str) -> StartingCurrent:
    text = PANEL.format(motor=f"motor M1 1 hp 230 V AC single-phase, 8 A full load{words}")
    panel, mistakes = build_panel("a.panel", gather("a.panel", Texts({"a.panel": text})))
    assert not mistakes
    (found,) = Case(panel).conclude(StartingCurrents).of.values()
    return found


def test_a_code_letter_is_a_range_over_the_motors_own_volts() -> None:
    """NEMA MG 1 10.37.2: K is 8 to 9 kVA for each hp."""
    found = starting(", code letter K")
    assert 8000 / 230 == pytest.approx(found.least_a)
    assert 9000 / 230 == pytest.approx(found.most_a)
    assert not found.is_guess


def test_what_is_said_of_the_locked_rotor_goes_before_the_letter() -> None:
    found = starting(", code letter K, 48 A locked rotor")
    assert (48, 48) == (found.least_a, found.most_a)


def test_the_last_letter_says_no_most() -> None:
    assert starting(", code letter V").most_a is None


def test_without_either_it_is_a_guess() -> None:
    found = starting("")
    assert found.is_guess
    assert 48 == found.least_a  # six times 8 A: relay data, second-hand
    assert not found.working.confirmed


def test_every_letter_that_can_be_written_stands_in_the_table() -> None:
    written = CODE.template.partition(":")[2].partition("}")[0].split("|")
    assert [row.letter for row in nec_430_7_b.ROWS] == written
