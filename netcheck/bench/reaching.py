"""For each point every source that can reach it, by which way, and what opens that way.

A point is what wires join: its terminals are live together, or none of them is.  As a lock-out
list it is a walk with every contact closed, every load a way and every supply running: too much
is live by it, never too little.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from itertools import pairwise

from netcheck.bench.isolating import Isolator
from netcheck.model.devices import device_of, is_inside
from netcheck.network.unions import Unions
from netcheck.record import record

ELSEWHERE = "edge"
"""The kind of a source that stands for a panel which is not in the text."""


@record
class Feed:
    """One source that can reach a point.

    `way` are the devices that the shortest way passes, the source first; `backwards` those
    transformers on it that are fed from their secondary.  Each of `opened_by` cuts this source
    off by itself; where there is none, all of `opened_together` do, and where that is empty too,
    nothing in the text does.
    """

    source: str
    elsewhere: bool
    way: tuple[str, ...]
    backwards: tuple[str, ...]
    opened_by: tuple[str, ...]
    opened_together: tuple[str, ...]
    battery: bool = False
    """Which no lock opens, wherever."""


@record
class Point:
    """Terminals that wires join.  `grounded`: held at ground as long as the conductor is whole.
    `stored`: what gives back what it holds once every source is off."""

    terminals: tuple[str, ...]
    numbers: tuple[str, ...]
    grounded: bool
    feeds: tuple[Feed, ...]
    stored: tuple[str, ...]


class Reaching:
    """The points of one panel."""

    def __init__(self, isolator: Isolator) -> None:
        self._isolator = isolator
        self._panel = isolator.panel
        self._known: dict[str, Mapping[str, str]] = {}

    def points(self, device: str | None = None) -> Iterator[Point]:
        """Of a device, or all."""
        joined = Unions[str]()
        numbers: dict[str, list[str]] = {}
        for wire in self._panel.wires:
            joined.join(wire.a, wire.b)
            numbers.setdefault(wire.a, []).append(wire.number)
        groups: dict[str, list[str]] = {}
        for one in self._panel.devices.values():
            for terminal in one.terminals:
                if not is_inside(terminal):
                    groups.setdefault(joined.find(terminal), []).append(terminal)
        for terminals in groups.values():
            if device is None or any(device_of(one) == device for one in terminals):
                found = [number for one in terminals for number in numbers.get(one, ())]
                yield self._point(terminals, tuple(dict.fromkeys(filter(None, found))))

    def _point(self, terminals: Sequence[str], numbers: tuple[str, ...]) -> Point:
        at = terminals[0]
        reach = self._isolator.reach().get(at, frozenset())
        names = dict.fromkeys(source.device for source in self._panel.sources)
        feeds = tuple(self._feed(name, terminals) for name in names if name in reach)
        grounded = at in self._isolator.grounded
        stored = () if grounded else tuple(self._isolator.giving_back(terminals))
        return Point(tuple(terminals), numbers, grounded, feeds, stored)

    def _feed(self, source: str, terminals: Sequence[str]) -> Feed:
        handles, at = self._isolator.handles, terminals[0]
        alone = tuple(h for h in handles if source not in self._isolator.reach([h]).get(at, ()))
        together = () if alone else self._together(source, at)
        way = self._way(source, at)
        backwards = [
            device_of(b)
            for a, b in pairwise(way)
            if device_of(a) == device_of(b) and (a, b) in self._backwards
        ]
        passed = tuple(dict.fromkeys(map(device_of, way)))
        elsewhere = self._panel.devices[source].kind == ELSEWHERE
        turned, battery = tuple(dict.fromkeys(backwards)), self._isolator.is_battery(source)
        return Feed(source, elsewhere, passed, turned, alone, together, battery)

    def _together(self, source: str, at: str) -> tuple[str, ...]:
        """No handle of these is idle; nothing where all of them do not cut it off."""
        needed = list(self._isolator.handles)
        if source in self._isolator.reach(needed).get(at, ()):
            return ()
        for name in self._isolator.handles:
            fewer = [one for one in needed if one != name]
            if source not in self._isolator.reach(fewer).get(at, ()):
                needed = fewer
        return tuple(needed)

    def _way(self, source: str, at: str) -> tuple[str, ...]:
        """The terminals of the shortest way there, a pole of the source first."""
        came = self._from(source)
        way = [at]
        while came[way[-1]]:
            way.append(came[way[-1]])
        return tuple(reversed(way))

    def _from(self, source: str) -> Mapping[str, str]:
        """Where each terminal that a source reaches was come to from; its poles from nowhere."""
        if source not in self._known:
            came = dict.fromkeys(self._isolator.poles_of(source), "")
            todo = deque(came)
            while todo:
                at = todo.popleft()
                for there in self._isolator.onwards(at):
                    if there not in came and there not in self._isolator.grounded:
                        came[there] = at
                        todo.append(there)
            self._known[source] = came
        return self._known[source]

    @cached_property
    def _backwards(self) -> frozenset[tuple[str, str]]:
        """From a pole of a source that is fed to the ends of what feeds it."""
        return frozenset(
            (f"{source.device}:{pole}", end)
            for source in self._panel.sources
            for index in source.inputs
            for end in (self._panel.parts[index].a, self._panel.parts[index].b)
            for pole in source.poles
        )
