"""Loads that only others feed: which they are, and how plain chains share the voltage.

Sources: the voltage divider of circuit theory; that a lamp or coil beside another is not in
series with it is common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.loads_in_series import LoadsInSeries, SeriesLoads
from netcheck.model.panel import Panel
from tests.facts.panels import panel_of

DEVICES = """panel "Bench"
battery B1 24 V DC, 200 A available, ungrounded
button S1 normally open 13-14
button S2 normally open 13-14; normally closed 11-12
relay K1 coil 24 V DC 1 W
relay K2 coil 24 V DC 2 W
lamp H1 24 V DC 20 mA
lamp H2 24 V DC 20 mA
lamp H3 24 V DC 60 mA
resistor R1 65 ohm
circuit "Bench"
"""


def series_in(*lines: str) -> tuple[Panel, SeriesLoads]:
    panel = panel_of(DEVICES + "".join(f"  {line}\n" for line in lines))
    return panel, Case(panel).conclude(SeriesLoads)


def named(panel: Panel, found: SeriesLoads) -> set[str]:
    return {panel.parts[index].device for index in found.parts}


def only(found: SeriesLoads) -> LoadsInSeries:
    (string,) = found.strings
    return string


def exact_v(string: LoadsInSeries) -> list[float]:
    """What each load gets, where the least is also the most."""
    assert all(share.least_v == share.most_v for share in string.shares.values())
    return [share.most_v for share in string.shares.values()]


def test_two_coils_one_after_the_other_are_one_string() -> None:
    panel, found = series_in("B1:+ -- S1 -- K1:A1-A2 -- K2:A1-A2 -- B1:-")
    assert {"K1", "K2"} == named(panel, found)
    assert ["K1", "K2"] == [part.device for part in only(found).loads]


def test_constant_resistances_share_the_voltage_in_their_own_ratio() -> None:
    # 24 V at 1 W is 576 ohm, at 2 W 288 ohm: 16 V and 8 V of 24 V.
    _, found = series_in("B1:+ -- S1 -- K1:A1-A2 -- K2:A1-A2 -- B1:-")
    assert [16.0, 8.0] == pytest.approx(exact_v(only(found)))


def test_a_lamp_across_a_coil_is_not_in_series_with_it() -> None:
    _, found = series_in("B1:+ -- S1 -- K1:A1-A2 -- B1:-", "K1:A1 -- H1 -- K1:A2")
    assert SeriesLoads((), frozenset()) == found


def test_two_lamps_whose_common_return_is_lost_are_dead_and_not_in_series() -> None:
    # Each end meets only the other lamp's; no current can leave by the way it came.
    _, found = series_in(
        "B1:+ -- S1 -- K1:A1-A2 -- B1:-", "K1:A1 -- H1:X1-X2 -- H2:X2", "H2:X1 -- K1:A1"
    )
    assert frozenset() == found.parts


def test_a_lamp_fed_back_through_a_coil_when_its_own_feed_is_open_has_a_feed_of_its_own() -> None:
    panel, found = series_in(
        "B1:+ -- S1 -- H1 -- B1:-", "B1:+ -- S2:13-14 -- H2 -- B1:-", "S1:14 -- K1:A1-A2 -- S2:14"
    )
    assert {"K1"} == named(panel, found)


def test_a_feed_that_no_state_closes_is_no_feed() -> None:
    # S2 is never pressed and released at once, so K1 has only the way through the lamp.
    panel, found = series_in(
        "B1:+ -- S2:13-14 -- S2:11-12 -- K1:A1-A2 -- B1:-", "B1:+ -- H1 -- K1:A1"
    )
    assert {"K1", "H1"} == named(panel, found)


def test_a_lamp_behind_a_dropping_resistor_gets_what_its_rated_current_leaves_or_more() -> None:
    # 20 mA x 65 ohm is 1.3 V; a lamp that takes nothing has all 24 V.
    panel, found = series_in("B1:+ -- S1 -- R1 -- H1 -- B1:-")
    assert {"H1"} == named(panel, found)
    share = only(found).shares[panel.parts[panel.devices["H1"].parts[0]].index]
    assert (22.7, 24.0) == pytest.approx((share.least_v, share.most_v))
    assert only(found).suits


def test_two_lamps_of_24_v_in_series_cannot_both_have_enough_however_they_share() -> None:
    _, found = series_in("B1:+ -- S1 -- H1 -- H3 -- B1:-")
    assert 2 * 0.90 * 24 == pytest.approx(only(found).too_much_v)
    assert only(found).suits is False


def test_a_lost_neutral_puts_all_that_shares_it_in_one_string() -> None:
    panel = panel_of(
        """panel "Lights"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
lamp H1 120 V AC 60 W
lamp H2 120 V AC 60 W
lamp H3 120 V AC 60 W
circuit "Lights"
  MAINS:L1 -- H1 -- H2:X2
  MAINS:L2 -- H2
  MAINS:L1 -- H3 -- H1:X2
"""
    )
    found = Case(panel).conclude(SeriesLoads)
    assert {"H1", "H2", "H3"} == named(panel, found)
    assert "other loads stand beside them" == only(found).reason


def test_the_windings_of_one_motor_are_not_in_series_with_each_other() -> None:
    panel = panel_of(
        """panel "Fan"
source MAINS 208Y/120 V AC 60 Hz, four-wire, 10 kA available, neutral bonded here
motor M1 1 hp 208 V AC three-phase, 4 A full load
circuit "Fan, third line missing"
  MAINS:L1 -- M1:T1
  MAINS:L2 -- M1:T2
"""
    )
    assert frozenset() == Case(panel).conclude(SeriesLoads).parts


@given(st.lists(st.integers(min_value=1, max_value=60), min_size=2, max_size=5))
def test_shares_of_a_chain_add_up_and_stand_as_the_resistances(ohms: list[int]) -> None:
    heaters = "".join(f"heater HTR{i} 24 V DC {ohm} ohm\n" for i, ohm in enumerate(ohms))
    chain = " -- ".join(f"HTR{i}" for i in range(len(ohms)))
    panel = panel_of(
        'panel "Mats"\nbattery B1 24 V DC, 200 A available, ungrounded\n'
        f'{heaters}circuit "Mats"\n  B1:+ -- {chain} -- B1:-\n'
    )
    share_v = exact_v(only(Case(panel).conclude(SeriesLoads)))
    assert 24.0 == pytest.approx(sum(share_v))
    assert [24.0 * ohm / sum(ohms) for ohm in ohms] == pytest.approx(share_v)
