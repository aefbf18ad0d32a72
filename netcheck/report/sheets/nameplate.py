"""Nameplate data: what the text says the plate bears, beside what the description comes to.

NEC 409.110 asks for voltage, phases, frequency and full-load current of each supply, the
short-circuit rating, the diagram's number and the enclosure's type; NEC 670.3(A) for the
largest motor or load and the device ahead: from memory.  IEC 60204-1, 16.4: alike.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.facts.load_currents import LoadCurrents
from netcheck.facts.short_circuit_ratings import ShortCircuitRatings
from netcheck.figure import figure
from netcheck.model.devices import SourcePart
from netcheck.report.sheets.balance import pole_loads
from netcheck.report.sheets.bench import Bench, named
from netcheck.report.sheets.table import Cell, Table

UNSAID = "the text says nothing"


def nameplate(bench: Bench) -> Table:
    said = dict(bench.panel.settings.nameplate)
    rows: list[tuple[Cell, ...]] = [
        ("panel", bench.panel.settings.title or UNSAID, "", ""),
        ("supply", _figured(said.get("rating"), "V"), "; ".join(_supplies(bench)), "as described"),
        ("full-load current", _figured(said.get("full_load_a"), "A"), *_full_load(bench)),
        ("largest motor or load", _figured(said.get("largest_motor_a"), "A"), *_largest(bench)),
        ("short-circuit rating", _figured(said.get("withstand_a"), "A"), *_weakest(bench)),
        ("enclosure type", _said(said.get("type")), "", ""),
        ("diagram", _said(said.get("drawing")), bench.panel.path, "the text this was made from"),
    ]
    columns = ("item", "plate, as the text says", "from the description", "how")
    notes = ("What is worked out is for whoever makes the plate to compare: the plate is theirs.",)
    return Table("nameplate", "Nameplate data", columns, tuple(rows), notes)


def _said(value: object) -> str:
    if value is None:
        return UNSAID
    return " ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def _figured(value: object, unit: str) -> str:
    return figure(value, unit) if isinstance(value, float | int) else UNSAID


def _supplies(bench: Bench) -> Iterator[str]:
    for source in _from_outside(bench):
        hertz = "" if source.frequency_hz is None else f" {figure(source.frequency_hz, 'Hz')}"
        volts, poles = figure(source.volts, "V"), f"{len(source.poles)} poles"
        device = bench.panel.devices[source.device]
        yield f"{named(device)}: {volts} {source.kind}{hertz}, {poles}"


def _from_outside(bench: Bench) -> Iterator[SourcePart]:
    return (source for source in bench.panel.sources if source.mechanism)


def _full_load(bench: Bench) -> tuple[str, str]:
    found = [one for one in pole_loads(bench) if one.potential and (one.across or one.home)]
    told = [f"{one.source.device} {one.pole} {figure(one.most_a, 'A')}" for one in found]
    how = "at most: all loads of the pole at once, each at the current it is sized by"
    if unknown := dict.fromkeys(name for one in found for name in one.unknown):
        how += f"; without {', '.join(unknown)}, which say no current"
    return "; ".join(told) or "nothing draws from it", how


def _largest(bench: Bench) -> tuple[str, str]:
    loads = [one for one in bench.fact(LoadCurrents).loads if not one.unknown]
    most = max(loads, key=lambda one: one.current_a, default=None)
    if most is None:
        return "no load says its current", ""
    return f"{most.name} {figure(most.current_a, 'A')}", most.working.source


def _weakest(bench: Bench) -> tuple[str, str]:
    parts = bench.fact(ShortCircuitRatings).parts
    weakest = min(parts, key=lambda one: one.withstand_a, default=None)
    if weakest is None:
        return "not known", "no part says a short-circuit rating"
    how = f"the weakest of {len(parts)} parts that say one: {weakest.device.name}, {weakest.said}"
    return figure(weakest.withstand_a, "A"), how
