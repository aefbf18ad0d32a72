"""Current that comes home by ground, or by another source's conductor.

Sources: NFPA 79 8.2 (read second-hand: the grounding circuit carries no load current) and
circuit theory: without a way back to its own source no current flows.
"""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.improper_returns import ImproperReturns
from tests.facts.panels import panel_of


def found_in(text: str) -> list[tuple[str, str, bool]]:
    """Load, the other source's pole, whether always, of each improper return."""
    case = Case(panel_of('panel "Bench"\n' + text))
    return [(one.load.name, one.pole, one.always) for one in case.conclude(ImproperReturns).found]


LAMP = """switch S1 normally open 1-2
lamp H1 24 V DC 2 W
circuit "Bench"
"""
GROUNDED = "battery B1 24 V DC, - grounded, fused 3 A, 100 A available\n"
FLOATING = "battery B1 24 V DC, ungrounded, fused 3 A, 100 A available\n"
SECOND = "battery B2 24 V DC, - grounded, fused 3 A, 100 A available\n"


def test_a_lamp_home_by_its_source_is_proper() -> None:
    assert [] == found_in(GROUNDED + LAMP + "  B1:+ -- S1 -- H1 -- B1:-\n  B1:PE -- B1:-\n")


@pytest.mark.parametrize("through", ["B1:PE", "GB1:1", "M1:PE", "BJ1:1"])
def test_a_lamp_home_by_whatever_is_bonded_is_not(through: str) -> None:
    text = GROUNDED + "grounding bar GB1 terminals 1 to 3\nbond BJ1\n"
    text += "motor M1 1/4 hp 24 V DC\n" + LAMP
    text += f"  B1:+ -- S1 -- H1 -- {through}\n"
    text += "  B1:PE -- GB1:2\n  GB1:3 -- M1:PE\n  BJ1:2 -- GB1:2\n  B1:+ -- M1:T1-T2 -- B1:-\n"
    assert [("H1", "", True)] == found_in(text)


def test_nothing_comes_home_by_ground_to_a_source_that_is_not_grounded() -> None:
    text = FLOATING + "grounding bar GB1 terminals 1 to 2\n" + LAMP
    assert [] == found_in(text + "  B1:+ -- S1 -- H1 -- GB1:1\n")


def test_the_other_sources_conductor_is_named() -> None:
    text = GROUNDED + SECOND + LAMP + "  B1:+ -- S1 -- H1 -- B2:-\n  B1:PE -- B2:PE\n"
    assert [("H1", "B2:-", True)] == found_in(text)


def test_a_common_conductor_makes_it_proper() -> None:
    text = GROUNDED + "battery B2 24 V DC, fused 3 A, 100 A available\n" + LAMP
    assert [] == found_in(text + "  B1:+ -- S1 -- H1 -- B2:-\n  B1:- -- B2:-\n")


def test_without_a_bond_between_the_sources_nothing_flows() -> None:
    assert [] == found_in(GROUNDED + SECOND + LAMP + "  B1:+ -- S1 -- H1 -- B2:-\n")


def test_a_return_that_is_proper_in_some_states_only_is_told_too() -> None:
    text = GROUNDED + "switch S2 normally open 1-2\n" + LAMP
    text += "  B1:+ -- S1 -- H1 -- S2 -- B1:-\n  H1:X2 -- GB1:1\n  GB1:2 -- B1:PE\n"
    found = found_in("grounding bar GB1 terminals 1 to 2\n" + text)
    assert [("H1", "", False)] == found
