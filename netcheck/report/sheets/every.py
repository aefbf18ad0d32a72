"""All sheets of a report, in the order they are needed."""

from __future__ import annotations

from collections.abc import Callable

from netcheck.record import record
from netcheck.report.sheets.balance import balance
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.calculating import calculation_sheet
from netcheck.report.sheets.cold_grid import cold_grid
from netcheck.report.sheets.isolation import isolation_sheet
from netcheck.report.sheets.lists import (
    device_list,
    fuse_list,
    reel_list,
    spare_list,
    terminal_list,
    wire_list,
)
from netcheck.report.sheets.loads import load_list, protection_list, supply_list
from netcheck.report.sheets.nameplate import nameplate
from netcheck.report.sheets.one_fault import one_fault
from netcheck.report.sheets.powering import first_power
from netcheck.report.sheets.ringing import must_not_ring, ohm_list, ring_out
from netcheck.report.sheets.script import stop_script
from netcheck.report.sheets.states import state_table
from netcheck.report.sheets.stops import stop_grid
from netcheck.report.sheets.table import Table

SHEETS: tuple[tuple[str, Callable[[Bench], Table]], ...] = (
    ("Nameplate data", nameplate),
    ("Devices", device_list),
    ("Fuses", fuse_list),
    ("Spares", spare_list),
    ("Wires", wire_list),
    ("What to cut from which reel", reel_list),
    ("Terminal strips, both sides", terminal_list),
    ("Loads, and when each is on", load_list),
    ("Protective devices", protection_list),
    ("Loading of supplies", supply_list),
    ("Balance of the legs", balance),
    ("State table of small groups", state_table),
    ("Stop grid", stop_grid),
    ("One fault at a time", one_fault),
    ("Test script of stops", stop_script),
    ("Isolation, to sign", isolation_sheet),
    ("Ring-out, wire by wire", ring_out),
    ("Must not ring: neighbours on strips", must_not_ring),
    ("Ohms of loads", ohm_list),
    ("Expected ohms before first power", cold_grid),
    ("First power", first_power),
    ("Calculations", calculation_sheet),
)


@record
class Made:
    """The tables, and which of them netcheck failed at, in its own words."""

    tables: tuple[Table, ...]
    failures: tuple[str, ...]


def make_sheets(bench: Bench) -> Made:
    """One sheet that breaks says so in its place, and takes no other with it."""
    tables, failures = [], []
    for title, make in SHEETS:
        try:
            tables.append(make(bench))
        except Exception as error:
            failures.append(f"{title}: {type(error).__name__}: {error}")
            said = "not decided: netcheck itself failed here; please report it"
            tables.append(Table(make.__name__, title, (), (), (), said, open=1))
    return Made(tuple(tables), tuple(failures))
