"""Nameplate, legs, calculations, torque: held to the tables and sums by hand."""

from __future__ import annotations

from netcheck.facts.calculations import Calculations
from netcheck.report.sheets.balance import balance
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.calculating import SOURCES, calculation_sheet
from netcheck.report.sheets.lists import device_list
from netcheck.report.sheets.nameplate import UNSAID, nameplate
from tests.facts.panels import panel_of
from tests.report.sheets.panels import greenhouse, rows_with

LEGS = """\
panel "Bench"
  practice NEC 2023
  nameplate 120/240 V AC, 25 A full load, 5 kA short-circuit rating, type 12
source MAINS 120/240 V AC 60 Hz, three-wire, 5 kA available, neutral bonded here
breaker CB1 2-pole, 20 A, 240 V AC, torque 30 lb-in, 5 kA short-circuit rating
heater HTR1 2.4 kW 240 V AC
heater HTR2 1.2 kW 120 V AC
heater HTR3 600 W 120 V AC
circuit "Heat"
  MAINS:L1 --1-- CB1:1-2 --3-- HTR1 --4-- CB1:4-3 --2-- MAINS:L2
  CB1:2 --3-- HTR2 --N-- MAINS:N
  CB1:4 --4-- HTR3 --N-- MAINS:N
"""


def test_a_leg_carries_what_goes_across_and_what_goes_home() -> None:
    # 2400 W / 240 V = 10 A across; 1200 W / 120 V = 10 A and 600 W / 120 V = 5 A home.
    rows = balance(Bench(panel_of(LEGS))).rows
    assert [
        ("L1", "10 A", "10 A", "20 A", "100%"),
        ("L2", "10 A", "5 A", "15 A", "75%"),
        ("N", "", "", "10 A", "comes home"),
    ] == [one[1:6] for one in rows]


def test_the_nameplate_stands_beside_what_the_description_comes_to() -> None:
    table = nameplate(Bench(panel_of(LEGS)))
    (supply,) = rows_with(table, item="supply")
    assert ("240 V", "MAINS: 240 V AC 60 Hz, 3 poles") == tuple(supply.values())[1:3]
    (current,) = rows_with(table, item="full-load current")
    assert ("25 A", "MAINS L1 20 A; MAINS L2 15 A") == tuple(current.values())[1:3]
    (rating,) = rows_with(table, item="short-circuit rating")
    assert ("5 kA", "5 kA") == tuple(rating.values())[1:3]


def test_a_panel_that_says_no_nameplate_says_so() -> None:
    (rating,) = rows_with(nameplate(greenhouse()), item="short-circuit rating")
    assert (UNSAID, "not known") == tuple(rating.values())[1:3]


def test_torque_stands_in_the_unit_of_the_practice() -> None:
    # 1 lb-in is 0.1129848 N m (NIST SP 811): 30 lb-in is 3.39 N m.
    american = device_list(Bench(panel_of(LEGS)))
    european = device_list(Bench(panel_of(LEGS.replace("NEC 2023", "IEC"))))
    assert ["30 lb-in"] == [one["torque"] for one in rows_with(american, device="CB1")]
    assert ["3.39 N m"] == [one["torque"] for one in rows_with(european, device="CB1")]


def test_the_calculation_sheet_has_every_line_of_the_calculations() -> None:
    bench = greenhouse()
    lines = bench.fact(Calculations).lines
    table = calculation_sheet(bench)
    rows = [row for row in table.rows if row[0] != SOURCES]
    assert [one.what.replace(", wire ", ", ") for one in lines] == [row[1] for row in rows]
    unknown = [one.holds is None and bool(one.why) for one in lines]
    told = [str(row[4]).startswith("not known") for row in rows]
    assert unknown == told
