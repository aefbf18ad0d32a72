"""Published exercises with a meter: the same readings lead to the same culprit.

The circuits are rebuilt from what the sources say of them; where a figure was not seen that is
said.  Voltages are theirs, or ours where they name none.
"""

from __future__ import annotations

from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.observations import observation
from tests.bench.panels import panel_of

IN_A_LOOP = """\
panel "Three heaters in a loop"
edge E1 9 V DC, fused 4 A, 100 A available, 0V grounded, from "bench supply"
fuse FU1 1 A
heater R1 0.04 W 2 V DC
heater R2 0.12 W 6 V DC
heater R3 0.02 W 1 V DC
circuit "Loop"
  E1:+ --1-- FU1 --2-- R1 --3-- R2 --4-- R3 --5-- E1:0V
"""

TWO_FUSES = """\
panel "A fuse on either side"
source MAINS 120 V AC 60 Hz, 10 kA available, neutral bonded here
fuse FU1 5 A
fuse FU2 5 A
lamp H1 120 V AC 60 W
circuit "Lamp"
  MAINS:L --1-- FU1 --2-- H1 --3-- FU2 --4-- MAINS:N
"""

SIDE_BY_SIDE = """\
panel "Three heaters side by side"
edge E1 9 V DC, fused 4 A, 100 A available, 0V grounded, from "bench supply"
fuse FU1 1 A
heater R1 0.9 W 9 V DC
heater R2 1.8 W 9 V DC
heater R3 0.45 W 9 V DC
circuit "Side by side"
  E1:+ --1-- FU1 --2-- R1 --5-- E1:0V
  R1:1 --3-- R2 --6-- R1:2
  R2:1 --4-- R3 --7-- R2:2
"""

POINTS_ALONG_TWO_WIRES = """\
panel "Points along two wires"
edge E1 10 V DC, fused 4 A, 100 A available, 0V grounded, from "battery"
strip XT terminals 1 to 5
strip XB terminals 1 to 5
lamp H1 10 V DC 20 W
circuit "There"
  E1:+ --1-- XT:1 --2-- XT:2 --3-- XT:3 --4-- XT:4 --5-- XT:5 --6-- H1:X1
circuit "Home"
  H1:X2 --7-- XB:1 --8-- XB:2 --9-- XB:3 --10-- XB:4 --11-- XB:5 --12-- E1:0V
"""

STARTER = """\
panel "Magnetic controller"
source MAINS 120 V AC 60 Hz, 10 kA available, neutral bonded here
button S1 "Stop" normally closed 11-12
button S2 "Start" normally open 13-14
contactor K1 coil 120 V AC 20 VA sealed; normally open 13-14; 3 main poles
circuit "Control"
  MAINS:L --1-- S1 --2-- S2 --3-- K1:A1-A2 --5-- MAINS:N
  S1:12 --6-- K1:13-14 --7-- K1:A1
"""

LAMP = """\
panel "A load behind two switches"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "bench supply"
limit switch SS1 normally open 1-2
limit switch SS2 normally open 1-2
lamp H1 24 V DC 2 W
circuit "Lamp"
  E1:+ --1-- SS1 --2-- SS2 --3-- H1 --4-- E1:0V
"""


def told(text: str, *lines: str) -> Diagnosis:
    panel = panel_of(text)
    return diagnose(panel, [observation(panel, line) for line in lines])


def names(diagnosis: Diagnosis) -> set[str]:
    return {suspect.fault for suspect in diagnosis.suspects}


def test_the_whole_voltage_across_one_of_three_in_a_loop_is_an_open_in_it() -> None:
    """Lessons In Electric Circuits, Vol. I, Component failure analysis: 0 V, 9 V, 0 V."""
    found = told(IN_A_LOOP, "R1:1 to R1:2 0 V", "R2:1 to R2:2 9 V DC", "R3:1 to R3:2 0 V")
    assert {"R2:1-2 open"} == names(found)


def test_nothing_across_one_of_three_in_a_loop_and_more_across_the_others_is_a_short_of_it() -> (
    None
):
    """Lessons In Electric Circuits, Vol. I, Component failure analysis: 6 V, 0 V, 3 V."""
    # a04: R2 jumpered
    found = told(IN_A_LOOP, "R1:1 to R1:2 6 V DC", "R2:1 to R2:2 0 V", "R3:1 to R3:2 3 V DC")
    assert {"R2:1-2 shorted"} == names(found)


def test_of_three_side_by_side_a_short_of_one_takes_the_fuse_and_an_open_only_itself() -> None:
    """Lessons In Electric Circuits, Vol. I, Component failure analysis."""
    # a08: with no more than its wires beside it, R2 shorted is a dead short of the source
    shorted = names(told(SIDE_BY_SIDE, "FU1 blows"))
    assert {f"R{number}:1-2 shorted" for number in (1, 2, 3)} <= shorted
    assert not {name for name in shorted if name.endswith("open")}
    alone = told(SIDE_BY_SIDE, "R2 is off", "R1 is on", "R3 is on")
    assert {"R2:1-2 open"} == names(alone)


def test_volts_between_two_points_of_one_wire_are_a_break_between_them() -> None:
    """Lessons In Electric Circuits, Vol. I, Circuit wiring, and a Creative Commons worksheet
    (battery and lamp, points A to J)."""
    # a18: not nought within one wire
    # a25: any two points of one wire read nought, C to H parts a dead lamp's wires
    there, home = "XT:2 to XT:3 10 V DC", "XB:2 to XB:3 10 V DC"
    assert {"wire 3 open"} == names(told(POINTS_ALONG_TWO_WIRES, there))
    assert {"wire 9 open"} == names(told(POINTS_ALONG_TWO_WIRES, home))
    dead = names(told(POINTS_ALONG_TWO_WIRES, "H1 is not lit"))
    beyond = names(told(POINTS_ALONG_TWO_WIRES, "H1 is not lit", "XT:3 to XB:3 10 V DC"))
    before = names(told(POINTS_ALONG_TWO_WIRES, "H1 is not lit", "XT:3 to XB:3 0 V"))
    assert {f"wire {number} open" for number in (4, 5, 6, 7, 8, 9)} | {"H1:X1-X2 open"} == beyond
    assert {f"wire {number} open" for number in (1, 2, 3, 10, 11, 12)} | {
        "E1 gives nothing"
    } == before
    assert dead == beyond | before


def test_the_whole_voltage_across_a_fuse_is_a_blown_fuse() -> None:
    """Basic Electricity I, effects of an open circuit, frame 56 (a training module): nothing
    across the resistors, all of it across the open fuse."""
    found = told(IN_A_LOOP, "FU1:1 to FU1:2 9 V DC", "R1:1 to R1:2 0 V", "R2:1 to R2:2 0 V")
    assert {"FU1 blown"} == names(found)


def test_a_fuse_in_the_neutral_leaves_a_dead_lamp_at_full_voltage_to_earth() -> None:
    """Lessons In Electric Circuits, Vol. I, Fuses; 120 V is ours."""
    hot = names(told(TWO_FUSES, "H1 is not lit", "H1:X1 to MAINS:PE 0 V"))
    neutral = names(told(TWO_FUSES, "H1 is not lit", "H1:X2 to MAINS:PE 120 V AC"))
    assert "FU1 blown" in hot
    assert "FU2 blown" not in hot
    assert "FU2 blown" in neutral
    assert "FU1 blown" not in neutral


def test_line_volts_ahead_of_the_stop_and_none_past_it_are_an_open_stop() -> None:
    """A marine engineer examination item (electrical, 178); the circuit is inferred, for its
    illustration was not seen."""
    found = told(
        STARTER, "S1:11 to MAINS:N 120 V AC with S2 pressed", "S1:12 to MAINS:N 0 V with S2 pressed"
    )  # fmt: skip
    assert {"S1:11-12 open"} == names(found)


def test_volts_across_a_switch_or_a_dead_load_name_it_and_none_prove_nothing() -> None:
    """Multimeters 101 (an open textbook), Troubleshooting Principles."""
    on = " with SS1 operated and SS2 operated"
    dead = f"H1 is not lit{on}"
    assert {"SS1:1-2 open"} == names(told(LAMP, dead, f"SS1:1 to SS1:2 24 V DC{on}"))
    assert {"H1:X1-X2 open"} == names(told(LAMP, dead, f"H1:X1 to H1:X2 24 V DC{on}"))
    assert 4 < len(names(told(LAMP, dead, f"SS1:1 to SS1:2 0 V{on}")))
