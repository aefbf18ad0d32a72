"""The order of suspects and of readings, and causes behind causes.

That a walk, a cover and live work cost more than another reading is common practice, no source.
"""

from __future__ import annotations

import pytest

from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.likelihoods import USUAL, Likelihoods, Sort
from netcheck.bench.next_reading import Next
from netcheck.bench.observations import observation
from tests.bench.panels import VALVE, panel_of

EQUAL = dict.fromkeys(Sort, 1.0)

SERIES = """\
panel "Vents shut"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
location benches: outside
fuse FU1 2 A
limit switch LS1 normally closed 11-12{first}
limit switch LS2 normally closed 11-12{second}
lamp H1 24 V DC 1 W
circuit "Vents"
  E1:+ --1-- FU1 --2-- LS1 --3-- LS2 --4-- H1 --5-- E1:0V
"""
"""Nine equally likely places: LS1:12 and LS2:11 halve them alike, four and five."""

SUPPLY = """\
panel "Lamp"
source MAINS 120 V AC 60 Hz, 10 kA available, neutral bonded here
fuse FU1 2 A
supply PS1 120 V AC to 24 V DC, 2 A, isolated, 0V grounded
switch S1 normally closed 11-12
lamp H1 24 V DC 1 W
circuit "Lamp"
  MAINS:L --1-- FU1 --2-- PS1:L
  PS1:N --3-- MAINS:N
  PS1:+ --4-- S1 --5-- H1 --6-- PS1:0V
"""

RELAYS = """\
panel "One after the other"
source MAINS 120 V AC 60 Hz, 10 kA available, neutral bonded here
fuse FU1 2 A
supply PS1 120 V AC to 24 V DC, 2 A, isolated, 0V grounded
fuse FU2 1 A
button S1 normally open 13-14
relay K1 coil 24 V DC 1 W; normally open 13-14
relay K2 coil 24 V DC 1 W; normally open 13-14
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
circuit "One after the other"
  MAINS:L --1-- FU1 --2-- PS1:L
  PS1:N --3-- MAINS:N
  PS1:+ --4-- FU2 --5-- S1 --6-- K1:A1-A2 --0-- PS1:0V
  FU2:2 --7-- K1:13-14 --8-- K2:A1-A2 --0-- PS1:0V
  FU2:2 --9-- K2:13-14 --10-- H1 --0-- PS1:0V
  FU2:2 --11-- H2 --0-- PS1:0V
"""


def told(text: str, *lines: str, likelihoods: Likelihoods = USUAL) -> Diagnosis:
    panel = panel_of(text)
    return diagnose(panel, [observation(panel, line) for line in lines], likelihoods)


def names(diagnosis: Diagnosis) -> list[str]:
    return [one.fault for one in diagnosis.suspects]


def first_asked(text: str, line: str, likelihoods: Likelihoods = EQUAL) -> Next:
    found = told(text, line, likelihoods=likelihoods).next
    assert found is not None
    return found


# ---- suspects ----


def test_suspects_stand_likeliest_first_and_alike_ones_in_walking_order() -> None:
    found = told(VALVE, "Y1 does not open with S2 pressed")
    weights = [one.weight for one in found.suspects]
    assert weights == sorted(weights, reverse=True)
    assert "FU1 blown" == found.suspects[0].fault
    wires = [name for name in names(found) if name in ("wire 201 open", "wire 202 open")]
    assert ["wire 201 open", "wire 202 open"] == wires
    field, panel = names(found).index("wire 208 open"), names(found).index("wire 201 open")
    assert field < panel  # what leaves the panel gets wet and moves


def test_a_table_of_likelihoods_changes_the_order_and_what_is_metered_first() -> None:
    loads = {**EQUAL, Sort.LOAD: 100.0}
    found = told(VALVE, "Y1 does not open with S2 pressed", likelihoods=loads)
    assert {"Y1:1-2 open", "K1:A1-A2 open"} == set(names(found)[:2])
    fuse = {**EQUAL, Sort.PROTECTION: 1000.0}
    text = SERIES.format(first="", second="")
    by_fuse, by_half = (first_asked(text, "H1 is not lit", one) for one in (fuse, EQUAL))
    assert by_fuse.red in ("FU1:1", "FU1:2", "LS1:11")  # either side of it, or next to it
    assert "LS1:12" == by_half.red


# ---- readings ----


@pytest.mark.parametrize(
    ("first", "second", "red"),
    [
        ("", "", "LS1:12"),
        (", at benches", "", "LS2:11"),
        ("", ", at benches", "LS1:12"),
        (", on door", "", "LS2:11"),
        ("", ", on door", "LS1:12"),
        (", on door", ", at benches", "LS1:12"),
        (", at benches", ", on door", "LS2:11"),
    ],
)
def test_of_points_that_halve_alike_the_one_without_a_walk_or_a_cover_is_metered(
    first: str, second: str, red: str
) -> None:
    text = SERIES.format(first=first, second=second)
    assert red == first_asked(text, "H1 is not lit").red


def test_a_walk_is_made_where_it_saves_more_than_it_costs() -> None:
    """Everything but the lamp and its wires is out there, and no lead reaches from there to the
    lamp: across both switches it tells most."""
    text = SERIES.format(first=", at benches", second=", at benches")
    text = text.replace("fuse FU1 2 A", "fuse FU1 2 A, at benches")
    asked = first_asked(text, "H1 is not lit")
    assert ("LS1:11", "LS2:12") == (asked.red, asked.black)
    assert "benches" == asked.location


def test_where_24_v_tell_as_much_120_v_are_left_alone() -> None:
    """The line side halves a little better, by less than a tenth."""
    nearly = {**EQUAL, Sort.PROTECTION: 1.5, Sort.LOAD: 0.3}
    asked = first_asked(SUPPLY, "H1 is not lit", nearly)
    assert ("PS1:+", "PS1:0V") == (asked.red, asked.black)
    assert 24 == asked.exposed_v


def test_120_v_are_metered_where_they_tell_much_more_and_the_volts_are_said() -> None:
    much = {**EQUAL, Sort.PROTECTION: 8.1, Sort.LOAD: 4.0, Sort.SWITCH: 0.1, Sort.SUPPLY: 0.1}
    asked = first_asked(SUPPLY, "H1 is not lit", much)
    assert ("PS1:L", "PS1:N") == (asked.red, asked.black)
    assert 120 == asked.exposed_v


def test_the_black_lead_stays_where_it_is_if_the_next_reading_is_as_good_there() -> None:
    text = SERIES.format(first="", second="")
    found = told(text, "H1 is not lit", "LS1:12 to E1:0V 0 V", likelihoods=EQUAL).next
    assert found is not None
    assert "E1:0V" == found.black


def test_what_was_skipped_is_not_asked_for_again() -> None:
    panel = panel_of(SERIES.format(first="", second=""))
    seen = [observation(panel, "H1 is not lit")]
    first = diagnose(panel, seen, EQUAL).next
    assert first is not None
    second = diagnose(panel, seen, EQUAL, [(first.red, first.black)]).next
    assert second is not None
    assert (first.red, first.black) != (second.red, second.black)


# ---- causes behind causes ----


def test_the_cause_of_a_dark_lamp_may_lie_three_relays_and_a_supply_back() -> None:
    found = set(names(told(RELAYS, "H1 is not lit with S1 pressed")))
    of_each_step = (
        "H1:X1-X2 open", "wire 10 open", "K2:13-14 open",  # its own way
        "K2:A1-A2 open", "wire 8 open", "K1:13-14 open",  # the relay ahead
        "K1:A1-A2 open", "wire 6 open", "S1:13-14 open",  # and the one ahead of that
        "FU2 blown", "wire 4 open",  # what feeds them all
        "FU1 blown", "wire 2 open", "PS1:L-N open", "wire 3 open",  # what makes that
    )  # fmt: skip
    assert set(of_each_step) <= found


def test_what_else_works_takes_away_the_causes_that_it_shares() -> None:
    found = set(names(told(RELAYS, "H1 is not lit with S1 pressed", "H2 is lit with S1 pressed")))
    assert found.isdisjoint({"FU2 blown", "FU1 blown", "PS1:L-N open", "wire 4 open"})
    assert {"K1:A1-A2 open", "K2:13-14 open"} <= found
    found = set(names(told(RELAYS, "H1 is not lit with S1 pressed", "K2 is in with S1 pressed")))
    assert {"wire 9 open", "K2:13-14 open", "wire 10 open", "H1:X1-X2 open"} <= found
    assert found.isdisjoint({"K1:A1-A2 open", "K2:A1-A2 open", "wire 8 open", "FU2 blown"})


def test_a_relay_that_sticks_puts_on_what_hangs_on_the_next_one() -> None:
    found = set(names(told(RELAYS, "H1 is lit")))
    assert {"S1:13-14 welded", "K1 held in", "K1:13-14 welded", "K2 held in"} <= found
    assert "K2:13-14 welded" in found
