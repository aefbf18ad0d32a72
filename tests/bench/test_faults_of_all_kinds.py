"""Shorts, ground faults, bad joints, supplies, swapped wires, two faults at once; readings that
cannot be.  What each must do to the circuit follows from Ohm's and Kirchhoff's laws."""

from __future__ import annotations

import pytest

from netcheck.bench.contradictions import contradictions, impossible
from netcheck.bench.diagnosing import (
    FURTHER,
    OTHER_PAIRS,
    PAIRS,
    SHORT_PAIRS,
    SHORTS,
    Diagnosis,
    diagnose,
)
from netcheck.bench.likelihoods import USUAL, NoTable, Sort, likelihoods_in
from netcheck.bench.observations import (
    Dim,
    Look,
    Looked,
    Observation,
    Read,
    Trips,
    observation,
)
from netcheck.model.names import NameMistake
from tests.bench.panels import BRANCHES, HEATER, THREE_PHASE, VALVE, panel_of


def told(text: str, *lines: str) -> Diagnosis:
    panel = panel_of(text)
    return diagnose(panel, [observation(panel, line) for line in lines])


def names(diagnosis: Diagnosis) -> set[str]:
    return {suspect.fault for suspect in diagnosis.suspects}


def readings(text: str, *lines: str) -> list[Read]:
    panel = panel_of(text)
    found = [observation(panel, line) for line in lines]
    return [one for one in found if isinstance(one, Read)]


# ---- what is said ----


def test_a_breaker_that_trips_a_dim_lamp_and_a_wire_looked_at_are_read() -> None:
    panel = panel_of(BRANCHES)
    assert Trips(
        "CB3 trips when K2 pulls in with S1 released", "CB3", "K2", ("S1 released",)
    ) == observation(panel, "CB3 trips when K2 pulls in with S1 released")
    assert Dim("H1 glows dim", "H1", ()) == observation(panel, "H1 glows dim")
    looked = observation(panel, "wire 204 is not seen")
    assert isinstance(looked, Looked)
    assert Look.NOT_SEEN is looked.look
    assert isinstance(looked.at, int)
    assert "204" == panel.wire_numbered[looked.at].number
    assert Looked("CB3 is not tripped", "CB3", Look.SEEN) == observation(
        panel, "CB3 is not tripped"
    )
    assert Looked("FU1 is good", "FU1", Look.SEEN) == observation(panel, "FU1 is good")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("Y1 trips", "Y1 is no breaker and no fuse"),
        ("CB3 trips when S1 pulls in", "`S1 pulls in` is nothing to wait for"),
        ("CB3 trips when K9 pulls in", "there is no device K9"),
        ("S1 glows dim", "S1 is no load"),
        ("H1 glows dim when K2 pulls in", "`H1 glows dim when K2 pulls in` is no symptom"),
        ("wire 999 seen", "999"),
    ],
)
def test_what_cannot_be_is_refused(line: str, words: str) -> None:
    with pytest.raises(NameMistake) as caught:
        observation(panel_of(BRANCHES), line)
    assert words in caught.value.message


# ---- what trips ----


def test_what_trips_as_a_relay_pulls_in_lies_behind_its_contact() -> None:
    assert {"wire 208 grounded", "wire 210 grounded", "Y1:1-2 shorted", "Y2:1-2 shorted"} == names(
        told(BRANCHES, "CB3 trips when K2 pulls in")
    )


def test_what_waits_for_a_relay_that_is_in_from_the_first_trips_as_power_comes() -> None:
    """With the start button held the relay pulls in at once: that it then trips is no less true."""
    held = names(told(BRANCHES, "CB3 trips when K2 pulls in with S2 pressed"))
    assert held == names(told(BRANCHES, "CB3 trips with S2 pressed"))
    assert names(told(BRANCHES, "CB3 trips when K2 pulls in")) < held


def test_what_trips_as_power_comes_lies_ahead_of_every_open_contact() -> None:
    assert {"wire 207 grounded"} == names(told(BRANCHES, "CB3 trips"))


def test_a_short_behind_another_fuse_is_no_suspect() -> None:
    found = names(told(BRANCHES, "FU1 blows with S2 pressed"))
    assert {"wire 204 grounded", "K2:A1-A2 shorted", "wire 213 grounded"} <= found
    assert found.isdisjoint({"wire 208 grounded", "Y1:1-2 shorted", "wire 207 grounded"})


def test_what_holds_no_voltage_against_ground_does_not_trip_when_grounded() -> None:
    """A grounded return is grounded already."""
    found = names(told(BRANCHES, "FU1 blows with S2 pressed"))
    assert found.isdisjoint({"wire 200 grounded", "wire 214 grounded"})


# ---- what is weak ----


def test_a_dim_lamp_has_a_bad_joint_on_its_own_way() -> None:
    found = names(told(BRANCHES, "H1 glows dim with S2 pressed"))
    assert {f"high resistance at an end of wire {number}" for number in (212, 213, 214)} <= found
    assert "high resistance at an end of wire 208" not in found


def test_volts_dropped_across_a_wire_name_it() -> None:
    """A sound wire drops next to nothing: what is dropped across it is in its joints."""
    found = told(
        BRANCHES, "H1 glows dim with S2 pressed", "K2:34 to H1:X1 9 V DC with S2 pressed"
    )  # fmt: skip
    assert {"high resistance at an end of wire 213"} == names(found)
    assert found.next is None


def test_a_supply_with_too_few_volts_is_told_from_a_bad_joint_at_its_own_poles() -> None:
    found = names(told(BRANCHES, "E1:+ to E1:0V 15 V DC"))
    assert {"E1 gives too few volts"} == found


def test_a_three_phase_motor_does_not_start_on_two_lines_and_one_that_ran_runs_on() -> None:
    """Single-phasing: a fact of the trade."""
    text = THREE_PHASE.replace("heater HTR1 9 kW", "motor M1 5 hp").replace("HTR1:1", "M1:T1")
    text = text.replace("HTR1:2", "M1:T2").replace("HTR1:3", "M1:T3")
    lines = {"wire 1 open", "wire 2 open", "wire 3 open", "wire 4 open", "FU1 blown"}
    assert lines <= names(told(text, "M1 does not run"))
    assert lines <= names(told(text, "M1 hums"))
    assert told(text, "M1 runs").sound_fits
    found = told(text, "M1 does not run", "M1:T1 to M1:T3 480 V AC", "M1:T2 to M1:T3 240 V AC")
    assert {"wire 3 open"} == names(found)


# ---- what is left at the end ----


def test_at_the_end_a_bad_joint_that_would_look_the_same_is_told_too() -> None:
    """A lamp that hardly glows at a joint of many ohms reads as behind an open wire."""
    lines = ["H1 is off with S2 pressed", "K2:34 to E1:0V 24 V DC with S2 pressed",
             "H1:X1 to E1:0V 0 V with S2 pressed"]  # fmt: skip
    panel = panel_of(BRANCHES)
    found = diagnose(panel, [observation(panel, line) for line in lines])
    assert {"wire 213 open"} == names(found)
    assert "high resistance at an end of wire 213" in {one.fault for one in found.also}
    assert "high resistance at an end of wire 212" not in {one.fault for one in found.also}


def test_a_transformer_that_gives_too_few_volts_reads_so() -> None:
    panel = panel_of(
        """\
panel "Bell"
edge E1 120 V AC 60 Hz, two-wire, fused 15 A, 5 kA available, N grounded, from "panel"
transformer T1 120 V AC to 24 V AC, 50 VA
lamp H1 24 V AC 2 W
circuit "Bell"
  E1:L --1-- T1:H1
  T1:H2 --2-- E1:N
  T1:X1 --3-- H1 --4-- T1:X2
"""
    )
    lines = ["H1 is off", "T1:X1 to T1:X2 12 V AC", "T1:H1 to T1:H2 120 V AC"]
    found = diagnose(panel, [observation(panel, line) for line in lines])
    assert {"T1 gives too few volts"} == names(found)


# ---- two at once ----


def test_two_faults_that_share_nothing_are_told_as_a_pair() -> None:
    found = told(BRANCHES, "H1 is off with S2 pressed", "Y1 is off with S2 pressed",
                 "Y2 is on with S2 pressed")  # fmt: skip
    assert found.pairs
    assert any("wire 213 open" in name and "wire 209 open" in name for name in names(found))
    assert all(" and " in name for name in names(found))


def test_one_fault_that_explains_both_is_preferred_to_two() -> None:
    found = told(BRANCHES, "H1 is off with S2 pressed", "Y1 is off with S2 pressed")
    assert not found.pairs
    assert "FU1 blown" in names(found)


def test_a_short_and_an_open_are_told_as_a_pair() -> None:
    """A ground fault opens CB3, and with it Y1 and Y2; that H1 is off too is something else."""
    found = told(BRANCHES, "CB3 trips when K2 pulls in", "H1 is off with S2 pressed",
                 "K2 is in with S2 pressed")  # fmt: skip
    assert found.pairs
    assert "wire 208 grounded and wire 213 open" in names(found)
    assert "Y1:1-2 shorted and H1:X1-X2 open" in names(found)
    assert not any("FU1 blown" in name or "wire 207 grounded" in name for name in names(found))


def test_a_short_and_a_burned_out_load_without_anything_said_of_a_breaker() -> None:
    found = told(BRANCHES, "Y1 is off with S2 pressed", "CB3:2 to E1:0V 24 V DC",
                 "CB3:2 to E1:0V 0 V with S2 pressed", "H1 is off with S2 pressed",
                 "K2 is in with S2 pressed", "FU1:2 to E1:0V 24 V DC with S2 pressed")  # fmt: skip
    assert found.pairs
    assert "Y1:1-2 shorted and H1:X1-X2 open" in names(found)


def test_two_shorts_behind_two_fuses_are_told_as_a_pair() -> None:
    """Each opens its own fuse, and neither the other's."""
    found = told(BRANCHES, "CB3 trips", "FU1 blows")
    assert found.pairs
    assert "wire 207 grounded and wire 202 grounded" in swapped_names(found)
    assert not any("K2:A1-A2" in name or "wire 208" in name for name in names(found))
    assert (OTHER_PAIRS,) == found.not_tried


def swapped_names(diagnosis: Diagnosis) -> set[str]:
    """Of two at once either first."""
    both = [name.split(" and ") for name in names(diagnosis)]
    return {f"{one} and {other}" for a, b in both for one, other in ((a, b), (b, a))}


def test_the_likelier_pair_comes_first_and_a_table_changes_which_it_is() -> None:
    seen = ["H1 is off with S2 pressed", "Y1 is off with S2 pressed", "Y2 is on with S2 pressed"]
    panel = panel_of(BRANCHES)
    said = [observation(panel, line) for line in seen]
    usual = diagnose(panel, said).suspects
    assert [one.weight for one in usual] == sorted((one.weight for one in usual), reverse=True)
    loads = diagnose(panel, said, {**USUAL, Sort.LOAD: 90.0}).suspects
    assert "Y1:1-2 open" in loads[0].fault
    assert "H1:X1-X2 open" in loads[0].fault


# ---- what was not tried is said ----


def test_what_may_explain_it_too_and_was_not_put_in_is_told() -> None:
    simpler = told(BRANCHES, "H1 is off with S2 pressed")
    dim = told(BRANCHES, "H1 glows dim with S2 pressed")
    pair = told(BRANCHES, "H1 is off with S2 pressed", "Y1 is off with S2 pressed",
                "Y2 is on with S2 pressed")  # fmt: skip
    assert (FURTHER,) == simpler.not_tried
    assert (SHORTS,) == dim.not_tried
    assert (SHORT_PAIRS,) == pair.not_tried


def test_which_pairs_are_left_out_is_said() -> None:
    nothing = told(BRANCHES, "CB3 trips", "FU1 blows with S2 pressed", "H1 is on with S2 pressed")
    assert () == nothing.suspects
    assert (OTHER_PAIRS,) == nothing.not_tried
    dim = told(BRANCHES, "H1 glows dim with S2 pressed", "FU1 blows")
    assert () == dim.suspects
    assert PAIRS in dim.not_tried


# ---- readings that cannot be ----


def test_the_same_two_points_read_twice_otherwise_are_held_against_each_other() -> None:
    read = readings(VALVE, "K1:A1 to K1:A2 24 V", "K1:A2 to K1:A1 0 V")
    assert 1 == len(contradictions(read))
    assert () == contradictions(readings(VALVE, "K1:A1 to K1:A2 24 V", "K1:A1 to K1:A2 23 V"))


def test_a_load_that_is_told_on_and_off_in_one_state_is_a_contradiction() -> None:
    def seen(*lines: str) -> list[Observation]:
        found = [observation(panel_of(VALVE), line) for line in lines]
        return [one for one in found if isinstance(one, Observation)]

    off = "Y1 does not open with S2 pressed and S1 released"
    (told,) = contradictions(seen("Y1 is on with S1 released and S2 pressed", off))
    assert "are one load in one state" in told
    assert () == contradictions(seen("Y1 is on with S2 pressed", "Y1 does not open"))
    assert () == contradictions(seen("Y1 is on with S2 pressed", "Y2 is off with S2 pressed"))
    found = diagnose(panel_of(VALVE), seen("Y1 is on with S1 released and S2 pressed", off))
    assert (told,) == found.contradictions


def test_direct_voltages_add_up_around_three_points() -> None:
    lines = ["E1:+ to FU1:2 0 V", "FU1:2 to E1:0V 24 V DC"]
    assert () == contradictions(readings(VALVE, *lines, "E1:+ to E1:0V 24 V DC"))
    assert 1 == len(contradictions(readings(VALVE, *lines, "E1:+ to E1:0V 12 V DC")))


def test_readings_of_two_states_do_not_contradict_each_other() -> None:
    lines = ["K1:A1 to K1:A2 24 V with S2 pressed", "K1:A1 to K1:A2 0 V"]
    assert () == contradictions(readings(VALVE, *lines))


def test_more_volts_than_all_that_is_drawn_gives_are_impossible() -> None:
    panel = panel_of(HEATER)
    assert () == impossible(panel, readings(HEATER, "HTR1:1 to HTR1:2 240 V AC"))
    assert 1 == len(impossible(panel, readings(HEATER, "HTR1:1 to HTR1:2 480 V AC")))
    assert 1 == len(impossible(panel, readings(HEATER, "HTR1:1 to HTR1:2 24 V DC")))


# ---- how likely ----


def test_a_wire_that_was_seen_is_suspected_less_and_one_found_different_more() -> None:
    def weight(*lines: str) -> float:
        found = told(VALVE, "Y1 does not open with S2 pressed", *lines)
        return next(one.weight for one in found.suspects if one.fault == "wire 204 open")

    assert weight("wire 204 seen") < weight() < weight("wire 204 not seen")
    assert weight("wire 204 not seen") < weight("wire 204 different")
    found = told(VALVE, "Y1 does not open with S2 pressed", "wire 204 different")
    assert ("wire 204 different",) == found.drawn_otherwise


def test_a_breaker_that_is_seen_not_to_have_tripped_is_suspected_less() -> None:
    """Less and no more: its handle may stand between, and its contact may be burned."""

    def place(*lines: str) -> int:
        found = told(BRANCHES, "Y1 is off with S2 pressed", "Y2 is off with S2 pressed", *lines)
        return [one.fault for one in found.suspects].index("CB3 tripped")

    assert 0 == place()
    assert 0 < place("CB3 is not tripped") == place("CB3 is on")


def test_every_sort_of_fault_has_a_likelihood_and_a_table_changes_what_it_names() -> None:
    assert set(Sort) == set(USUAL)
    changed = {**USUAL, **likelihoods_in('"coil, lamp or other load" = 50')}
    panel = panel_of(VALVE)
    seen = [observation(panel, "Y1 does not open with S2 pressed")]
    assert Sort.LOAD != diagnose(panel, seen).suspects[0].sort
    assert Sort.LOAD == diagnose(panel, seen, changed).suspects[0].sort


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('"ground faults" = 2', "is no sort of fault"),
        ('"ground fault" = "often"', "is no number"),
        ('"ground fault" = true', "is no number"),
        ('"ground fault" = 0', "not above 0"),
        ('"ground fault" = nan', "not above 0"),
        ("ground fault = 2", "no TOML"),
    ],
)
def test_a_table_that_is_none_is_refused_with_the_reason(text: str, words: str) -> None:
    with pytest.raises(NoTable) as caught:
        likelihoods_in(text)
    assert words in str(caught.value)


ACROSS = """\
panel "Gate"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
relay K1 coil 24 V DC 1 W; normally open 13-14
switch S1 normally open 1-2
motor M1 24 V DC 1 A
diode D1
lamp H1 24 V DC 1 W
diode D2
circuit "Gate"
  E1:+ --1-- FU1 --2-- S1 --3-- K1:A1-A2 --0-- E1:0V
  FU1:2 --2-- K1:13-14 --4-- M1:T1-T2 --5-- E1:0V
  M1:T2 --5-- D1:A-K --4-- M1:T1
  E1:+ --1-- D2:A-K --6-- H1 --0-- E1:0V
"""


def test_a_diode_across_a_motor_is_suspected_of_a_short_as_the_motor_is() -> None:
    """Such a diode fails short (fact of the trade); no other diode of the panel is across it."""
    panel = panel_of(ACROSS)
    found = diagnose(panel, [observation(panel, "FU1 blows when K1 pulls in")])
    named = {one.fault for one in found.suspects}
    assert {"M1:T1-T2 shorted", "D1:A-K shorted"} <= named
    assert not any(one.startswith("D2") for one in named)
    assert any({"M1:T1-T2 shorted", "D1:A-K shorted"} <= set(one.faults) for one in found.power_off)
