"""Faults of which nobody knows how much: bad joints, supplies that give too few volts.  One value
must explain all readings; with one resistance unknown every voltage of a linear circuit is a
straight line over its current (superposition)."""

from __future__ import annotations

import pytest

from netcheck.bench.candidates import Candidate, joints, supplies
from netcheck.bench.diagnosing import diagnose
from netcheck.bench.fitting import Tried, tried
from netcheck.bench.observations import Observation, Read, observation
from netcheck.bench.sound import Sound
from netcheck.bench.standing import stand
from netcheck.bench.walks import walks_of
from netcheck.model.panel import Panel
from netcheck.record import replace
from tests.bench.panels import BRANCHES, SAMPLES, VALVE, load_of, panel_of, sample
from tests.bench.search_trees import lines_of

FLASHER = """\
panel "Mist, on and off by itself"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
switch S1 normally open 13-14
on-delay timer KT1 10 s; coil 24 V DC 1 W; timed normally open 15-18
on-delay timer KT2 5 s; coil 24 V DC 1 W; timed normally closed 15-16
valve Y1 24 V DC 8 W
circuit "Mist"
  E1:+ --1-- S1 --2-- KT2:15-16 --3-- KT1:A1-A2 --4-- E1:0V
  S1:14 --5-- KT1:15-18 --6-- KT2:A1-A2 --7-- E1:0V
  KT1:18 --8-- Y1 --9-- E1:0V
"""


def put_in(panel: Panel, candidate: Candidate, share: int = 0) -> Tried:
    """With one of the shares it may have."""
    one = replace(candidate, edits=(candidate.edits[share],)) if candidate.edits else candidate
    return tried(Sound(panel), one)


def candidates(panel: Panel, load: str) -> dict[str, Candidate]:
    ways = walks_of(stand(panel).states, load_of(panel, load)).ways
    return {one.words: one for one in (*joints(panel, ways), *supplies(panel, ways))}


def read(panel: Panel, line: str) -> Observation:
    found = observation(panel, line)
    assert isinstance(found, Read)
    return found


@pytest.mark.parametrize("off", [0.95, 1.0, 1.05])
@pytest.mark.parametrize(
    "fault",
    [
        "E1 gives too few volts",
        "high resistance at an end of wire 204",
        "high resistance at an end of wire 202",
        "high resistance at an end of wire 200",
    ],
)
def test_what_lets_too_little_by_is_named_by_the_volts_across_it(fault: str, off: float) -> None:
    panel = panel_of(VALVE)
    true, lines = put_in(panel, candidates(panel, "K1")[fault]), ["K1 is out with S2 pressed"]
    asked: list[tuple[str, str]] = []
    while (found := diagnose(panel, [observation(panel, one) for one in lines])).next is not None:
        step = found.next
        asked.append((step.red, step.black))
        reading = true.reading(step.red, step.black, step.withs)
        lines.append(lines_of(step.red, step.black, reading, step.withs, off))
        assert len(asked) < 10, asked
    assert [fault] == [one.fault for one in found.suspects]


def test_readings_that_no_one_resistance_gives_do_not_fit() -> None:
    """A joint in the feed of a lamp: what is lost in it the lamp does not get."""
    panel = panel_of(BRANCHES)
    joint = candidates(panel, "H1")["high resistance at an end of wire 212"]
    one = tried(Sound(panel), joint)
    lost = "FU1:2 to K2:33 {} V DC with S2 pressed"
    left = "H1:X1 to H1:X2 {} V DC with S2 pressed"
    for at_joint, at_lamp, fits in ((9, 15, True), (15, 9, True), (9, 9, False), (3, 12, False)):
        seen = [read(panel, lost.format(at_joint)), read(panel, left.format(at_lamp))]
        assert fits == one.fits(seen), (at_joint, at_lamp)


def test_a_panel_that_never_rests_is_metered_with_its_sources_on() -> None:
    panel = panel_of(FLASHER)
    standing = stand(panel_of(FLASHER, ["S1 on"]))
    assert standing.restless
    assert standing.present(0)
    found = diagnose(panel, [observation(panel, "KT1 is out with S1 on")])
    assert "wire 1 open" in {one.fault for one in found.suspects}
    assert found.next is not None
    assert {"24 V DC", "0 V"} == {str(one.reading) for one in found.next.outcomes}


@pytest.mark.parametrize(
    ("load", "wire"), [("B.H1", "503 B.X1:4 to B.H1:X1"), ("A.K1", "203 A.X1:5 to A.S1:1")]
)
def test_a_bad_joint_of_some_twelve_takes_no_more_than_five_readings(load: str, wire: str) -> None:
    """No joint in the coil of a relay makes the lamp behind its contact dim, though the lamp is
    dark on one side and bright on the other of where the relay drops out; nor does what feeds the
    supply.  Half-split would take four, knowing the ohms."""
    panel = sample(SAMPLES / "two_houses.panel")
    fault = f"high resistance at an end of wire {wire}"
    true = put_in(panel, candidates(panel, load)[fault])
    lines = [f"{load} is dim with A.S1 on and B.FL1 operated"]
    while (found := diagnose(panel, [observation(panel, one) for one in lines])).next is not None:
        step = found.next
        reading = true.reading(step.red, step.black, step.withs)
        lines.append(lines_of(step.red, step.black, reading, step.withs, 1.0))
    assert [fault] == [one.fault for one in found.suspects]
    assert len(lines) <= 1 + 5, lines


def test_what_was_read_of_a_joint_tells_what_it_shows_elsewhere() -> None:
    """Half the volts at the transformer are half at all that it feeds: no reading there parts a
    joint ahead of it from a wire on its ground terminal, or a technician goes from terminal to
    terminal and reads 60 V at each."""
    panel = sample(SAMPLES / "fertigation.panel")
    lines = ["H1 is dim", "T1:X1 to T1:X2 59.96 V AC", "T1:H1 to E1:L2 240 V AC"]
    lines += ["XL2:3 to E1:L2 0 V", "T1:H1 to T1:H2 120 V AC"]
    found = diagnose(panel, [observation(panel, one) for one in lines])
    assert "wire 22 and wire PE T1:PE to GB1:4 swapped at T1:H2" in {
        one.fault for one in found.suspects
    }
    assert "high resistance at an end of wire 22" in {one.fault for one in found.suspects}
    assert found.next is not None
    assert ("FU2:1", "E1:L2") == (found.next.red, found.next.black)


def test_two_readings_of_a_joint_leave_the_ohms_at_which_both_are_read() -> None:
    """A joint ahead of a transformer turns the phase of what is left: where T1:H2 stands 230 V from
    a line T1 is left with some 97 V, and 132 were read behind it.  Wires swapped read both."""
    panel = sample(SAMPLES / "boiler_pumps.panel")
    lines = ["H3 is dim", "QM1:21 to T1:X2 132.15 V AC", "T1:H1 to MAINS:L2 398.37 V AC"]
    lines += ["T1:H2 to MAINS:L2 230 V AC"]
    found = diagnose(panel, [observation(panel, one) for one in lines])
    names = {one.fault for one in found.suspects}
    assert names == {"wire 32 and wire PE T1:PE to GB1:4 swapped at T1:H2"}


def test_a_joint_of_such_ohms_as_were_read_at_both_points_stays_suspect() -> None:
    """Of 20,000 ohm in wire 32, solved by itself: T1:H2 stands 123.6 V from the line."""
    panel = sample(SAMPLES / "boiler_pumps.panel")
    lines = ["H3 is dim", "QM1:21 to T1:X2 157.88 V AC", "T1:H1 to MAINS:L2 398.37 V AC"]
    lines += ["T1:H2 to MAINS:L2 123.6 V AC"]
    found = diagnose(panel, [observation(panel, one) for one in lines])
    assert "high resistance at an end of wire 32" in {one.fault for one in found.suspects}
    assert found.next is not None
    assert "T1:X2" not in (found.next.red, found.next.black), "158 V again"


def test_no_joint_is_suspected_ahead_of_points_with_all_their_volts_where_a_load_is_dim() -> None:
    """Dim is less than nine tenths, and a meter shows no more than a tenth too much of what is
    there: what leaves HTR1 less leaves QM2:3, ahead of it, less than 209 V."""
    panel = sample(SAMPLES / "potting_shed.panel")
    lines = ["HTR1 is dim", "QM2:3 to MAINS:N 229.9 V AC"]
    found = diagnose(panel, [observation(panel, one) for one in lines])
    ahead = {f"high resistance at an end of wire {wire}" for wire in ("2", "5", "8")}
    names = {one.fault for one in found.suspects}
    assert names.isdisjoint({*ahead, "MAINS gives too few volts"})
    assert {"high resistance at an end of wire 11", "high resistance at an end of wire 41"} <= names


def test_volts_ac_that_turn_as_a_joint_gets_worse_pass_through_nought() -> None:
    """One line of a motor between three: whole it stands 230 V one way from the neutral, broken
    115 V the other way, midway between the two lines that are left."""
    panel = sample(SAMPLES / "boiler_pumps.panel")
    lines = ["M1 is dim with QM1:auxiliary operated and TS1 operated"]
    lines += ["M1:V to M1:W 230 V AC with QM1:auxiliary operated and TS1 operated"]
    lines += ["M1:W to MAINS:N 0.3 V AC with QM1:auxiliary operated and TS1 operated"]
    found = diagnose(panel, [observation(panel, one) for one in lines])
    assert "high resistance at an end of wire 13" in {one.fault for one in found.suspects}
