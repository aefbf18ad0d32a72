"""Before and at first power: ohms and volts held to Ohm's law and to the order of feeding."""

from __future__ import annotations

from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.cold_grid import cold_grid
from netcheck.report.sheets.isolation import isolation_sheet
from netcheck.report.sheets.powering import first_power
from netcheck.report.sheets.ringing import ohm_list
from netcheck.report.sheets.script import stop_script
from tests.bench.panels import SAMPLES, sample
from tests.facts.panels import panel_of
from tests.report.sheets.panels import greenhouse, rows_with

ALONE = """\
panel "Bench"
source MAINS 120/240 V AC 60 Hz, three-wire, 5 kA available, neutral bonded here
disconnect QS1 2-pole, 30 A, 240 V AC
breaker CB1 2-pole, 20 A, 240 V AC
contactor K1 coil 120 V AC 10 VA; 2 main poles 240 V AC 25 A
heater HTR1 2.4 kW 240 V AC
button S1 normally open 13-14 120 V AC 4 A
circuit "Heat"
  MAINS:L1 --1-- QS1:1-2 --3-- CB1:1-2 --5-- K1:1-2 --7-- HTR1 --8-- K1:4-3 --6-- CB1:4-3
  CB1:3 --4-- QS1:4-3 --2-- MAINS:L2
  CB1:2 --5-- S1 --9-- K1:A1-A2 --N-- MAINS:N
"""


def test_buses_read_open_until_a_contactor_is_pushed_in_and_then_its_load() -> None:
    # 240 V squared over 2.4 kW is 24 ohm: Ohm's law.
    table = cold_grid(Bench(panel_of(ALONE)))
    lines = rows_with(table, red_on="MAINS:L1", black_on="MAINS:L2")
    assert [("all at rest", "open"), ("K1 pushed in", "24 ohm")] == [
        (one["with"], one["expect"]) for one in lines
    ]


def test_a_bonded_neutral_reads_nothing_to_ground() -> None:
    table = cold_grid(greenhouse())
    (line,) = rows_with(table, red_on="MAINS:N", black_on="MAINS:PE")
    assert "under 1 ohm" == line["expect"]


def test_electronics_on_a_bus_are_named_for_their_reading_tells_nothing() -> None:
    table = cold_grid(greenhouse())
    (line,) = rows_with(table, **{"with": "all at rest"}, red_on="PS1:+", black_on="PS1:0V")
    assert "no figure, and it climbs" == line["expect"]
    assert {"PLC1", "EM"} <= {name.strip(",;") for name in str(line["because"]).split()}


def test_nothing_is_closed_before_what_feeds_it() -> None:
    steps = list(dict.fromkeys(str(one[0]) for one in first_power(greenhouse()).rows))
    order = [step.split()[2] for step in steps[1:]]
    assert ["QS1", "CB0"] == order[:2]
    assert order.index("CB8") < min(order.index(f"FU{number}") for number in range(1, 8))
    assert len(set(order)) == len(order)


def test_every_step_tells_what_is_new_and_what_must_still_be_dead() -> None:
    rows = rows_with(first_power(Bench(panel_of(ALONE))), red_on="CB1:2")
    assert [
        ("MAINS:N", "120 V AC", "108 to 132"),
        ("CB1:4", "240 V AC", "216 to 264"),
    ] == [(one["black on"], one["expect"], one["within"]) for one in rows]
    (first, *_) = first_power(Bench(panel_of(ALONE))).rows
    assert "behind QS1" == first[7]


def test_what_stands_behind_an_open_contactor_is_closed_later_and_said_to_be() -> None:
    assert any("QS2, QS3, QS4" in note for note in first_power(greenhouse()).notes)


def test_direct_current_is_read_against_its_own_return() -> None:
    (line,) = rows_with(first_power(greenhouse()), red_on="FU1:2")
    assert ("PS1:0V", "24 V DC", "21.6 to 26.4") == (
        line["black on"],
        line["expect"],
        line["within"],
    )


def test_a_fault_between_sources_is_not_read_but_said_to_be_undecided() -> None:
    shorted = ALONE.replace("--1-- QS1:1-2", "--1-- MAINS:L2 --1-- QS1:1-2")
    table = first_power(Bench(panel_of(shorted)))
    assert table.open
    assert str(table.rows[0][5]).startswith("not decided")


def test_a_sheet_for_live_work_names_the_highest_voltage_of_the_panel() -> None:
    # Two hots of a 120/240 V system stand 240 V apart.
    for sheet in (first_power, isolation_sheet, stop_script):
        notes = sheet(Bench(panel_of(ALONE))).notes
        assert "Highest voltage in this panel: 240 V AC." in notes


def test_the_alarm_of_a_breaker_is_dead_once_that_is_closed() -> None:
    """Its auxiliary contact stands as its poles do: with both protectors closed nothing is lit."""
    table = first_power(Bench(sample(SAMPLES / "boiler_pumps.panel")))
    met = {str(row[1]) for row in table.rows} | {
        end for row in table.rows for end in str(row[3]).split(", ")
    }
    assert {"F2:2", "QM1:21", "K1:13"} <= met
    assert met.isdisjoint(("QM1:22", "QM2:22", "H3:X1"))


def test_a_transformers_own_winding_reads_low_between_the_poles_that_it_feeds() -> None:
    """The secondary itself lies between them: fact of the trade.  `open, once  is unplugged` stood
    there, and a good winding was a short."""
    grid = cold_grid(Bench(sample(SAMPLES / "boiler_pumps.panel")))
    for black in ("T1:X2", "MAINS:PE"):
        (line,) = rows_with(grid, red_on="T1:X1", black_on=black)
        assert ("low ohms, not known", "the winding of T1") == (line["expect"], line["because"])
    assert not any("once  is" in str(cell) for row in grid.rows for cell in row)


def test_who_reads_a_coil_has_the_poles_beside_it_dead_as_well() -> None:
    """A contactor's coil is fed through the breaker's auxiliary contact and its poles through the
    breaker; neither that contact nor the breaker of the control circuit isolates both."""
    table = ohm_list(Bench(sample(SAMPLES / "boiler_pumps.panel")))
    (coil,) = rows_with(table, load="K1 coil")
    (pump, *_) = rows_with(table, load="M1 winding")
    assert ("QS1", "QM1") == (coil["open and lock"], pump["open and lock"])
    assert "winding: low ohms, not known; may beep: good" == pump["expect"]


def test_an_auxiliary_contact_of_an_open_handle_stays_live() -> None:
    sheet = isolation_sheet(Bench(sample(SAMPLES / "boiler_pumps.panel")))
    live = str(sheet.rows[0][3])
    assert {"QM1:13", "QM1:21", "QM1:22"} <= set(live.split(", "))
