"""What stands in the lists, held to the text they are made from and to arithmetic by hand."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from netcheck.cli.loader import FileLoader
from netcheck.facts.calculations import Calculations
from netcheck.figure import figure
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.report.sheets import as_csv, every, stops
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.calculating import SOURCES, calculation_sheet
from netcheck.report.sheets.every import make_sheets
from netcheck.report.sheets.isolation import isolation_sheet
from netcheck.report.sheets.lists import device_list, reel_list, terminal_list, wire_list
from netcheck.report.sheets.loads import load_list, protection_list, supply_list
from netcheck.report.sheets.ringing import must_not_ring, ohm_list, ring_out
from netcheck.report.sheets.states import state_table
from netcheck.report.sheets.stops import NO_SAY, STOPS, stop_grid
from netcheck.report.sheets.table import Table, natural
from tests.bench.panels import THREE_PHASE
from tests.facts.panels import panel_of
from tests.report.hostile import PANEL

ROOT = Path(__file__).parents[3]
GREENHOUSE = ROOT / "samples" / "panels" / "greenhouse.panel"


def read(path: Path) -> Panel:
    loader = FileLoader({str(path): str(path.parent)}, {})
    return build_panel(str(path), gather(str(path), loader))[0]


@pytest.fixture(scope="module")
def bench() -> Bench:
    return Bench(read(GREENHOUSE))


def row(table: Table, first: str, column: int = 0) -> tuple[object, ...]:
    return next(one for one in table.rows if one[column] == first)


def column(table: Table, title: str) -> Iterator[object]:
    place = table.columns.index(title)
    return (one[place] for one in table.rows)


def test_every_sheet_of_every_sample_panel_is_made(bench: Bench) -> None:
    for path in sorted((ROOT / "samples" / "panels").glob("*.panel")):
        made = make_sheets(Bench(read(path)))
        assert () == made.failures
        assert len(every.SHEETS) == len(made.tables)
        assert all(len(one) == len(table.columns) for table in made.tables for one in table.rows)


def test_a_sheet_that_breaks_is_said_to_be_undecided_and_takes_no_other_along(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(bench: Bench) -> Table:
        raise KeyError("gone")

    sheets = (("First", broken), ("Devices", device_list))
    monkeypatch.setattr(every, "SHEETS", sheets)
    first, second = make_sheets(bench).tables
    assert "not decided" in first.empty
    assert 1 == first.open
    assert second.rows


def test_the_wire_list_has_every_wire_with_both_its_ends(bench: Bench) -> None:
    table = wire_list(bench)
    told = sorted(tuple(str(cell) for cell in one[1:4]) for one in table.rows)
    assert sorted((w.number or "no number", w.a, w.b) for w in bench.panel.wires) == told


def test_cores_of_a_cable_stand_together_under_their_cable(bench: Bench) -> None:
    runs = list(column(wire_list(bench), "run"))
    assert len(set(runs)) == sum(1 for at, run in enumerate(runs) if at == 0 or runs[at - 1] != run)


def test_the_metres_of_a_reel_are_the_sum_of_its_pieces(bench: Bench) -> None:
    cut = sum(w.properties.length_m or 0 for w in bench.panel.wires if not w.cable)
    reels = [one for one in reel_list(bench).rows if not str(one[2]).startswith("cable")]
    assert round(cut, 6) == round(sum(float(one[4]) for one in reels), 6)


def test_a_terminal_tells_its_panel_side_from_its_field_side(bench: Bench) -> None:
    assert ("X2", "3", "314 to S2:14", "W9.3 to FL1:13", "", 2) == next(
        one for one in terminal_list(bench).rows if one[:2] == ("X2", "3")
    )


def test_a_load_is_told_with_its_condition_in_words(bench: Bench) -> None:
    motor = row(load_list(bench), "M1")
    assert ("230 V AC", "9.6 A") == motor[4:6]
    assert "runs: while K1 is in" in str(motor[7])


def test_the_power_of_a_three_phase_load_is_told_once_not_for_each_winding() -> None:
    """The nameplate says 1.1 kW, and the list said 3.3 kW."""
    pump = row(load_list(Bench(read(GREENHOUSE.with_name("boiler_pumps.panel")))), "M1")
    assert ("2.6 A", "1.1 kW") == pump[5:7]
    boiler = row(load_list(Bench(panel_of(THREE_PHASE))), "HTR1")
    assert ("10.8 A", "9 kW") == boiler[5:7]  # 9 kW over 480 V and the square root of 3


def test_a_protective_device_is_told_with_all_that_it_protects(bench: Bench) -> None:
    table = protection_list(bench)
    assert ("20 A", "M1") == (row(table, "CB1")[3], row(table, "CB1")[8])
    assert {"M1", "M2", "HTR1", "HTR2", "PS1"} <= set(str(row(table, "CB0")[8]).split(", "))


def test_what_a_supply_gives_at_most_is_the_sum_of_its_loads(bench: Bench) -> None:
    (supply,) = supply_list(bench).rows
    assert ("10 A", "within its rating") == (supply[2], supply[5])


def test_the_stop_grid_tells_what_each_stop_stops(bench: Bench) -> None:
    table = stop_grid(bench)
    pump = row(table, "M1 North pump")
    by_stop = dict(zip(table.columns, pump, strict=True))
    assert str(by_stop["ES1 Emergency stop, emergency stop"]).startswith(STOPS)
    assert str(by_stop["S1 North pump stop"]).startswith(STOPS)
    assert NO_SAY == by_stop["S3 South pump stop"]


def test_more_stops_than_a_sheet_is_wide_stand_under_what_they_do(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    grid = stop_grid(bench)
    monkeypatch.setattr(stops, "MOST_COLUMNS", 0)
    listed = stop_grid(bench)
    told = [
        (load, cell, name) for load, cell, names in listed.rows for name in str(names).split("; ")
    ]
    for load, *cells in grid.rows:
        for name, cell in zip(grid.columns[1:], cells, strict=True):
            assert ((load, cell, name) in told) == (cell != NO_SAY)


def test_neighbours_on_a_strip_must_not_ring_unless_something_joins_them() -> None:
    text = """\
panel "Bench"
battery B1 24 V DC, - grounded
strip X1 terminals 1 to 4; bridged 3-4
lamp H1 24 V DC 1 W
circuit "Lamp"
  B1:+ --1-- X1:1 --1-- X1:2 --1-- H1:X1
  H1:X2 --0-- X1:3
  X1:4 --0-- B1:-
"""
    table = must_not_ring(Bench(panel_of(text)))
    assert [("2", "1", "3", "0")] == [one[1:5] for one in table.rows]


def test_a_number_in_square_brackets_is_that_of_a_source_at_the_end(bench: Bench) -> None:
    table = calculation_sheet(bench)
    ends = [str(row[-1]) for row in table.rows if row[0] == SOURCES]
    numbers = [end.partition(" ")[0] for end in ends]
    assert [f"[{number}]" for number in range(1, len(ends) + 1)] == numbers
    told = [str(row[-1]) for row in table.rows]
    assert all(any(number in one.partition(" ")[2] for one in told) or number in told
               for number in numbers)  # fmt: skip
    leaned_on = "; ".join(one for one in told if one not in ends)
    assert not [end for end in ends if end.partition(" ")[2] in leaned_on.split("; ")]


def test_what_is_allowed_is_worked_out_once_for_all_that_it_is_alike_for(bench: Bench) -> None:
    # Each number of the key stands for a source, or for steps that several lines end with: put
    # back in its place every line again says all that `review --working` prints of it.
    table = calculation_sheet(bench)
    key = dict(str(row[-1]).split(" ", 1) for row in table.rows if row[0] == SOURCES)
    rows = [row for row in table.rows if row[0] != SOURCES]
    for line, row in zip(bench.fact(Calculations).lines, rows, strict=True):
        told = re.sub(r"\[\d+\]", lambda found: f"({key[found[0]]})", str(row[-1]))
        told = re.sub(r"\[\d+\]", lambda found: f"({key[found[0]]})", told)
        for step in line.working:
            figured = figure(step.value, step.unit)
            assert f"{step.what} {figured}" in told or figured in row


def test_a_stop_that_stops_says_in_how_many_states(bench: Bench) -> None:
    # The stop held; of what is left one start button: two positions.
    text = AROUND.replace("S2 --2-- M1:T1", "S2 --3-- K1:A1\n  K1:A2 --0-- B1:-").replace(
        "motor", "relay K1 coil 24 V DC 1 W\nmotor"
    )
    assert ["stops in all 2 states"] == [one[1] for one in stop_grid(Bench(panel_of(text))).rows]


AROUND = """\
panel "Bench"
battery B1 24 V DC, - grounded
button S1 "Stop" normally closed 11-12 60 V DC 4 A, for stopping
switch S2 normally open 13-14 60 V DC 4 A
motor M1 "Vent" 24 V DC, 1 A full load
circuit "Vent"
  B1:+ --1-- S1 --2-- M1:T1
  B1:+ --1-- S2 --2-- M1:T1
  M1:T2 --0-- B1:-
"""


def test_a_path_around_a_stop_stands_in_the_grid_with_its_state() -> None:
    table = stop_grid(Bench(panel_of(AROUND)))
    assert ["RUNS ON with B1 present, S1 pressed, S2 on"] == [one[1] for one in table.rows]


def test_a_coil_rings_with_volts_squared_over_watts(bench: Bench) -> None:
    # 24 V squared over 3 W is 192 ohm: Ohm's law.
    assert ("K1:A2", "K1 coil", "192 ohm") == row(ohm_list(bench), "K1:A1")[1:4]


def test_a_long_thin_wire_rings_with_its_own_ohms(bench: Bench) -> None:
    # 16 AWG stranded: 4.99 ohm/kft at 75 degC (NEC chapter 9 table 8); 25 m at 20 degC by
    # 1 + 0.00323 x (20 - 75): 4.99 x 0.08202 x 0.8224 = 0.337 ohm.
    table = ring_out(bench)
    (core,) = [one for one in table.rows if one[3] == "W9.1"]
    assert "0.337 ohm" == core[4]


def test_a_wire_beside_others_is_lifted_first() -> None:
    text = """\
panel "Bench"
strip X1 terminals 1 to 4
circuit "Ring"
  X1:1 --1-- X1:2 --1-- X1:3 --1-- X1:1
  X1:3 --1-- X1:4
"""
    lifted = [one[5] for one in ring_out(Bench(panel_of(text))).rows]
    assert ["X1:1", "X1:2", "X1:3", ""] == lifted


def test_the_nearest_handle_that_cuts_all_feeds_is_the_one_to_lock(bench: Bench) -> None:
    table = isolation_sheet(bench)
    pump = row(table, "M1 North pump, pump house")
    assert "QS2 North pump, at the motor, pump house" == pump[1]
    assert "CB1, CB0, QS1" == pump[2]
    assert "QS2:1, QS2:3" == pump[3]


def test_a_valve_is_isolated_by_what_cuts_the_supply_of_its_supply(bench: Bench) -> None:
    valve = row(isolation_sheet(bench), "Z1.Y1 Watering, benches")
    assert str(valve[1]).startswith("CB8 ")


def test_two_feeds_have_no_one_handle_and_the_sheet_says_so() -> None:
    table = isolation_sheet(Bench(panel_of(AROUND)))
    assert 1 == table.open
    assert str(table.rows[0][1]).startswith("cannot be certain")


BACKWARDS = """\
panel "Bench"
edge E1 120/240 V AC 60 Hz, three-wire, fused 20 A, 5 kA available,
  neutral bonded upstream, from "main panel"
source GEN "Generator" 120 V AC 60 Hz, fused 5 A, 1 kA available
disconnect QS1 2-pole, 30 A, 240 V AC
transformer T1 240 V AC to 120 V AC, 500 VA, X2 grounded
heater HTR1 1 kW 240 V AC
circuit "Heater"
  E1:L1 --1-- QS1:1-2 --3-- HTR1 --4-- QS1:4-3 --2-- E1:L2
  HTR1:1 --3-- T1:H1
  HTR1:2 --4-- T1:H2
"""
BEHIND = """\
  GEN:L --5-- T1:X1
  GEN:N --6-- T1:X2
"""


def test_a_generator_behind_a_transformer_leaves_what_is_before_it_live() -> None:
    # A transformer works both ways: fed on its secondary it is a source on its primary.
    (alone,) = isolation_sheet(Bench(panel_of(BACKWARDS))).rows
    (fed,) = isolation_sheet(Bench(panel_of(BACKWARDS + BEHIND))).rows
    assert str(alone[1]).startswith("QS1")
    assert str(fed[1]).startswith("cannot be certain")


def test_a_small_group_is_told_in_each_of_its_positions(bench: Bench) -> None:
    rows = [one for one in state_table(bench).rows if one[0] == "PLC1:Q0"]
    assert [("KR1", ""), ("", "KR1")] == [(one[3], one[2]) for one in rows]


def test_wire_9_stands_before_wire_10() -> None:
    assert ["9", "10", "W2.1", "W10.1"] == sorted(["W10.1", "10", "W2.1", "9"], key=natural)


# ---- spreadsheets ----------------------------------------------------------------------------


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", "\r=", " =", "＝"])
def test_no_text_begins_like_a_formula_in_csv(start: str) -> None:
    # OWASP, CSV Injection: cells that begin with = + - @, tab or carriage return.
    assert as_csv.harmless(f"{start}1+1").startswith("'")


def test_a_plain_text_and_a_number_stay_what_they_are_in_csv() -> None:
    assert ["K1:A1", "-", "0.4"] == [as_csv.harmless("K1:A1"), "-", as_csv.harmless(0.4)]


def test_csv_is_read_back_as_the_rows_that_were_written() -> None:
    table = Table("t", "T", ("a", "b"), (('say "on", then\noff', 1.5), ("second", "")))
    rows = list(csv.reader(io.StringIO(as_csv.written(table), newline="")))
    assert [["a", "b"], ['say "on", then\noff', "1.5"], ["second", ""]] == rows


def test_no_cell_of_a_hostile_panel_is_a_formula() -> None:
    for table in make_sheets(Bench(panel_of(PANEL))).tables:
        for cells in csv.reader(io.StringIO(as_csv.written(table), newline="")):
            assert [] == [cell for cell in cells if cell.startswith(("=", "+", "-", "@", "\t"))]


def test_the_workbook_is_read_back_cell_by_cell() -> None:
    pytest.importorskip("xlsxwriter")
    openpyxl = pytest.importorskip("openpyxl")
    from netcheck.report.sheets import as_workbook

    tables = make_sheets(Bench(panel_of(PANEL))).tables
    book = openpyxl.load_workbook(io.BytesIO(as_workbook.written(tables)))
    assert [table.name for table in tables] == book.sheetnames
    formulas = []
    for table in tables:
        sheet = book[table.name]
        for line, cells in enumerate((table.columns, *table.rows), 1):
            for place, cell in enumerate(cells, 1):
                found = sheet.cell(line, place)
                formulas += [found.value] if found.data_type == "f" else []
                assert not found.hyperlink
                if isinstance(cell, float | int) or (cell and cell.isprintable()):
                    assert cell == found.value
    assert [] == formulas


def test_the_same_tables_give_the_same_workbook() -> None:
    pytest.importorskip("xlsxwriter")
    from netcheck.report.sheets import as_workbook

    tables = make_sheets(Bench(panel_of(PANEL))).tables
    assert as_workbook.written(tables) == as_workbook.written(tables)


def test_a_workbook_prints_with_its_titles_on_every_page_in_letters_of_eight_points(
    bench: Bench,
) -> None:
    # 10 inches of paper hold some 137 letters of the 11 points that a workbook has where nothing
    # is said (measured); what is 188 wide is printed at 8 points.
    pytest.importorskip("xlsxwriter")
    openpyxl = pytest.importorskip("openpyxl")
    from netcheck.report.sheets import as_workbook

    book = openpyxl.load_workbook(io.BytesIO(as_workbook.written(make_sheets(bench).tables)))
    for sheet in book:
        found = sheet.column_dimensions.values()
        assert sum(one.width * (one.max - one.min + 1) for one in found) < 188
        assert all(one.width >= 8 for one in found)
        assert "$1:$1" == sheet.print_title_rows
        assert ("A2", "landscape") == (sheet.freeze_panes, sheet.page_setup.orientation)
