"""Faults that must stay among the suspects.  Each was put in and its readings worked out by hand
from Ohm's and Kirchhoff's laws; `python -m tests.benchmarks.every_fault` does so for all of the
sample panels."""

from __future__ import annotations

import pytest

from netcheck.bench.auxiliaries import following
from netcheck.bench.diagnosing import Diagnosis, diagnose
from netcheck.bench.observations import observation
from tests.bench.panels import BRANCHES, SAMPLES, VALVE, panel_of, sample

TWO_LAMPS = """\
panel "Two lamps on one fuse"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
button S1 normally closed 11-12
button S2 normally closed 11-12
lamp H1 24 V DC 12 W
lamp H2 24 V DC 0.24 W
circuit "Lamps"
  E1:+ --1-- FU1 --2-- S1 --3-- H1 --4-- E1:0V
  FU1:2 --2-- S2 --5-- H2 --6-- E1:0V
"""

OVERLOAD = """\
panel "Fan behind its overload"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
overload OL1 set 9.6 A, range 8 A to 12 A, class 10;
  trip contact normally closed 95-96 60 V DC 4 A
relay K1 coil 24 V DC 3 W; normally open 13-14
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
circuit "Fan"
  E1:+ --1-- FU1 --2-- OL1:95-96 --3-- K1:A1-A2 --4-- E1:0V
  E1:+ --5-- OL1:5-6 --6-- H1 --7-- E1:0V
  FU1:2 --8-- K1:13-14 --9-- H2 --10-- E1:0V
"""


def told(text: str, *lines: str) -> Diagnosis:
    panel = panel_of(text)
    return diagnose(panel, [observation(panel, line) for line in lines])


def every(diagnosis: Diagnosis) -> set[str]:
    return {suspect.fault for suspect in (*diagnosis.suspects, *diagnosis.also)}


def test_a_relay_that_gets_its_volts_and_stays_out_is_stuck_or_its_coil_is_open() -> None:
    found = every(told(VALVE, "K1 is out with S2 pressed", "K1:A1 to K1:A2 24 V with S2 pressed"))
    assert {"K1:A1-A2 open", "K1 held out"} <= found


def test_a_relay_that_is_in_by_itself_may_be_stuck() -> None:
    """Then it seals itself in, too."""
    assert "K1 held in" in every(told(VALVE, "K1 is in", "K1:A1 to K1:A2 24 V"))


def test_what_blew_a_fuse_may_lie_behind_another_load_of_it() -> None:
    lines = ["E1:+ to E1:0V 24 V DC", "FU1:1 to E1:0V 24 V DC", "FU1:2 to E1:0V 0 V"]
    found = every(told(TWO_LAMPS, "H1 is off", *lines))
    assert {"FU1 blown", "H1:X1-X2 shorted", "wire 3 grounded"} <= found
    assert {"H2:X1-X2 shorted", "wire 5 grounded"} <= found
    assert "wire 1 grounded" not in found


@pytest.mark.parametrize(
    ("text", "line", "fault"),
    [
        (BRANCHES, "K2:24 to E1:0V 24 V DC", "K2:23-24 welded"),
        (BRANCHES, "H1:X1 to E1:0V 24 V DC", "K2:33-34 welded"),
        (VALVE, "K1:24 to E1:0V 24 V DC", "K1:23-24 welded"),
        (VALVE, "K1:14 to E1:0V 24 V DC", "K1:13-14 welded"),
    ],
)
def test_what_is_live_behind_an_open_contact_may_be_that_contact_welded(
    text: str, line: str, fault: str
) -> None:
    """With nothing said but the reading, at a relay that has a coil of its own besides."""
    assert fault in every(told(text, line))


def test_a_wire_may_be_swapped_with_the_one_before_it_as_with_the_one_behind_it() -> None:
    """OL1:6 comes before OL1:95: on the way of K1 lies the second of the two."""
    swaps = every(told(OVERLOAD, "K1 is out", "H1 is off"))
    assert any("wire 2" in one and "swapped at OL1:6" in one for one in swaps)


@pytest.mark.parametrize(
    ("line", "volts"),
    [("H1 is off", 1.5), ("H1 is dim", 4.0), ("H2 is dim", 12.0),
     ("H2 is dim", 20.0)],
)  # fmt: skip
def test_a_joint_ahead_of_two_loads_has_any_ohms(line: str, volts: float) -> None:
    """H1 is of 48 ohm and H2 of 2,400: a joint that the one hardly notices puts out the other."""
    found = every(told(TWO_LAMPS, line, f"FU1:2 to E1:0V {volts} V DC"))
    assert "high resistance at an end of wire 1" in found


def test_where_no_reading_parts_what_is_left_all_else_that_fits_is_told_at_once() -> None:
    """The outputs are fed past the emergency stop where its wire to input I4 sits on QP."""
    panel = sample(SAMPLES / "dosing.panel")
    found = diagnose(panel, [observation(panel, "Y1 is on with PLC1:Q0 on")])
    assert found.next is None
    assert () == found.not_tried
    assert "wire 305 and wire 205 S1:14 to PLC1:QP swapped at PLC1:I4" in every(found)


DROPS_OUT = """\
panel "Lamp behind a relay on the same wire"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
relay K1 coil 24 V DC 3 W; normally open 13-14
lamp H1 24 V DC 1 W
circuit "Lamp"
  E1:+ --1-- FU1 --2-- K1:A1-A2 --3-- E1:0V
  FU1:2 --2-- K1:13-14 --4-- H1 --5-- E1:0V
"""


@pytest.mark.parametrize("volts", [20.9, 20.0, 21.4])
def test_a_lamp_is_dim_only_between_where_its_relay_drops_out_and_where_it_glows(
    volts: float,
) -> None:
    """At half its volts K1 is out and H1 dark; at nine tenths H1 is no longer called dim: with none
    of the ohms that are tried is it, and with some between."""
    found = every(told(DROPS_OUT, "H1 is dim", f"FU1:2 to E1:0V {volts} V DC"))
    assert "high resistance at an end of wire 1" in found


BESIDE_A_HEATER = """\
panel "Lamp and heater behind a relay on the same wire"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 4 A
relay K1 coil 24 V DC 3 W; normally open 13-14
heater HTR1 24 V DC 48 W
lamp H1 24 V DC 0.048 W
circuit "Lamp"
  E1:+ --1-- FU1 --2-- K1:A1-A2 --3-- E1:0V
  FU1:2 --2-- K1:13-14 --4-- HTR1 --5-- E1:0V
  HTR1:1 --4-- H1 --5-- HTR1:2
"""


@pytest.mark.parametrize("volts", [19.0, 20.4, 21.3])
def test_a_joint_that_dims_a_lamp_may_be_of_a_thousandth_of_its_ohms_on_a_wire_of_more(
    volts: float,
) -> None:
    """HTR1 is of 12 ohm, K1 of 192, H1 of 12,000: 1.5 ohm ahead of all three lose 2.8 V, and 100
    let K1 out."""
    found = every(told(BESIDE_A_HEATER, "H1 is dim", f"FU1:2 to E1:0V {volts} V DC"))
    assert "high resistance at an end of wire 1" in found


STAYS_IN = """\
panel "Lamps on the wire of a relay"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
relay K1 coil 24 V DC 3 W; normally open 13-14
lamp H1 24 V DC 48 W
lamp H2 24 V DC 0.24 W
circuit "Lamps"
  E1:+ --1-- FU1 --2-- K1:A1-A2 --3-- E1:0V
  FU1:2 --2-- K1:13-14 --4-- H1 --5-- E1:0V
  FU1:2 --2-- H2 --6-- E1:0V
"""


@pytest.mark.parametrize("off", [1.0, 0.95, 1.05])
def test_a_relay_in_at_fewer_ohms_than_are_tried_is_in_as_well(off: float) -> None:
    """Behind 30 ohm K1 (192 ohm) pulls in at 20.5 V and stays in as H1 (12 ohm) takes these to
    6.5; at 240 ohm, a tenth of those of H2, it is out."""
    volts = f"{6.54 * off:.2f} V DC"
    read = [f"{point} to E1:0V {volts}" for point in ("FU1:2", "K1:14")]
    found = every(told(STAYS_IN, "H2 is dim", *read))
    assert "high resistance at an end of wire 1" in found


HEAVY = """\
panel "Lamp that takes its relay's volts"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
relay K1 coil 24 V DC 1 W; normally open 13-14
lamp H1 24 V DC 28 W
circuit "Lamp"
  E1:+ --1-- FU1 --2-- K1:A1-A2 --3-- E1:0V
  FU1:2 --2-- K1:13-14 --4-- H1 --5-- E1:0V
"""


@pytest.mark.parametrize("volts", [16.2, 17.0, 17.9])
def test_a_relay_may_be_out_at_volts_that_no_tried_ohms_give(volts: float) -> None:
    """Behind 58 ohm K1 (576 ohm) is in, and stays in as H1 (21 ohm) takes these to 6 V; behind 576
    ohm it is out at 12 V.  Behind 237 ohm it gets 17 V and never pulls in."""
    found = every(told(HEAVY, "K1 is out", f"FU1:2 to E1:0V {volts} V DC"))
    assert "high resistance at an end of wire 1" in found


@pytest.mark.parametrize("volts", [20.5, 21.5, 22.5])
def test_a_supply_may_give_more_than_is_tried_and_still_too_little(volts: float) -> None:
    """21.5 V is nine tenths of 24 V, a meter being off by 5 % either way."""
    found = every(told(HEAVY, "H1 is dim", f"E1:+ to E1:0V {volts} V DC"))
    assert "E1 gives too few volts" in found


AHEAD_OF_TWO = """\
panel "Relay behind the contact of another, home by the same wire"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
relay K0 coil 24 V DC 2 W; normally open 23-24
relay K1 coil 24 V DC 3 W
strip XM terminals 1 to 3; bridged 1-2-3
circuit "Relays"
  E1:+ --1-- FU1 --2-- K0:A1-A2 --3-- XM:2
  FU1:2 --2-- K0:23-24 --4-- K1:A1-A2 --5-- XM:3
  E1:0V --6-- XM:1
"""


def test_a_point_may_read_less_at_ohms_between_those_tried_than_at_any_of_them() -> None:
    """K0 (288 ohm) is in behind 29 ohm, so that K0:24 has 24 V, and out behind 288, where it has
    the 12 V that K1 takes there from the way home; behind 72 ohm it is out as well."""
    found = every(told(AHEAD_OF_TWO, "K1 is out", "K0:24 to E1:0V 4.8 V DC"))
    assert "high resistance at an end of wire 6" in found


ON_TWO_LINES = """\
panel "Heater on two hot lines"
source E1 120/240 V AC 60 Hz, three-wire, fused 30 A, 5 kA available, neutral bonded upstream
fuse FU1 15 A
fuse FU2 15 A
grounding bar GB1 terminals 1 to 2
heater R1 240 V AC 1 kW
circuit "Heater"
  E1:L1 --1-- FU1 --2-- R1 --3-- FU2 --4-- E1:L2
  E1:PE --PE-- GB1:1
"""


@pytest.mark.parametrize(
    ("line", "fault"),
    [("FU1:2 to E1:N 0 V", "wire 2 grounded"), ("FU2:1 to E1:N 0 V", "wire 3 grounded")],
)
def test_what_is_dim_on_two_lines_may_be_grounded_behind_a_fuse_that_has_blown(
    line: str, fault: str
) -> None:
    """Then the other line's 120 V drive a current through it to ground: half its 240 V."""
    lines = ["R1 is dim", "R1:1 to R1:2 120 V AC", line]
    panel = panel_of(ON_TWO_LINES)
    while True:
        found = diagnose(panel, [observation(panel, one) for one in lines])
        step = found.next
        if step is None:
            break
        true = {"wire 2 grounded": ("FU1:2", "R1:1"), "wire 3 grounded": ("FU2:1", "R1:2")}[fault]
        volts = [0.0 if point in true else _ON_LINES[point] for point in (step.red, step.black)]
        lines.append(f"{step.red} to {step.black} {abs(volts[0] - volts[1]):.1f} V AC")
    assert fault in every(found), lines


_ON_LINES = {
    "E1:L1": 120.0, "FU1:1": 120.0, "FU1:2": 120.0, "R1:1": 120.0, "E1:N": 0.0,
    "E1:L2": -120.0, "FU2:2": -120.0, "FU2:1": -120.0, "R1:2": -120.0,
}  # fmt: skip


def test_a_joint_ahead_of_a_motor_and_of_its_contactor_may_leave_that_in() -> None:
    """At 2 kilohm in one line K1 is in still, so that the motor's terminal hangs on the windings;
    with a break it is out, and the terminal hangs on nothing."""
    panel = following(sample(SAMPLES / "boiler_pumps.panel"))
    withs = "with TS1 operated"
    lines = ["M1 is off", "K1:6 to MAINS:L1 398.17 V AC", "M1:V to M1:W 201.06 V AC"]
    lines += [f"{at} to MAINS:L2 329.56 V AC" for at in ("M1:V", "K1:4", "K1:3")]
    found = diagnose(panel, [observation(panel, f"{line} {withs}") for line in lines])
    assert "high resistance at an end of wire 2 QS1:4 to QM1:3" in every(found)


@pytest.mark.parametrize(
    ("wire", "lines"),
    [
        ("11", ["KT1 is off", *(f"{at} to EA:0V 20.02 V DC" for at in ("K1:14", "S1:13"))]),
        ("23", ["ML1.Y1 is off", "KT1:15 to EA:0V 21.32 V DC", "KT1:18 to EA:0V 0 V"]),
        ("23", ["ML1.Y1 is off", "KT1:15 to EA:0V 19.3 V DC", "KT1:18 to EA:0V 0 V"]),
    ],
)
def test_a_joint_may_bring_timers_to_rest_that_never_rest_without_it(
    wire: str, lines: list[str]
) -> None:
    """KT1 and KT2 run out in turn; at 20.3 V, less than 85 % of 24 V, KT1 no longer pulls in."""
    panel = sample(SAMPLES / "mist_bench.panel")
    told = [f"{line} with B1 operated and B2 operated and S1 on" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    assert f"high resistance at an end of wire {wire}" in every(found)


def test_what_brings_timers_to_rest_is_suspected_before_anything_is_read() -> None:
    """Where none rest without it, none of the ohms that are tried need be those at which they do:
    H1 is dim behind 7 to 150 ohm in wire 22, and dark behind 120 and more."""
    panel = sample(SAMPLES / "mist_bench.panel")
    line = "H1 is dim with B1 operated and B2 operated and S1 on"
    found = every(diagnose(panel, [observation(panel, line)]))
    joints = {f"high resistance at an end of wire {wire}" for wire in ("22", "23", "24")}
    assert joints <= found


@pytest.mark.parametrize("volts", [13.5, 14.2, 15.0])
def test_a_drive_may_stand_still_at_ohms_between_those_that_let_it_run_and_those_tried(
    volts: float,
) -> None:
    """STO2 is of 4,800 ohm and wants 85 % of its 24 V: behind 480 ohm the drive runs, and of what
    is read between its terminals there is nothing in between."""
    panel = sample(SAMPLES / "drive_pump.panel")
    lines = ["M1 is off", "VFD1:T1 to VFD1:T2 0 V", f"VFD1:STO2 to VFD1:0V {volts} V DC"]
    told = [f"{line} with VFD1:run on and S3 pressed" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    assert "high resistance at an end of wire 202 SR1:13 to SR1:23" in every(found)


def test_a_supply_that_gives_nothing_may_be_shorted_ahead_of_all_that_opens_here() -> None:
    """Two line wires swapped at the main switch join two lines, on ways of the three-phase loads
    only: a single-phase load is dead with all else once the supply's own fuses have opened."""
    panel = sample(SAMPLES / "potting_shed.panel")
    lines = ["K0 is off with S0 pressed", "MAINS:L1 to MAINS:N 0 V with S0 pressed"]
    found = diagnose(panel, [observation(panel, line) for line in lines])
    assert {"MAINS gives nothing", "wire 5 and wire 3 swapped at QS1:4"} <= every(found)
    assert {"wire 1 grounded", "wire 4 grounded"} <= every(found)
    behind_the_first_breaker = {"wire 21 grounded", "wire 24 grounded"}
    assert behind_the_first_breaker.isdisjoint(every(found))


def test_a_contactor_may_stay_in_at_ohms_beyond_those_at_which_it_chatters() -> None:
    """Behind 316 ohm in one line M1 is left 15 V of 230, and the supply of K1, on that line and
    neutral, gets 105 V back through its windings; behind 250 it chatters, behind 500 it is out."""
    panel = sample(SAMPLES / "two_houses.panel")
    lines = ["A.M1 is dim", *(f"{at} to A.EA:L2 15.33 V AC" for at in ("A.M1:T1", "A.K1:1"))]
    told = [f"{line} with A.S1 on and B.FL1 operated" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    assert "high resistance at an end of wire 1 A.EA:L1 to A.CB1:1" in every(found)


@pytest.mark.parametrize("volts", [45.5, 19.6, 4.5])
def test_a_joint_may_leave_less_than_at_the_most_ohms_tried_though_a_break_leaves_it_floating(
    volts: float,
) -> None:
    """KR3 is of 50 ohm, and behind 200 ohm in the line XL1 has 59 V to neutral; with a break it
    hangs on nothing.  Behind 320, 1,000 and 5,000 ohm it has these."""
    panel = sample(SAMPLES / "greenhouse.panel")
    lines = ["KR3 is off", "XP:2 to PS1:0V 0 V", f"XL1:8 to MAINS:N {volts} V AC"]
    told = [f"{line} with PLC1:Q2 on" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    assert "high resistance at an end of wire 5 CB0:2 to XL1:1" in every(found)


def test_what_is_dead_behind_a_breaker_may_be_so_for_a_ground_on_the_way_of_another_load() -> None:
    """Wire 136 feeds one winding of the roof's motor, and CB3 opens both: the other hangs on the
    ground through it, half its volts from the line."""
    panel = sample(SAMPLES / "greenhouse.panel")
    lines = ["M3S is off", "KR3:14 to PS1:0V 24 V DC"]
    lines += [f"{at} to MAINS:L1 119.75 V AC" for at in ("K6:8", "K6:5")]
    told = [f"{line} with S0 pressed" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    assert {"wire 122 grounded", "wire 136 grounded"} <= every(found)


BETWEEN_TWO_CONTACTS = """\
panel "Lamp, and a branch that is open twice"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
fuse FU1 2 A
button S1 normally open 13-14
button S2 normally open 13-14
lamp H1 24 V DC 1 W
lamp H2 24 V DC 1 W
circuit "Lamps"
  E1:+ --1-- FU1 --2-- H1 --3-- E1:0V
  FU1:2 --2-- S1 --4-- S2 --5-- H2 --6-- E1:0V
"""


def test_volts_where_everything_floats_fit_no_joint() -> None:
    """Whatever the ohms, nothing fixes wire 4: only what feeds it past S1 does."""
    found = told(BETWEEN_TWO_CONTACTS, "H1 is dim", "S1:14 to E1:0V 12 V DC")
    assert not every(found)


def ladder(pairs: int) -> str:
    """A lamp behind pairs of buttons side by side: each pair doubles its ways."""
    lines = [
        'panel "Lamp behind pairs of buttons"',
        'edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"',
        "fuse FU1 2 A",
        "lamp H1 24 V DC 1 W",
        *(f"button S{at} normally closed 11-12" for at in range(2 * pairs)),
        'circuit "Lamp"',
    ]
    passed = "".join(f" --{at + 2}-- S{2 * at}" for at in range(pairs))
    lines.append(f"  E1:+ --1-- FU1{passed} --{pairs + 2}-- H1 --{pairs + 3}-- E1:0V")
    for at in range(pairs):
        ahead = f"S{2 * at - 2}:12" if at else "FU1:2"
        lines.append(f"  {ahead} --{at + 2}-- S{2 * at + 1} --{at + 3}-- S{2 * at}:12")
    return "\n".join([*lines, ""])


@pytest.mark.parametrize(("pairs", "more"), [(3, False), (6, True)])
def test_where_not_every_way_was_followed_the_answer_says_so(pairs: int, more: bool) -> None:
    """Six pairs make 64 ways, three make eight."""
    assert told(ladder(pairs), "H1 is off").more is more


def test_where_nothing_on_the_ways_explains_what_was_read_wires_are_swapped_elsewhere() -> None:
    """With CB6's line put on the coil of K7 the control circuit hangs between 24 V DC and 120 V AC:
    the coil's diode lets half of each cycle by, and a motor that has nothing to do with K7 is off.
    What is read is what the panel with this in it solves to."""
    panel = sample(SAMPLES / "greenhouse.panel")
    lines = ["M3S is off with S0 pressed", "KR3:14 to PS1:0V 59.99 V AC with S0 pressed"]
    found = diagnose(panel, [observation(panel, line) for line in lines])
    assert every(found) == {"wire 200 K7:A2 to XM:9 and wire 161 swapped at K7:A2"}


def test_wires_swapped_elsewhere_are_told_beside_those_on_the_ways_that_explain_all() -> None:
    """120 V AC on K7's coil or on that of K3, which feeds HTR1: at K0:4 the same is read."""
    panel = sample(SAMPLES / "greenhouse.panel")
    lines = ["HTR1 is off", "K0:4 to PS1:0V 59.98 V AC"]
    told = [f"{line} with S0 pressed and SS3 on and FL3 operated" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    assert ["wire 200 K3:A2 to XM:7 and wire 141 swapped at K3:A2"] == [
        one.fault for one in found.suspects
    ]
    assert "wire 200 K7:A2 to XM:9 and wire 161 swapped at K7:A2" in every(found)


def test_what_is_dead_behind_a_fuse_may_be_so_for_wires_that_are_swapped_on_another_way() -> None:
    """Both wires of K7's coil at the other's terminal: its diode conducts, and FU4 opens."""
    panel = sample(SAMPLES / "greenhouse.panel")
    lines = ["K5 is off", "K0:13 to PS1:0V 24 V DC", "K0:3 to PS1:0V 0 V"]
    lines += ["FU4:1 to PS1:0V 24 V DC", "FU4:2 to PS1:0V 0 V"]
    told = [f"{line} with S0 pressed and SS2 OPEN and LS2 operated" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    swap = "wire 351 SS4:14 to K7:A1 and wire 200 K7:A2 to XM:9 swapped at K7:A1"
    assert {"FU4 blown", swap} <= every(found)


def test_a_source_may_read_nothing_for_a_short_past_a_sensor_that_opens_no_fuse() -> None:
    """A grounded output: what it lets by is limited, FU1 is not told of it, and the edge that gives
    12 A at most has nothing left."""
    panel = sample(SAMPLES / "mist_bench.panel")
    lines = ["K1 is off", "FU1:2 to EA:0V 0 V", "FU1:1 to EA:0V 0 V", "EA:+ to EA:0V 0 V"]
    told = [f"{line} with B1 operated" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    assert {"EA gives nothing", "wire W2.2 grounded", "K1:A1-A2 shorted"} <= every(found)


def test_where_one_wire_of_a_node_may_be_grounded_each_of_them_may() -> None:
    """The bus XL1 is grounded by the wire to any of its breakers alike."""
    panel = sample(SAMPLES / "greenhouse.panel")
    lines = ["M3 is off", "PS1:L to PS1:N 0 V", "XL1:3 to MAINS:L2 120 V AC"]
    lines += ["K5:3 to MAINS:L2 120 V AC"]
    told = [f"{line} with S0 pressed" for line in lines]
    found = diagnose(panel, [observation(panel, line) for line in told])
    assert {"wire 5 XL1:4 to CB3:1 grounded", "wire 5 XL1:3 to CB2:1 grounded"} <= every(found)
