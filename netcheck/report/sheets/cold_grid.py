"""Expected ohms before first power: every pole of every source against the others and ground."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from netcheck.bench.cold_ohms import Sort, cold_ohms
from netcheck.bench.ohms import OhmNetwork, Ohms, ohms_between
from netcheck.bench.standing import Standing, stand
from netcheck.facts.component_values import ComponentValues
from netcheck.figure import figure
from netcheck.model.devices import Part, device_of
from netcheck.model.panel import Panel
from netcheck.network.traces import steps
from netcheck.record import replace
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.table import Cell, Table

SHORT_OHM = 1.0
ALIKE = 0.05
"""Readings that differ by less are the same to a hand-held meter."""
REST = "all at rest"
UNPLUGGED = frozenset(("supply", "controller", "drive", "sensor", "varistor", "suppressor"))


def cold_grid(bench: Bench) -> Table:
    grid = _Grid(bench.panel, bench.fact(ComponentValues))
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
    )
    return Table("cold-ohms", "Expected ohms before first power", columns, rows, notes,
                 "no source", frozenset((5, 6)))  # fmt: skip


class _Grid:
    def __init__(self, panel: Panel, rated: ComponentValues) -> None:
        self.panel = panel
        self._rated = rated
        self._poles = [
            [f"{source.device}:{pole}" for pole in source.poles] for source in panel.sources
        ]
        self._loose = {
            part.label
            for part in panel.parts
            if part.load is not None and part.load.works in ("outlet", "edge")
        }
        self._moved: dict[str, list[Part]] = {}
        for part in panel.parts:
            if part.mechanism:
                self._moved.setdefault(part.mechanism, []).append(part)
        self._ground = next((t for t in panel.terminals if t.endswith(":PE")), "")

    def rows(self) -> Iterator[tuple[Cell, ...]]:
        rest = replace(stand(self.panel, powered=False), rated=self._rated)
        network = OhmNetwork(rest)
        before: dict[tuple[str, str], Ohms] = {}
        for a, b in self._pairs():
            before[a, b] = found = ohms_between(rest, a, b, network)
            yield self._row(REST, rest, found)
        for name in self.panel.mechanisms:
            if self._main_poles(name) and name in rest.states.machine.movers:
                yield from self._pushed(name, rest, network, before)

    def _pairs(self) -> Iterator[tuple[str, str]]:
        for poles in self._poles:
            yield from combinations(poles, 2)
            if self._ground:
                yield from ((pole, self._ground) for pole in poles)

    def _main_poles(self, mechanism: str) -> bool:
        moves = self.panel.mechanisms[mechanism].moved_by_coil
        return moves and any(part.role == "main pole" for part in self._moved.get(mechanism, ()))

    def _pushed(
        self,
        name: str,
        rest: Standing,
        network: OhmNetwork,
        before: dict[tuple[str, str], Ohms],
    ) -> Iterator[tuple[Cell, ...]]:
        """Of each source the first pair of poles that reads otherwise than at rest."""
        state = rest.states.machine.movers[name].state
        held = replace(rest, values={**rest.values, state: True})
        network_held = network.after(held, self._moved[name])
        told: set[str] = set()
        for (a, b), at_rest in before.items():
            if b == self._ground or device_of(a) in told:
                continue
            if not network_held.is_moved_between(a, b):
                continue
            found = ohms_between(held, a, b, network_held)
            if not _alike(found.low, at_rest.low) or not _alike(found.high, at_rest.high):
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
            if not beside:
                return "low ohms, not known", f"the winding of {device_of(found.a)}"
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
