"""The isolation sheet: for each load that moves or heats, what to open, lock and prove dead."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.model.devices import Conducts, Device
from netcheck.report.sheets.bench import Bench, highest_volts, named
from netcheck.report.sheets.feeding import Feeds
from netcheck.report.sheets.table import Cell, Table

STORES = {
    "drive": "its capacitors: wait as its maker says, then test",
    "supply": "its output stays charged for a while: wait, then test",
    "capacitor": "charged: discharge it, then test",
}
UNSURE = "cannot be certain"


def isolation_sheet(bench: Bench) -> Table:
    feeds = Feeds(bench.panel)
    rows = tuple(_row(bench, feeds, device) for device in _worked_on(bench))
    columns = (
        "to work on", "open and lock", "opens it too", "stays live at the open handle",
        "stored energy", "prove dead at, each to the others and to earth", "locked by",
        "proved dead by",
    )  # fmt: skip
    unsure = sum(str(row[1]).startswith(UNSURE) for row in rows)
    notes = (
        "Stops, selectors and contactors are not isolation.  This sheet does not replace the "
        "procedure of the site.",
        *highest_volts(bench.panel),
        "Try the meter on a known live point, test, and try it on the live point again.",
        "It names what feeds the load: other circuits at the same place stay live.",
        "Predicted from the description: what feeds in from elsewhere and is not described "
        "is not known here.",
    )
    return Table(
        "isolation",
        "Isolation, to sign",
        columns,
        rows,
        notes,
        "no load that moves or heats",
        frozenset((6, 7)),
        unsure,
    )


def _worked_on(bench: Bench) -> Iterator[Device]:
    for device in bench.panel.devices.values():
        parts = bench.parts_of(device)
        if any(part.load is not None and part.load.moves_or_heats for part in parts):
            yield device


def _row(bench: Bench, feeds: Feeds, device: Device) -> tuple[Cell, ...]:
    panel = bench.panel
    ends = [name for name in device.terminals if name in panel.wires_at and _feeds(bench, name)]
    enough = [panel.devices[name] for name in feeds.enough(ends)]
    if enough:
        first, *others = enough
        lock = f"{named(first)}, {first.location}"
        alive = feeds.live(first.name)
        live = ", ".join(name for name in first.terminals if name in alive)
    else:
        lock = f"{UNSURE}: no one disconnect or breaker cuts all that can feed it"
        others, live = [], ""
    return (
        f"{named(device)}, {device.location}",
        lock,
        ", ".join(one.name for one in others),
        live,
        _stored(device),
        ", ".join(ends),
        "",
        "",
    )


def _feeds(bench: Bench, terminal: str) -> bool:
    """Whether current comes or goes here: not a terminal for grounding alone."""
    return any(
        part.conducts is not Conducts.BOND for part in bench.panel.parts_at.get(terminal, ())
    )


def _stored(device: Device) -> str:
    return STORES.get(device.kind, "")
