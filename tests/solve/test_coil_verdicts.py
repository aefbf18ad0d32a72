"""Uncertain coils, narrowed by what they get.

Sources: the voltage divider of circuit theory; pull-in from 85 % and drop-out below 10 %
(DC) and 20 % (AC) of rated voltage are IEC 60947-4-1 8.2.1.2, second-hand.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.states.answers import Never, Reached
from tests.facts.panels import panel_of

COIL_OHM = 24.0**2 / 3


def behaviours(load: str, *lines: str, relay: str = "coil 24 V DC 3 W") -> tuple[Case, Behaviour]:
    """A relay fed through a load, and a valve on its contact."""
    panel = panel_of(
        f"""panel "Bench"
battery B1 24 V DC, 200 A available, ungrounded
button S1 normally open 13-14
button S2 normally open 13-14
relay K1 {relay}; normally open 13-14
{load}
valve Y1 24 V DC 8 W
circuit "Bench"
  B1:+ -- K1:13-14 -- Y1:1-2 -- B1:-
"""
        + "".join(f"  {line}\n" for line in lines)
    )
    case = Case(panel)
    return case, case.conclude(Behaviour)


def pulled(load: str, *lines: str, relay: str = "coil 24 V DC 3 W") -> str:
    """What becomes of the relay: `in`, `out`, or `either`."""
    case, wide = behaviours(load, *lines, relay=relay)
    certain = case.conclude(CertainBehaviour).behaviour
    may = not isinstance(wide.prover.can_happen(wide.in_positions("K1", frozenset((1,)))), Never)
    surely = isinstance(
        certain.prover.can_happen(certain.in_positions("K1", frozenset((1,)))), Reached
    )
    return "in" if surely else "either" if may else "out"


THROUGH = "B1:+ -- S1 -- R1 -- K1:A1-A2 -- B1:-"


def test_a_coil_behind_a_small_resistor_surely_pulls_in() -> None:
    assert "in" == pulled("resistor R1 10 ohm", THROUGH)


def test_a_coil_behind_a_large_resistor_surely_stays_out() -> None:
    assert "out" == pulled("resistor R1 5000 ohm", THROUGH)


def test_a_coil_at_half_its_voltage_may_do_either() -> None:
    assert "either" == pulled("resistor R1 192 ohm", THROUGH)


def test_a_coil_behind_a_small_lamp_surely_stays_out_and_behind_a_large_one_may_do_either() -> None:
    # At most rated current: 10 mA x 192 ohm is 1.9 V, 40 mA x 192 ohm 7.7 V.
    assert "out" == pulled("lamp R1 24 V DC 10 mA", THROUGH)
    assert "either" == pulled("lamp R1 24 V DC 40 mA", THROUGH)


def test_a_declared_drop_out_decides() -> None:
    relay = "coil 24 V DC 3 W drops out at 8 V"
    assert "out" == pulled("lamp R1 24 V DC 40 mA", THROUGH, relay=relay)


def test_a_button_past_the_resistor_makes_it_pull_in_only_with_the_button() -> None:
    past = "S1:14 -- S2 -- K1:A1"
    _, wide = behaviours("resistor R1 5000 ohm", THROUGH, past)
    pressed = wide.in_positions("S2", frozenset((1,)))
    without = wide.logic.both(wide.in_positions("K1", frozenset((1,))), pressed ^ 1)
    assert [] == wide.uncertain_coils
    assert isinstance(wide.prover.can_happen(without, at="settled"), Never)
    assert "in" == pulled("resistor R1 5000 ohm", THROUGH, past)


def test_what_stands_beside_the_coil_takes_its_share() -> None:
    """10 ohm ahead, the coil and 20 ohm side by side: 15.5 V, where it may do either."""
    beside = "K1:A1 -- R2 -- K1:A2"
    assert "either" == pulled("resistor R1 10 ohm\nresistor R2 20 ohm", THROUGH, beside)


@given(st.floats(min_value=0.5, max_value=20_000))
def test_the_verdict_is_that_of_the_divider(ohm: float) -> None:
    share = COIL_OHM / (COIL_OHM + ohm)
    expected = "in" if share >= 0.85 else "out" if share < 0.10 else "either"
    if min(abs(share - 0.85), abs(share - 0.10)) < 1e-4:
        return
    assert expected == pulled(f"resistor R1 {ohm:.4f} ohm", THROUGH)


AC = """panel "Bench"
source MAINS 120 V AC 60 Hz, two-wire, 10 kA available, neutral bonded here
button S1 normally open 13-14
relay K1 coil 120 V AC, 10 VA sealed, 60 VA inrush; normally open 13-14
heater HTR1 120 V AC {watts} W
lamp H1 120 V AC 10 W
circuit "Bench"
  MAINS:L -- S1 -- HTR1:1-2 -- K1:A1-A2 -- MAINS:N
  MAINS:L -- K1:13-14 -- H1 -- MAINS:N
"""


@pytest.mark.parametrize(("watts", "expected"), [(2000, True), (100, False)])
def test_a_coil_on_ac_must_have_enough_with_its_inrush_too(watts: int, expected: bool) -> None:
    """Behind 7.2 ohm even the 240 ohm of the open coil gets 97 %; behind 144 ohm it may not."""
    case = Case(panel_of(AC.format(watts=watts)))
    certain = case.conclude(CertainBehaviour).behaviour
    answer = certain.prover.can_happen(certain.in_positions("K1", frozenset((1,))))
    assert expected is isinstance(answer, Reached)
