"""The ring-out sheet: power off, what a meter must show from end to end."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.figure import figure
from netcheck.model.devices import Conducts, Part, mark_of
from netcheck.model.wires import Wire
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.table import Cell, Table, natural
from netcheck.tables.conditions import COPPER
from netcheck.tables.lookup import Lookup
from netcheck.tables.resistance import conductor_resistance_ohm_per_m

AT_C = 20.0
ZERO_OHM = 0.1
"""A hand-held meter's leads alone show more than less than this."""


def ring_out(bench: Bench) -> Table:
    """Each wire from end to end."""
    rows: list[tuple[Cell, ...]] = [
        (wire.a, wire.b, wire.number or "no number", _wire_ohms(wire), _beside(bench, wire), "")
        for wire in sorted(bench.panel.wires, key=lambda wire: (natural(wire.number), wire.index))
    ]
    columns = ("from", "to", "wire", "expect", "lift first", "rings")
    notes = (
        "Power off, locked and proved dead.  Leads touched together first: take their ohms off.",
        "Lift the end named where another way round the wire would ring as well.",
        "Good coils, windings and heaters of few ohms make a meter beep too: read the ohms.",
    )
    return Table("ringing", "Ring-out, wire by wire", columns, tuple(rows), notes,
                 "no wires", frozenset((5,)))  # fmt: skip


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
    columns = ("between", "and", "load", "expect", "why", "lift first", "read")
    notes = (
        "Power off, locked and proved dead, contacts at rest.",
        "Ohms of what is hot or cold, wound or electronic differ: take them as a first guess.",
    )
    return Table("ohms", "Ohms of loads", columns, rows, notes, "no loads", frozenset((6,)))


def _ohm_rows(bench: Bench) -> Iterator[tuple[Cell, ...]]:
    for device in bench.panel.devices.values():
        parts = bench.parts_of(device)
        for part in parts:
            if part.load is None or part.spare or part.a not in bench.panel.wires_at:
                continue
            expect, why = _expected(part, parts)
            label = f"{device.name} {part.role}"
            yield part.a, part.b, label, expect, why, f"the wires at {mark_of(part.a)}", ""


def _expected(part: Part, parts: list[Part]) -> tuple[str, str]:
    made = part.load
    assert made is not None
    diode = any(one.role == "diode" and {one.a, one.b} == {part.a, part.b} for one in parts)
    turned = "; red lead on " + part.a + ", its diode conducts the other way" if diode else ""
    if made.resistance_ohm is not None:
        return figure(made.resistance_ohm, "ohm"), f"as the text says{turned}"
    plain = made.works == "heater" or (made.works in ("coil", "valve") and made.kind == "DC")
    if made.volts is None or not plain:
        return "not known", _why_not(made.works, made.kind)
    if made.power_w:
        why = f"{figure(made.volts, 'V')} squared over {figure(made.power_w, 'W')}"
        return figure(made.volts**2 / made.power_w, "ohm"), why + turned
    if made.current_a:
        why = f"{figure(made.volts, 'V')} over {figure(made.current_a, 'A')}"
        return figure(made.volts / made.current_a, "ohm"), why + turned
    return "not known", "neither watts nor amperes are said"


def _why_not(works: str, kind: str) -> str:
    if works == "motor":
        return "a winding: a few ohm, all windings of a kind alike"
    if works == "coil" or works == "valve":
        return f"a coil on {kind or 'AC'}: far fewer ohm than volts over amperes"
    if works == "lamp":
        return "a lamp: cold filament or LED, no figure to expect"
    return "electronics or mixed: no figure to expect"
