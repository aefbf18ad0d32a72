"""After a fuse or breaker has opened, ohms with the power off come next, never a live reading."""

from __future__ import annotations

import pytest

from netcheck.bench import diagnose_text
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.likelihoods import Sort
from netcheck.bench.observations import observation
from netcheck.bench.ohms import ohms_between
from netcheck.bench.power_off import OhmStep
from netcheck.bench.standing import stand
from netcheck.report.terminal import columns
from tests.bench.panels import BRANCHES, HEATER, SAMPLES, VALVE, panel_of, sample

ROOF = """\
panel "Roof fan behind a disconnect"
source MAINS 120 V AC 60 Hz, two-wire, 10 kA available, neutral bonded here
breaker CB1 1-pole, 15 A, 120 V AC
button S1 normally open 13-14, on door
relay K1 coil 120 V AC 5 W; normally open 1-2; normally closed 11-12
strip X1 terminals 1 to 4
location roof: outside
disconnect QS1 1-pole, 120 V AC, 20 A, at roof
fan EF1 120 V AC 200 W, at roof
lamp H1 120 V AC 2 W, on door
wire kind default: 14 AWG copper MTW 90 degC black, 2 m
circuit "Fan"
  MAINS:L --101-- CB1 --104-- K1:1-2 --102-- X1:1 --102-- QS1 --103-- EF1 --100-- MAINS:N
  CB1:2 --105-- S1 --106-- K1:A1-A2 --100-- MAINS:N
  CB1:2 --107-- K1:11-12 --108-- H1 --100-- MAINS:N
"""


def told(text: str, *lines: str) -> Diagnosis:
    panel = panel_of(text)
    return diagnose(panel, [observation(panel, line) for line in lines])


def step_of(found: Diagnosis, fault: str) -> OhmStep:
    (step,) = (step for step in found.power_off if fault in step.faults)
    return step


@pytest.mark.parametrize(
    "lines",
    [("CB3 trips when K2 pulls in",), ("CB3 trips",), ("FU1 blows with S2 pressed",)],
)
def test_what_trips_is_not_closed_again_for_a_reading(lines: tuple[str, ...]) -> None:
    """Re-close on a short only when its cause is found: common practice, no source."""
    found = told(BRANCHES, *lines)
    assert found.suspects
    assert found.opened
    assert found.next is None
    assert found.power_off
    text = diagnose_text.render(DiagnoseDocument("a", (), lines, found), colour=False, width=40)
    assert "METER NEXT" not in text
    assert "POWER OFF NEXT" in text
    assert [] == [line for line in text.splitlines() if columns(line) > 40]


def test_each_ohm_step_says_what_is_sound_there() -> None:
    """24 V and 8 W are 72 ohm, two valves side by side 36: V^2 / P."""
    step = step_of(told(BRANCHES, "CB3 trips when K2 pulls in"), "Y1:1-2 shorted")
    assert ("K2:24", "E1:0V") == (step.red, step.black)
    assert step.sound.high == pytest.approx(36, rel=0.01)
    assert ("Y1 1-2", "Y2 1-2") == step.sound.beside
    assert "lift" in step.sound.lift


def test_what_reads_near_nought_at_one_pair_of_points_is_asked_once_and_named_in_one_place() -> (
    None
):
    """Wires of one number, and what a closed disconnect joins to them, all ground one node; a
    load shorted to a grounded neutral grounds it too."""
    found = told(ROOF, "CB1 trips when K1 pulls in")
    step = step_of(found, "wire 102 K1:2 to X1:1 grounded")
    assert {
        "wire 102 K1:2 to X1:1 grounded",
        "wire 102 X1:1 to QS1:1 grounded",
        "wire 103 grounded",
        "EF1:1-2 shorted",
    } == {*step.faults}
    pairs = [(one.red, one.black) for one in found.power_off]
    assert sorted({*pairs}) == sorted(pairs)
    text = diagnose_text.render(DiagnoseDocument("a", (), (), found), colour=False, width=None)
    assert "one of wire 102 K1:2 to X1:1 grounded, wire 102 X1:1 to QS1:1 grounded" in text
    assert diagnose_text.PARTS in text


def test_what_is_joined_at_rest_anyway_is_no_step() -> None:
    """A brake's contact: K1 out joins the fan's ends, so with the power off all reads nought."""
    found = told(
        ROOF.replace("normally closed 11-12", "normally closed 11-12 21-22").replace(
            "CB1:2 --107", "K1:2 --109-- K1:21-22 --110-- MAINS:N\n  CB1:2 --107"
        ),
        "CB1 trips when K1 pulls in",
    )
    assert found.suspects
    assert () == found.power_off
    text = diagnose_text.render(DiagnoseDocument("a", (), (), found), colour=False, width=None)
    assert diagnose_text.NO_OHMS in text


def test_what_reads_low_in_a_sound_circuit_is_lifted_first() -> None:
    """A motor's winding beside a ground fault: the wire that is read at stays on."""
    found = told(ROOF, "CB1 trips when K1 pulls in")
    text = diagnose_text.render(DiagnoseDocument("a", (), (), found), colour=False, width=None)
    assert "first   lift one end of EF1 1-2: it reads low itself" in text


def test_a_winding_that_may_be_shorted_is_lifted_itself() -> None:
    """A pump's two fuses: between its own ends nothing but its winding reads low."""
    text = """\
panel "Pump between two fuses"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
fuse FU1 15 A
fuse FU2 15 A
motor M1 1 hp 230 V AC single-phase, 8 A full load
circuit "Pump"
  MAINS:L1 --1-- FU1 --3-- M1:T1-T2 --4-- FU2:2-1 --2-- MAINS:L2
"""
    found = told(text, "FU1 blows")
    page = diagnose_text.render(DiagnoseDocument("a", (), (), found), colour=False, width=None)
    assert "lift wire 3 at M1:T1: sound or shorted, both read low in circuit" in page


def test_a_fuse_found_blown_by_volts_is_followed_by_ohms_behind_it() -> None:
    reads = ("FU1:1 to E1:0V 24 V DC", "FU1:2 to E1:0V 0 V")
    found = told(VALVE, "K1 is out with S2 pressed", *(f"{r} with S2 pressed" for r in reads))
    assert ["FU1 blown"] == [one.fault for one in found.suspects]
    assert found.opened
    assert Sort.GROUND in {one.sort for one in found.also}
    assert step_of(found, "wire 202 grounded")


def test_an_open_wire_asks_for_no_ohms_of_shorts() -> None:
    found = told(VALVE, "K1 is out with S2 pressed", "S2:13 to E1:0V 24 V DC with S2 pressed")
    assert not found.opened
    assert () == found.power_off


def test_what_looks_just_the_same_is_told_once_no_reading_parts_the_suspects() -> None:
    found = told(HEATER, "HTR1 does not heat", "MAINS:L1 to MAINS:N 0 V")
    assert "MAINS gives nothing" in {one.fault for one in (*found.suspects, *found.also)}


def test_an_ohm_step_to_ground_says_that_it_is_ground() -> None:
    """Whoever looks for a ground fault looks for the word, not for a pole's name."""
    panel = sample(SAMPLES / "fertigation.panel")
    found = diagnose(panel, [observation(panel, "FU3 blows with S2 pressed")])
    document = DiagnoseDocument("a.panel", (), (), found)
    text = diagnose_text.render(document, colour=False, width=None)
    assert "  ohms S2:14 (door) to T1:X2 (grounded)\n" in text
    assert all(("T1:X2",) == step.grounded for step in found.power_off)


def test_what_has_opened_stays_open_while_ohms_are_read() -> None:
    """Through a closed QM1 the heating mat on the same line would read 106 ohm (230 V squared by
    500 W) from its load side to neutral; it has tripped, so that nothing reads there."""
    panel = sample(SAMPLES / "potting_shed.panel")
    found = diagnose(panel, [observation(panel, "QM1 trips with S0 pressed and S2 pressed")])
    step = step_of(found, "wire 22 grounded")
    assert ("QM1:4", "MAINS:N") == (step.red, step.black)
    assert ("QM1",) == step.opened
    assert step.sound.low is None
    assert 230**2 / 500 == pytest.approx(
        ohms_between(stand(panel, powered=False), "QM1:4", "MAINS:N").low, rel=0.01
    )
    text = diagnose_text.render(DiagnoseDocument("a", (), (), found), colour=False, width=None)
    assert "QM1 left open: what is told is read behind it" in text


def test_no_short_that_is_suspected_goes_without_its_two_points() -> None:
    """Six lines of a three-phase pump against ground, and its three windings."""
    panel = sample(SAMPLES.parent / "sound" / "lift-station-on-480-volts.panel")
    found = diagnose(panel, [observation(panel, "1CB trips when 1M pulls in")])
    windings = {"P1:T1-T2 shorted", "P1:T2-T3 shorted", "P1:T3-T1 shorted"}
    assert windings <= {fault for step in found.power_off for fault in step.faults}
    assert 9 == len(found.power_off)
