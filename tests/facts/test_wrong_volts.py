"""What loads get that they are not made for, and what is blamed for it.

Sources: the voltages of motors and of the systems they belong to are those of NEC tables
430.248 and 430.250, whose notes allow 110-120, 220-240, 440-480 and 550-600 V (from memory);
a contactor's coil works from 85 % to 110 %, IEC 60947-4-1 (from memory, in the published copy
of control circuit rules).  Where blame falls is common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.wrong_volts import WrongVolts
from netcheck.facts.wrongly_fed import WronglyFedLoads
from netcheck.model.devices import Load
from netcheck.model.wires import Wire
from netcheck.states.load_ways import Fault, fault_of
from tests.facts.panels import panel_of
from tests.tables.published import table_rows

HEAD = """panel "Bench"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
edge E1 24 V DC, fused 3 A, 100 A available, 0V grounded, from "greenhouse panel"
edge E2 48 V DC, fused 3 A, 100 A available, poles P M, M floating, from "telephone panel"
switch S1 normally open 1-2
switch S2 normally open 1-2
selector SS1 positions HAND OFF AUTO; 13-14 in HAND; 23-24 in AUTO
relay K1 coil 24 V DC 1 W; normally open 13-14
relay K2 coil 24 V DC 1 W
lamp H1 24 V DC 20 mA
lamp H2 120 V AC 40 W
lamp H3 24 V DC 20 mA LED
motor M1 24 V DC 60 W, 4 A full load
"""


def case_of(*lines: str, devices: str = "") -> Case:
    circuits = "".join(f"  {line}\n" for line in lines)
    return Case(panel_of(f'{HEAD}{devices}circuit "Bench"\n{circuits}'))


def told(case: Case) -> list[tuple[str | None, set[str], Fault]]:
    """Cause, devices and fault of each finding."""
    return [
        (
            None if wrong.cause is None else wrong.cause.label,
            {fed.load.device for fed in wrong.victims},
            wrong.victims[0].fault,
        )
        for wrong in case.conclude(WrongVolts).found
    ]


# ---- what is wrong with one load -------------------------------------------------------------

RANGES = {115: (110, 120), 230: (220, 240), 460: (440, 480), 575: (550, 600)}
"""Nameplate volts, and the system volts that the notes below the tables allow with them."""


def test_the_motor_tables_have_these_columns() -> None:
    rows = table_rows("nec_430_248_motor_1ph")[:1] + table_rows("nec_430_250_motor_3ph")[:1]
    columns = {name for row in rows for name in row if name.startswith("v")}
    assert {f"v{nameplate}" for nameplate in (*RANGES, 200, 208)} == columns


@pytest.mark.parametrize("nameplate", RANGES)
def test_a_motor_suits_the_systems_its_column_of_the_tables_is_for(nameplate: int) -> None:
    load = Load("motor", nameplate, "AC", low=0.90, high=1.10)
    least, most = RANGES[nameplate]
    for volts in range(least, most + 1):
        assert fault_of(load, (("AC MAINS", complex(volts)),)) is None


@pytest.mark.parametrize(
    ("nameplate", "system"),
    [(208, 240), (200, 240), (240, 208), (230, 480), (460, 240), (115, 240)],
)
def test_a_motor_for_another_column_is_found(nameplate: int, system: int) -> None:
    load = Load("motor", nameplate, "AC", low=0.90, high=1.10)
    assert fault_of(load, (("AC MAINS", complex(system)),)) is Fault.VOLTAGE


def test_a_coil_works_in_the_published_band() -> None:
    rows = table_rows("control_circuit_rules")
    (row,) = [row for row in rows if row["item"].startswith("coil must operate from")]
    assert ("85", "% of rated control voltage (to 110 %)") == (row["value"], row["unit"])
    panel = case_of("E1:+ -- K1:A1-A2 -- E1:0V").panel
    (coil,) = [part for part in panel.parts if part.device == "K1" and part.load is not None]
    assert coil.load is not None
    assert (0.85, 1.10) == (coil.load.low, coil.load.high)


@given(st.floats(min_value=1, max_value=1000), st.floats(min_value=0.05, max_value=3))
def test_volts_are_wrong_exactly_outside_the_band(rated: float, share: float) -> None:
    load = Load("coil", rated, "AC")
    if min(abs(share - load.low), abs(share - load.high)) < 1e-3:
        return
    fault = fault_of(load, (("AC T1", complex(rated * share)),))
    assert (fault is None) == (load.low <= share <= load.high)


@given(st.sampled_from(["AC", "DC"]), st.sampled_from(["AC", "DC"]))
def test_the_kind_is_wrong_exactly_where_it_differs(made_for: str, seen: str) -> None:
    load = Load("coil", 24.0, made_for)
    assert (fault_of(load, ((f"{seen} T1" if seen == "AC" else "DC", 24 + 0j),)) is None) == (
        made_for == seen
    )


def test_ac_and_dc_at_once_suit_nothing() -> None:
    volts = (("AC MAINS", 120 + 0j), ("DC", 24 + 0j))
    assert Fault.KIND is fault_of(Load("lamp", 120.0), volts)


def test_only_what_is_polarised_minds_its_polarity() -> None:
    reversed_volts = (("DC", -24 + 0j),)
    assert Fault.POLARITY is fault_of(Load("lamp", 24.0, "DC", polarised=True), reversed_volts)
    assert None is fault_of(Load("motor", 24.0, "DC"), reversed_volts)


# ---- where it happens and what is blamed -------------------------------------------------------


def test_a_wire_that_brings_the_line_to_two_loads_is_one_cause() -> None:
    case = case_of(
        "E1:+ -- SS1:23-24 -- K1:A1-A2 -- E1:0V",
        "K1:A1 -- H1 -- K1:A2",
        "MAINS:L1 -- SS1:13-14 --99-- K1:A1",
        "E1:PE -- MAINS:PE",
    )
    assert [("SS1 13-14", {"K1", "H1"}, Fault.KIND)] == told(case)


def test_a_load_that_is_never_fed_rightly_is_its_own_cause() -> None:
    case = case_of("MAINS:L1 -- S1 -- H2 -- MAINS:L2")
    assert [(None, {"H2"}, Fault.VOLTAGE)] == told(case)


def test_two_loads_never_fed_rightly_share_the_piece_where_it_comes_in() -> None:
    case = case_of("E2:P --7-- S1 --8-- K1:A1-A2 -- E2:M", "K1:A1 --8-- H1 -- K1:A2")
    assert [("wire 7", {"K1", "H1"}, Fault.VOLTAGE)] == told(case)


def test_loads_wronged_by_different_voltages_are_different_causes() -> None:
    case = case_of("E2:P --7-- K1:A1-A2 -- E2:M", "MAINS:L1 -- H2 -- MAINS:L2")
    assert [(None, {"K1"}, Fault.VOLTAGE), (None, {"H2"}, Fault.VOLTAGE)] == told(case)


def test_ground_counts_as_wire_where_both_sources_are_grounded() -> None:
    feeding = ("E1:+ -- SS1:23-24 -- K1:A1-A2 -- E1:0V", "MAINS:L1 -- SS1:13-14 -- K1:A1")
    assert [] == told(case_of(*feeding))
    assert [("SS1 13-14", {"K1"}, Fault.KIND)] == told(case_of(*feeding, "E1:PE -- MAINS:PE"))


def test_a_floating_source_makes_no_circuit_with_another() -> None:
    case = case_of("MAINS:L1 -- S1 -- H1 -- E2:M", "MAINS:PE -- E1:PE")
    assert [] == told(case)


def test_what_a_short_brings_is_left_to_the_short() -> None:
    case = case_of(
        "E1:+ -- S1 -- K1:A1-A2 -- E1:0V", "MAINS:L1 -- S2 --99-- K1:A1", "E1:PE -- MAINS:PE"
    )
    assert [] == told(case)
    assert {"K1"} == {case.panel.parts[index].device for index in case.conclude(WrongVolts).parts}


def test_two_positions_that_are_never_held_at_once_bring_nothing() -> None:
    case = case_of(
        "E2:P -- SS1:13-14 -- SS1:23-24 -- K2:A1-A2 -- E2:M", "E1:+ -- K1:A1-A2 -- E1:0V"
    )
    assert [] == told(case)


def test_what_depends_on_a_coil_that_may_not_pull_in_is_not_decided() -> None:
    # K1 gets its volts only through H1, so it may pull in or not.
    case = case_of("E1:+ -- S1 -- H1 -- K1:A1-A2 -- E1:0V", "E2:P -- K1:13-14 -- K2:A1-A2 -- E2:M")
    assert [] == told(case)
    ((part, reason),) = case.conclude(WronglyFedLoads).undecided
    assert "K2" == part.device
    assert "K1" in reason


def test_a_motor_on_dc_may_be_fed_either_way_round_but_not_a_lamp_of_diodes() -> None:
    case = case_of("E1:0V -- M1:T1-T2 -- E1:+", "E1:0V -- H3 -- E1:+")
    assert [(None, {"H3"}, Fault.POLARITY)] == told(case)


def test_what_is_made_for_ac_or_dc_suits_both_and_either_way_round() -> None:
    devices = "lamp H4 24 V AC or DC 20 mA LED\nrelay K3 coil 24 V AC or DC 1 W\n"
    case = case_of("E1:0V -- H4 -- E1:+", "E1:+ -- K3:A1-A2 -- E1:0V", devices=devices)
    assert [] == told(case)


def test_a_wide_range_supply_suits_its_whole_band() -> None:
    devices = "supply PS1 120 V AC to 24 V DC, 5 A, from 100 V to 240 V, isolated, 0V floating\n"
    case = case_of("MAINS:L1 -- PS1:L-N -- MAINS:L2", devices=devices)
    assert [] == told(case)


def test_the_path_leads_from_the_line_through_the_load_to_the_neutral() -> None:
    case = case_of("MAINS:L1 -- S1 -- K1:A1-A2 -- E1:0V", "E1:PE -- MAINS:PE")
    ((fed,),) = (wrong.victims for wrong in case.conclude(WrongVolts).found)
    stops = [passed.start for passed in fed.path if not isinstance(passed.by, Wire)]
    assert ["S1:1", "K1:A1", "E1:0V", "MAINS:PE"] == stops
    assert ("MAINS:L1", "MAINS:N") == (fed.path[0].start, fed.path[-1].end)


DRIVES = """source GRID 208Y/120 V AC 60 Hz, four-wire, 10 kA available, neutral bonded here
motor M2 2 hp 208 V AC three-phase, 7.5 A full load
"""


def test_a_three_phase_motor_on_three_lines_is_right_in_either_order() -> None:
    for order in ("123", "213", "321"):
        wires = [f"GRID:L{line} -- M2:T{end}" for end, line in enumerate(order, 1)]
        assert [] == told(case_of(*wires, devices=DRIVES))


def test_a_three_phase_motor_with_two_ends_on_one_line_is_found_at_the_last_drawn() -> None:
    case = case_of(
        "GRID:L1 --1-- M2:T1", "GRID:L2 --2-- M2:T2", "GRID:L2 --3-- M2:T3", devices=DRIVES
    )
    assert [("wire 3", {"M2"}, Fault.PHASES)] == told(case)


def test_a_three_phase_motor_on_two_lines_and_neutral_gets_wrong_volts() -> None:
    case = case_of(
        "GRID:L1 --1-- M2:T1", "GRID:L2 --2-- M2:T2", "GRID:N --3-- M2:T3", devices=DRIVES
    )
    assert [("wire 3", {"M2"}, Fault.VOLTAGE)] == told(case)


FREQUENCIES = """transformer T1 240 V AC to 120 V AC, 500 VA, X2 grounded
edge E3 120 V AC, fused 3 A, 5 kA available, N grounded, from "workshop"
device P1 load L-N 120 V AC 50 Hz 40 W
"""


def test_a_transformer_passes_the_frequency_on() -> None:
    case = case_of(
        "MAINS:L1 -- T1:H1-H2 -- MAINS:L2", "T1:X1 -- P1:L-N -- T1:X2", devices=FREQUENCIES
    )
    assert [(None, {"P1"}, Fault.FREQUENCY)] == told(case)


def test_a_source_that_says_no_frequency_leaves_it_open() -> None:
    case = case_of("E3:L -- P1:L-N -- E3:N", devices=FREQUENCIES)
    assert [] == told(case)
    assert ["P1"] == [part.device for part in case.conclude(WronglyFedLoads).unsaid_hertz]
