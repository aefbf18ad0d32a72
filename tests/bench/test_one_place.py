"""Points that are one place read alike: no resistance lies between them (Kirchhoff's voltage law).
What a joint truly shows, at any ohms, is held against that at every pair of points of its ways."""

from __future__ import annotations

from itertools import combinations

import pytest

from netcheck.bench import between, broken_panel
from netcheck.bench.candidates import Candidate, joints
from netcheck.bench.diagnosing import _Search, diagnose
from netcheck.bench.fitting import Tried, tried
from netcheck.bench.in_numbers import stand_in_numbers
from netcheck.bench.observations import Observation, Read, observation
from netcheck.bench.one_place import told_apart
from netcheck.bench.sound import Sound
from netcheck.bench.standing import stand
from netcheck.bench.walks import walks_of
from netcheck.model.panel import Panel
from netcheck.record import replace
from tests.bench.panels import BRANCHES, VALVE, load_of, panel_of
from tests.bench.search_trees import lines_of
from tests.benchmarks.every_fault import pairs_of

PLACES = {"a": 1, "b": 1, "c": 2, "d": 2, "e": 3}


def differ(*reads: tuple[str, str, float, str]) -> bool:
    seen = [Read("", red, black, volts, kind, False, ()) for red, black, volts, kind in reads]
    return told_apart(seen, PLACES.__getitem__)


def test_two_readings_of_the_same_places_differ_by_more_than_both_may_be_off() -> None:
    assert differ(("a", "c", 24, "DC"), ("b", "d", 12, "DC"))
    assert not differ(("a", "c", 24, "DC"), ("b", "d", 22, "DC"))
    assert not differ(("a", "c", 24, "DC"), ("b", "e", 12, "DC"))


def test_with_the_leads_the_other_way_round_volts_dc_change_their_sign_and_volts_ac_do_not() -> (
    None
):
    assert not differ(("a", "c", 24, "DC"), ("d", "b", -24, "DC"))
    assert differ(("a", "c", 24, "DC"), ("d", "b", 24, "DC"))
    assert not differ(("a", "c", 120, "AC"), ("d", "b", 120, "AC"))
    assert differ(("a", "c", 120, "AC"), ("d", "b", 60, "AC"))


def test_volts_of_two_kinds_say_nothing_of_one_another() -> None:
    assert not differ(("a", "c", 24, "DC"), ("b", "d", 120, "AC"))


def test_along_one_place_nothing_is_lost() -> None:
    assert differ(("a", "b", 3, "DC"))
    assert not differ(("a", "b", 0.5, "DC"))


def test_round_three_places_no_reading_is_more_than_both_others() -> None:
    assert differ(("a", "c", 240, "AC"), ("c", "e", 0, ""), ("e", "b", 155, "AC"))
    assert not differ(("a", "c", 240, "AC"), ("c", "e", 120, "AC"), ("e", "b", 130, "AC"))
    assert not differ(("a", "c", 240, "AC"), ("c", "e", 0, ""), ("e", "b", 0, ""))


def with_ends(panel: Panel, load: str) -> list[Tried]:
    """The joints on the ways of a load, each as a search tries it: with all ohms, none, a break."""
    ways = walks_of(stand(panel).states, load_of(panel, load)).ways
    search = _Search(panel, [seen(panel, f"{load} is off with S2 pressed")])
    tries = search._tries
    return [
        search._of_any_value(tries.of(one, search._played))
        for one in joints(panel, ways)
        if one.wires
    ]


def seen(panel: Panel, line: str) -> Observation:
    found = observation(panel, line)
    assert not isinstance(found, tuple)
    return found  # type: ignore[return-value]


def at_ohm(panel: Panel, joint: Candidate, ohm: float) -> Tried:
    ((a, b, _),) = joint.edits[0].joints
    return tried(
        Sound(panel), replace(joint, edits=(replace(joint.edits[0], joints=((a, b, ohm),)),))
    )


@pytest.mark.parametrize(("text", "load"), [(VALVE, "Y1"), (BRANCHES, "H1")])
def test_no_joint_is_ruled_out_by_readings_that_it_truly_gives(text: str, load: str) -> None:
    panel, withs, count = panel_of(text), ("S2 pressed",), 0
    ways = walks_of(stand(panel).states, load_of(panel, load)).ways
    for one in with_ends(panel, load):
        assert one.candidate is not None
        for ohm in (5.0, 50.0, 500.0):
            true = at_ohm(panel, one.candidate, ohm)
            reads = [
                seen(panel, lines_of(red, black, true.reading(red, black, withs), withs, 1.0))
                for red, black in pairs_of(ways)
            ]
            low, high = (bench for _, bench, _ in one.beyond)
            for some in (*combinations(reads, 2), reads):
                assert not between.are_told_apart(low, high, some), (one.candidate.words, ohm)
                assert not between.is_none_between(low, high, some), (one.candidate.words, ohm)
                count += 1
    assert count > 300


def test_a_joint_that_lies_elsewhere_is_ruled_out_before_its_ohms_are_solved(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """23.9 V leave the contact, half arrives at the valve: the joint is in the wire between, and of
    no other joint is any state solved move by move."""
    panel = panel_of(VALVE)
    lines = ["Y1 is off with S2 pressed", "K1:24 to E1:0V 23.9 V DC with S2 pressed"]
    lines += ["Y1:1 to E1:0V 12 V DC with S2 pressed"]
    told = [seen(panel, line) for line in lines]
    solved = []

    def noted(sound: Sound, withs: tuple[str, ...], broken: Panel) -> object:
        solved.append(broken)
        return stand_in_numbers(sound, withs, broken)

    every = with_ends(panel, "Y1")
    monkeypatch.setattr(broken_panel, "stand_in_numbers", noted)
    fit = []
    for one in every:
        before = len(solved)
        if one.fits(told):
            fit.append(one)
        else:
            assert len(solved) == before
    assert ["high resistance at an end of wire 208"] == [
        one.candidate.words for one in fit if one.candidate is not None
    ]
    assert solved


def test_a_joint_on_which_one_relay_hangs_is_ruled_out_before_its_ohms_are_solved(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A quarter of its volts at the valve: K1 lets all of them by or none, whatever is lost ahead
    of its coil, and none of those joints is solved at any ohms."""
    panel = panel_of(VALVE)
    lines = ["Y1 is off with S2 pressed", "Y1:1 to E1:0V 6 V DC with S2 pressed"]
    told = [seen(panel, line) for line in lines]
    every = {
        one.candidate.wires[0]: one for one in with_ends(panel, "K1") if one.candidate is not None
    }
    coil = [every[wire.index] for wire in panel.wires if wire.number in ("203", "204", "200")]
    assert len(coil) == 3

    def refused(*of: object) -> None:
        raise AssertionError("solved move by move")

    monkeypatch.setattr(broken_panel, "stand_in_numbers", refused)
    assert not any(one.fits(told) for one in coil)


def test_where_the_coil_and_the_valve_hang_on_one_joint_its_ohms_are_looked_for() -> None:
    """The nearest that is not ruled out: wire 202 feeds K1 and all valves."""
    panel = panel_of(VALVE)
    lines = ["Y1 is off with S2 pressed", "Y1:1 to E1:0V 20.5 V DC with S2 pressed"]
    told = [seen(panel, line) for line in lines]
    fit = {
        one.candidate.words for one in with_ends(panel, "Y1") if one.candidate and one.fits(told)
    }
    assert "high resistance at an end of wire 201" in fit


def test_what_a_source_gives_is_read_at_its_poles_whatever_else_is_bad() -> None:
    """12 V where the fuse is fed: nothing behind the fuse makes them of 24."""
    panel = panel_of(VALVE)
    lines = ["Y1 is off with S2 pressed", "FU1:1 to E1:0V 12 V DC with S2 pressed"]
    told = [seen(panel, line) for line in lines]
    fit = [
        one.candidate.words for one in with_ends(panel, "Y1") if one.candidate and one.fits(told)
    ]
    assert ["high resistance at an end of wire 201"] == fit


def test_no_short_is_put_in_where_points_read_differently_that_wire_joins() -> None:
    """23.9 V leave the contact, nothing arrives at the valve: a short beyond a fuse would show as
    much at both ends of the wire."""
    panel = panel_of(VALVE)
    lines = ["Y1 is off with S2 pressed", "K1:24 to E1:0V 23.9 V DC with S2 pressed"]
    same = [*lines, "Y1:1 to E1:0V 23.9 V DC with S2 pressed"]
    other = [*lines, "Y1:1 to E1:0V 0 V DC with S2 pressed"]
    for told, may_be_short in ((same, True), (other, False)):
        search = _Search(panel, [seen(panel, line) for line in told])
        assert bool(search._parted) is not may_be_short
    found = diagnose(panel, [observation(panel, line) for line in other])
    assert {"wire 208 open"} == {one.fault for one in found.suspects}
