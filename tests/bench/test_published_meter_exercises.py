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
