"""What stands ahead of each terminal, in each way of feeding it."""

from __future__ import annotations

import pytest

from netcheck.case import Case
from netcheck.facts.beyond_wires import BeyondWires
from netcheck.facts.protection import Ahead, Holds, Protection
from netcheck.facts.sections import Sections
from tests.facts.panels import panel_of


def ahead_of(text: str, terminal: str) -> Ahead:
    found = Case(panel_of(text)).conclude(Protection).worst(terminal)
    assert found is not None
    return found


def held(text: str, terminal: str) -> tuple[Holds, float, str]:
    ahead = ahead_of(text, terminal)
    return ahead.holds, ahead.amperes, ahead.by


CHAIN = """panel "Bench"
{source}
breaker CB1 {first}
fuse FU1 {second}
lamp H1 120 V AC 1 A
circuit "Bench"
  E1:L -- CB1 -- FU1 -- H1 -- E1:N
"""
FUSED = "edge E1 120 V AC 60 Hz, fused 40 A, 5 kA available, N grounded"


def chain(source: str = FUSED, first: str = "20 A", second: str = "5 A") -> str:
    return CHAIN.format(source=source, first=first, second=second)


@pytest.mark.parametrize(
    ("terminal", "expected"),
    [
        ("CB1:1", (Holds.UPSTREAM, 40, "E1")),
        ("FU1:1", (Holds.DEVICE, 20, "CB1")),
        ("H1:X1", (Holds.DEVICE, 5, "FU1")),
    ],
)
def test_along_one_way_the_lowest_rating_counts(
    terminal: str, expected: tuple[Holds, float, str]
) -> None:
    assert expected == held(chain(), terminal)


def test_a_larger_fuse_behind_a_smaller_breaker_changes_nothing() -> None:
    assert (Holds.DEVICE, 20, "CB1") == held(chain(second="30 A"), "H1:X1")


def test_a_grounded_conductor_stands_in_no_section() -> None:
    sections = Case(panel_of(chain())).conclude(Sections)
    assert {"E1:N", "H1:X2"} <= sections.grounded
    assert sections.grounded.isdisjoint(sections.of)


def test_a_service_has_nothing_ahead_of_it() -> None:
    service = "source E1 120 V AC 60 Hz, 5 kA available, N grounded"
    assert Holds.NOTHING is ahead_of(chain(service), "CB1:1").holds


def test_an_edge_that_does_not_say_what_protects_it_is_not_known() -> None:
    edge = "edge E1 120 V AC 60 Hz, 5 kA available, N grounded"
    assert Holds.UNKNOWN is ahead_of(chain(edge), "CB1:1").holds


def test_a_device_of_unknown_rating_is_a_device_all_the_same() -> None:
    service = "source E1 120 V AC 60 Hz, 5 kA available, N grounded"
    text = chain(service, first="1-pole")
    assert (Holds.UNRATED, float("inf"), "CB1") == held(text, "FU1:1")
    assert (Holds.DEVICE, 5, "FU1") == held(text, "H1:X1")


def test_of_two_ways_of_feeding_the_one_that_holds_least_comes_first() -> None:
    text = """panel "Bench"
edge E1 120 V AC 60 Hz, fused 15 A, 5 kA available, N grounded
edge E2 120 V AC 60 Hz, fused 60 A, 5 kA available, N grounded
selector SS1 positions A B; 1-2 in A; 3-4 in B
lamp H1 120 V AC 1 A
circuit "Bench"
  E1:L -- SS1:1-2 -- H1 -- E1:N
  E2:L -- SS1:3-4 -- SS1:2
  E2:N -- H1:X2
"""
    ways = Case(panel_of(text)).conclude(Protection)
    section = ways.sections.of["H1:X1"]
    assert [60, 15] == [way.amperes for way in ways.ways[section]]


def test_a_diode_feeds_what_lies_ahead_of_it_and_not_behind() -> None:
    text = """panel "Bench"
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded
edge E2 24 V DC, fused 10 A, 100 A available, 0V grounded
diode D1
lamp H1 24 V DC 1 A
lamp H2 24 V DC 1 A
circuit "Bench"
  E1:+ -- H1 -- E1:0V
  H1:X1 -- D1 -- H2 -- E2:0V
  E2:+ -- H2:X1
"""
    assert (Holds.UPSTREAM, 3, "E1") == held(text, "H1:X1")
    assert (Holds.UPSTREAM, 10, "E2") == held(text, "H2:X1")


def test_minus_of_a_floating_battery_draws_through_a_diode_the_other_way() -> None:
    text = """panel "Bench"
battery B1 24 V DC, ungrounded, 100 A available, fused 5 A
relay K1 coil 24 V DC 1 W with diode
button S1 normally open 1-2
circuit "Bench"
  B1:+ -- S1 -- K1:A1-A2 -- B1:-
"""
    found = Case(panel_of(text)).conclude(Protection)
    section = found.sections.of["K1:A1"]
    assert ["B1:+"] == [way.pole for way in found.ways[section]]


TRANSFORMER = """panel "Bench"
edge E1 240 V AC 60 Hz, fused 15 A, 5 kA available, ungrounded
fuse FU1 2-pole, 3 A
transformer T1 240 V AC to {secondary}, 500 VA, X2 grounded{class_2}
lamp H1 {volts} V AC 1 A
circuit "Bench"
  E1:L1 -- FU1:1-2 -- T1:H1
  E1:L2 -- FU1:3-4 -- T1:H2
  T1:X1 -- H1 -- T1:X2
"""


def test_a_device_protects_through_a_two_wire_transformer_by_its_ratio() -> None:
    """NEC 240.4(F): 3 A at 240 V is 6 A at 120 V."""
    text = TRANSFORMER.format(secondary="120 V AC", volts=120, class_2="")
    assert (Holds.RATIO, 6, "FU1") == held(text, "H1:X1")


def test_a_secondary_with_a_middle_is_not_protected_through_the_transformer() -> None:
    text = TRANSFORMER.format(secondary="120/240 V AC", volts=120, class_2="")
    assert Holds.NOTHING is ahead_of(text, "H1:X1").holds


def test_class_2_limits_itself() -> None:
    text = TRANSFORMER.format(secondary="24 V AC", volts=24, class_2=", class 2")
    assert Holds.CLASS_2 is ahead_of(text, "H1:X1").holds


def test_a_transformer_fed_on_its_secondary_feeds_its_primary() -> None:
    text = """panel "Bench"
edge E1 24 V AC 60 Hz, fused 10 A, 100 A available, N grounded
transformer T1 240 V AC to 24 V AC, 500 VA, X2 grounded
lamp H1 240 V AC 1 A
circuit "Bench"
  E1:L -- T1:X1
  E1:N -- T1:X2
  T1:H1 -- H1 -- T1:H2
"""
    assert (Holds.RATIO, 1, "E1") == held(text, "H1:X1")


def test_beyond_a_tap_lies_its_device_and_beyond_a_branch_its_load() -> None:
    text = """panel "Bench"
edge E1 120 V AC 60 Hz, fused 60 A, 5 kA available, N grounded
strip XL1 terminals 1 to 3; bridged 1-2-3
breaker CB1 20 A
lamp H1 120 V AC 1 A
lamp H2 120 V AC 1 A
wire kind default: 12 AWG copper, 2 m
circuit "Bench"
  E1:L --1-- XL1:1
  XL1:2 --2-- CB1 --3-- H1 --N-- E1:N
  XL1:3 --4-- H2 --N-- E1:N
"""
    panel = panel_of(text)
    found = Case(panel).conclude(BeyondWires)
    beyond = {
        wire.number: (
            found.of[wire.index].loads,
            found.of[wire.index].devices,
            found.of[wire.index].length_m,
        )
        for wire in panel.wires
        if wire.index in found.of
    }
    assert {"1": (1, 1, 4), "2": (0, 1, 2), "3": (1, 0, 2), "4": (1, 0, 2)} == beyond
