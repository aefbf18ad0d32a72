"""Expected ohms before first power: every pole of every source against the others and ground."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from netcheck.bench.cold_ohms import Sort, cold_ohms
from netcheck.bench.ohms import Ohms, ohms_between
from netcheck.bench.standing import Standing, stand
from netcheck.figure import figure
from netcheck.model.devices import Part, device_of
from netcheck.model.faults import holding
from netcheck.model.panel import Panel
from netcheck.network.traces import steps
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.table import Cell, Table

MOST_PUSHED = 40
"""Contactors that are pushed in by hand one by one."""
SHORT_OHM = 1.0
ALIKE = 0.05
"""Readings that differ by less are the same to a hand-held meter."""
REST = "all at rest"
UNPLUGGED = frozenset(("supply", "controller", "drive", "sensor", "varistor", "suppressor"))


def cold_grid(bench: Bench) -> Table:
    grid = _Grid(bench.panel)
    rows = tuple(grid.rows())
    columns = ("with", "red on", "black on", "expect", "because", "read", "passes")
    unplug = [one.name for one in bench.panel.devices.values() if one.kind in UNPLUGGED]
    notes = (
        "Incoming supply locked off and proved dead ahead of the panel.  Inside: every "
        "disconnect and breaker closed, every fuse fitted, so that nothing hides behind one.",
        "A contactor is pushed in by hand, one at a time, and let go again.",
        f"Under {SHORT_OHM:g} ohm where more is expected: do not close; open the branches one by "
        "one until it clears.",
        f"Before an insulation test unplug: {', '.join(unplug) or 'nothing electronic is drawn'}.",
        *grid.left_out,
    )
    return Table("cold-ohms", "Expected ohms before first power", columns, rows, notes,
                 "no source", frozenset((5, 6)))  # fmt: skip


class _Grid:
    def __init__(self, panel: Panel) -> None:
        self.panel = panel
        self.left_out: tuple[str, ...] = ()
        self._poles = [
            [f"{source.device}:{pole}" for pole in source.poles] for source in panel.sources
        ]
        self._loose = {
            part.label
            for part in panel.parts
            if part.load is not None and part.load.works in ("outlet", "edge")
        }
        self._ground = next((t for t in panel.terminals if t.endswith(":PE")), "")

    def rows(self) -> Iterator[tuple[Cell, ...]]:
        rest = stand(self.panel, powered=False)
        before: dict[tuple[str, str], Ohms] = {}
        for a, b in self._pairs():
            before[a, b] = found = ohms_between(rest, a, b)
            yield self._row(REST, rest, found)
        pushed = [
            one
            for one in self.panel.mechanisms.values()
            if one.moved_by_coil and self._main_poles(one.name)
        ]
        if len(pushed) > MOST_PUSHED:
            self.left_out = (
                f"{len(pushed) - MOST_PUSHED} more contactors are not worked out here.",
            )
        for one in pushed[:MOST_PUSHED]:
            yield from self._pushed(one.name, before)

    def _pairs(self) -> Iterator[tuple[str, str]]:
        for poles in self._poles:
            yield from combinations(poles, 2)
            if self._ground:
                yield from ((pole, self._ground) for pole in poles)

    def _main_poles(self, mechanism: str) -> list[Part]:
        return [
            part
            for part in self.panel.parts
            if part.mechanism == mechanism and part.role == "main pole"
        ]

    def _pushed(self, name: str, before: dict[tuple[str, str], Ohms]) -> Iterator[tuple[Cell, ...]]:
        """Of each source the first pair of poles that reads otherwise than at rest."""
        held = stand(holding(self.panel, name, 1), powered=False)
        told: set[str] = set()
        for (a, b), rest in before.items():
            if b == self._ground or device_of(a) in told:
                continue
            found = ohms_between(held, a, b)
            if not _alike(found.low, rest.low) or not _alike(found.high, rest.high):
                told.add(device_of(a))
                yield self._row(f"{name} pushed in", held, found)

    def _row(self, said: str, standing: Standing, found: Ohms) -> tuple[Cell, ...]:
        expect, why = self._expected(standing, found)
        return said, found.a, found.b, expect, why, "", ""

    def _expected(self, standing: Standing, found: Ohms) -> tuple[str, str]:
        beside = ", ".join(found.beside)
        electronic = ", ".join(dict.fromkeys(_electronic(standing, found)))
        also = f"; electronic beside it: {electronic}" if electronic else ""
        if found.low is None:
            if electronic:
                return "no figure, and it climbs", f"electronic: {electronic}"
            return "open", "nothing joins them"
        if found.high is None:
            if self._loose.issuperset(found.beside):
                first = f"once {beside} is unplugged or lifted"
                if electronic:
                    return "no figure, and it climbs", f"{first}; electronic: {electronic}"
                return "open", first
            return "low ohms, not known", f"depends on {beside}{also}"
        if found.high < SHORT_OHM:
            return f"under {SHORT_OHM:g} ohm", "joined by wire: bonded or bridged"
        if found.low < SHORT_OHM:
            return f"at most {figure(found.high, 'ohm')}", f"depends on {beside}{also}"
        if not _alike(found.low, found.high):
            between = f"{figure(found.low, 'ohm')} to {figure(found.high, 'ohm')}"
            return between, f"depends on {beside}{also}"
        return figure(found.high, "ohm"), f"by {beside}{also}"


def _alike(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) <= max(0.1, ALIKE * max(one, other))


def _electronic(standing: Standing, found: Ohms) -> Iterator[str]:
    """What is electronic and stands between the two."""
    one, other = (_joined(standing, end) for end in (found.a, found.b))
    for part in standing.panel.parts:
        if part.load is None or part.spare or not _between(part, one, other):
            continue
        if cold_ohms(standing.panel, part).sort is Sort.ELECTRONIC:
            yield part.device


def _between(part: Part, one: set[str], other: set[str]) -> bool:
    return (part.a in one and part.b in other) or (part.b in one and part.a in other)


def _joined(standing: Standing, start: str) -> set[str]:
    def passes(part: Part, forwards: bool) -> bool:
        return part.load is None and standing.closed(part)

    seen, todo = {start}, [start]
    while todo:
        for one in steps(standing.panel, todo.pop(), passes):
            if one.end not in seen:
                seen.add(one.end)
                todo.append(one.end)
    return seen
