"""The ring-out sheet: power off, what a meter must show from end to end."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from netcheck.bench.cold_ohms import BEEPS_OHM, ColdOhms, Sort, cold_ohms
from netcheck.figure import figure
from netcheck.model.devices import Conducts, mark_of
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.feeding import Feeds
from netcheck.report.sheets.lists import STRIPS, run_of
from netcheck.report.sheets.table import Cell, Table, natural
from netcheck.tables.conditions import COPPER
from netcheck.tables.lookup import Lookup
from netcheck.tables.resistance import conductor_resistance_ohm_per_m

AT_C = 20.0
ZERO_OHM = 0.1
"""A hand-held meter's leads alone show more than less than this."""


def ring_out(bench: Bench) -> Table:
    """Each wire from end to end, by run."""
    rows: list[tuple[Cell, ...]] = [
        (run_of(wire), wire.a, wire.b, wire.number or "no number", _wire_ohms(wire),
         _beside(bench, wire), "")
        for wire in sorted(bench.panel.wires, key=_by_run)
    ]  # fmt: skip
    columns = ("run", "from", "to", "wire", "expect", "lift first", "rings")
    notes = (
        "Power off, locked and proved dead.  Leads touched together first: take their ohms off.",
        "Lift the end named where another way round the wire would ring as well.",
        "Good coils, windings and heaters of few ohms make a meter beep too: read the ohms.",
    )
    return Table("ringing", "Ring-out, wire by wire", columns, tuple(rows), notes,
                 "no wires", frozenset((6,)), grouped=True, shared=(4,))  # fmt: skip


def _by_run(wire: Wire) -> tuple[object, ...]:
    """Wires of a run of which the same is expected stand together."""
    run = bool(wire.cable), natural(wire.cable or wire.kind)
    return (*run, _wire_ohms(wire), natural(wire.number), wire.index)


def must_not_ring(bench: Bench) -> Table:
    """Neighbours on a strip that nothing joins."""
    rows = tuple(_apart(bench))
    columns = ("strip", "from", "wire", "to", "its wire", "silent")
    notes = (
        "Power off, locked and proved dead; breakers and disconnects open, fuses out, every switch "
        "at rest.",
        "What rings here is a strand, a bridge or a wire too much.  A coil or winding between the "
        "two may beep by its ohms: see Ohms of loads.",
    )
    empty = "no two neighbours on a strip are apart"
    return Table("silent", "Must not ring: neighbours on strips", columns, rows, notes, empty,
                 frozenset((5,)), grouped=True)  # fmt: skip


def _apart(bench: Bench) -> Iterator[tuple[Cell, ...]]:
    panel, joined = bench.panel, _joined_at_rest(bench)
    for device in panel.devices.values():
        wired = [name for name in device.terminals if name in panel.wires_at]
        for one, other in pairwise(wired) if device.kind in STRIPS else ():
            if joined.find(one) != joined.find(other):
                numbers = [_numbers(bench, end) for end in (one, other)]
                yield device.name, mark_of(one), numbers[0], mark_of(other), numbers[1], ""


def _numbers(bench: Bench, terminal: str) -> str:
    wires = bench.panel.wires_at[terminal]
    return ", ".join(dict.fromkeys(wire.number or "no number" for wire in wires))


def _joined_at_rest(bench: Bench) -> Unions[str]:
    """Terminals that wire joins, and contacts that are closed at rest; no breaker, no fuse."""
    joined: Unions[str] = Unions()
    for wire in bench.panel.wires:
        joined.join(wire.a, wire.b)
    for part in bench.panel.parts:
        plain = part.conducts in (Conducts.JOINS, Conducts.BOND) and not part.mechanism
        at_rest = part.conducts is Conducts.CONTACT and 0 in part.closed
        if plain or at_rest:
            joined.join(part.a, part.b)
    return joined


def _wire_ohms(wire: Wire) -> str:
    said = wire.properties
    if said.size is None or said.length_m is None:
        return "about 0 ohm (size or length not said)"
    found = conductor_resistance_ohm_per_m(said.size, said.material or COPPER, AT_C)
    if not isinstance(found, Lookup):
        return "about 0 ohm"
    ohm = found.value * said.length_m / (said.parallel or 1)
    return f"under {ZERO_OHM:g} ohm" if ohm < ZERO_OHM else figure(ohm, "ohm")


def _beside(bench: Bench, wire: Wire) -> str:
    """The end to lift where other wire joins both ends as well, so that a break would not show."""
    seen, todo = {wire.a}, [wire.a]
    while todo:
        at = todo.pop()
        for other in bench.panel.wires_at.get(at, ()):
            if other.index == wire.index:
                continue
            end = other.b if other.a == at else other.a
            if end not in seen:
                seen.add(end)
                todo.append(end)
        for part in bench.panel.parts_at.get(at, ()):
            end = part.b if part.a == at else part.a
            if end not in seen and part.conducts in (Conducts.JOINS, Conducts.BOND):
                seen.add(end)
                todo.append(end)
    return f"{wire.a}" if wire.b in seen else ""


def ohm_list(bench: Bench) -> Table:
    """Each load's own ohms, where the ratings give them: lifted at one end."""
    rows = tuple(_ohm_rows(bench))
    columns = (
        "red on", "black on", "load", "expect", "why", "open and lock", "lift at", "read",
    )  # fmt: skip
    notes = (
        "Power off, locked and proved dead, contacts at rest.  Lift the wires at the terminal "
        "named.  Red is the plus lead: the other way round a diode across the load is read.",
        "A good coil, motor winding or heater of few ohms makes a meter beep as a short does: "
        "read the ohms.  Hot or cold, wound or electronic, ohms differ: a first guess.",
    )
    return Table("ohms", "Ohms of loads", columns, rows, notes, "no loads", frozenset((7,)))


def _ohm_rows(bench: Bench) -> Iterator[tuple[Cell, ...]]:
    feeds = Feeds(bench.panel)
    handles: dict[str, str] = {}
    for device in bench.panel.devices.values():
        for part in bench.parts_of(device):
            if part.load is None or part.spare or part.a not in bench.panel.wires_at:
                continue
            told, ends = cold_ohms(bench.panel, part), (part.a, part.b)
            if device.name not in handles:
                # A hand at the coil of a contactor is at its poles too.
                wired = [end for end in device.terminals if end in bench.panel.wires_at]
                nearest = next(iter(feeds.enough(wired)), "every source: no one handle does")
                handles[device.name] = nearest
            red, black = ends[::-1] if f"plus lead on {part.b}" in told.diode else ends
            why = "; ".join(filter(None, (told.assumed, "diode" * bool(told.diode))))
            label = f"{device.name} {part.role}"
            lift = mark_of(part.a)
            yield red, black, label, _expected(told), why, handles[device.name], lift, ""


def _expected(told: ColdOhms) -> str:
    if told.ohm is None:
        return f"{told.words}{': good' if told.sort is Sort.WINDING else ''}"
    return f"{figure(told.ohm, 'ohm')}{', beeps' if told.ohm < BEEPS_OHM else ''}"
