"""Which wire or device of a closed path is one too many: the one that no load needs.

Every load is given its nearest feed: the shortest walks from its ends to two poles of one
source that hold it at a voltage it is made for, were every contact closed, or a walk through
DC sources in series.  What these walks pass is needed.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property

from netcheck.model.devices import Conducts, Drive, Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed
from netcheck.network.unions import Unions

Fits = Callable[[Part, str, complex], bool]
"""Whether a load is made for these volts (from its a to its b) of a kind, `AC` or `DC`."""

MOST_STATES = 200_000
"""Most terminals and volts looked at for all loads that several sources feed in series."""

_Link = tuple[str, Wire | Part]
_Walks = dict[str, tuple[int, _Link | None]]
"""For each terminal reached from a pole, the steps to it and the last of them."""


class Blame:
    """Knows how many loads need each wire and part of a panel."""

    def __init__(self, panel: Panel, closes: Callable[[Part], bool], fits: Fits) -> None:
        """`closes` says whether a part ever counts as wire."""
        self._panel = panel
        self._links: dict[str, list[_Link]] = {name: [] for name in panel.terminals}
        for wire in panel.wires:
            self._link(wire.a, wire.b, wire)
        for part in panel.parts:
            if closes(part) and part.conducts is not Conducts.BOND:
                self._link(part.a, part.b, part)
        self._needs: dict[int, int] = {}
        self._states_left = MOST_STATES
        self._count(fits)

    def cause(self, path: Sequence[Passed], cuts: Callable[[Wire | Part], bool]) -> Wire | Part:
        """What completes the path: the least needed, then what alone opens it (`cuts`), then
        what is drawn last; in one line a device rather than the wire that leads to it."""
        items = list(dict.fromkeys(passed.by for passed in path))
        least = min(self._guilt(by) for by in items)
        guilty = [by for by in items if self._guilt(by) == least]
        return min(guilty, key=lambda by: (not cuts(by), *self._written_last(by)))

    def _guilt(self, by: Wire | Part) -> tuple[int, int]:
        return self.needs(by), self._grounds(by)

    def _written_last(self, by: Wire | Part) -> tuple[bool, int, bool, int]:
        panel = self._panel
        if isinstance(by, Wire):
            return False, -by.span.line, True, -by.span.column
        span = panel.chain_spans.get(by.index, panel.devices[by.device].span)
        mechanism = panel.mechanisms.get(by.mechanism)
        protects = by.role == "overload" or (
            mechanism is not None and mechanism.drive is Drive.PROTECTION
        )
        return protects, -span.line, False, -span.column

    def _grounds(self, by: Wire | Part) -> int:
        """The grounding is there to be reached: it is blamed last, of it a source's bond first."""
        if isinstance(by, Part):
            return 0 if by.conducts is not Conducts.BOND else 1 if by.role == "bond" else 2
        return 2 if all(self._is_grounding(end) for end in (by.a, by.b)) else 0

    def _is_grounding(self, terminal: str) -> bool:
        parts = self._panel.parts_at.get(terminal, ())
        return terminal.endswith(":PE") or any(part.conducts is Conducts.BOND for part in parts)

    def needs(self, by: Wire | Part) -> int:
        """How many ends of loads are fed through it."""
        return self._needs.get(id(by), 0)

    # ---- needs ---------------------------------------------------------------------------

    def _link(self, a: str, b: str, by: Wire | Part) -> None:
        self._links[a].append((b, by))
        self._links[b].append((a, by))

    def _count(self, fits: Fits) -> None:
        walks = {
            pole: self._walks_from(pole)
            for source in self._panel.sources
            for pole in (f"{source.device}:{mark}" for mark in source.poles)
        }
        for part in self._panel.parts:
            if part.load is None:
                continue
            feeds = list(self._feeds(part, walks, fits))
            if feeds:
                _, one, other = min(feeds, key=lambda feed: feed[0])
                self._need(walks[one], part.a)
                self._need(walks[other], part.b)
            else:
                self._need_in_series(part, fits)

    def _feeds(
        self, part: Part, walks: Mapping[str, _Walks], fits: Fits
    ) -> Iterator[tuple[int, str, str]]:
        """Steps walked in all, and the poles at the load's ends, for each feed that fits."""
        for source in self._panel.sources:
            for mark, potential in source.poles.items():
                for other, there in source.poles.items():
                    one, home = f"{source.device}:{mark}", f"{source.device}:{other}"
                    if part.a not in walks[one] or part.b not in walks[home]:
                        continue
                    if potential != there and fits(part, source.kind, potential - there):
                        yield walks[one][part.a][0] + walks[home][part.b][0], one, home

    def _walks_from(self, pole: str) -> _Walks:
        walks: _Walks = {pole: (0, None)}
        queue = deque([pole])
        while queue:
            at = queue.popleft()
            for end, by in self._links[at]:
                if end not in walks:
                    walks[end] = walks[at][0] + 1, (at, by)
                    queue.append(end)
        return walks

    def _need_in_series(self, part: Part, fits: Fits) -> None:
        """The shortest walk from end to end through DC sources whose volts add up to what fits."""
        if len(self._crossings) <= 2:
            return None  # the poles of one source at most: nothing is in series
        start = part.a, 0.0
        came: dict[tuple[str, float], tuple[tuple[str, float], Wire | Part | None]] = {}
        queue = deque([start])
        while queue and self._states_left:
            at, volts = queue.popleft()
            self._states_left -= 1
            if at == part.b and fits(part, "DC", complex(-volts)):
                return self._need_back(start, (at, volts), came)
            for end, by in self._links[at]:
                onwards = end, volts
                if onwards not in came and onwards != start:
                    came[onwards] = (at, volts), by
                    queue.append(onwards)
            for end, step in self._crossings.get(at, ()):
                onwards = end, volts + step
                if onwards not in came and abs(volts + step) <= self._all_in_series:
                    came[onwards] = (at, volts), None
                    queue.append(onwards)
        return None

    def _need_back(
        self,
        start: tuple[str, float],
        at: tuple[str, float],
        came: Mapping[tuple[str, float], tuple[tuple[str, float], Wire | Part | None]],
    ) -> None:
        while at != start:
            at, by = came[at]
            if by is not None:
                self._needs[id(by)] = self._needs.get(id(by), 0) + 1

    @cached_property
    def _all_in_series(self) -> float:
        """More volts no walk gathers that passes no DC source twice: past a short one could go
        round for ever."""
        return sum(
            max(abs(one - other) for one in poles for other in poles)
            for source in self._panel.sources
            if source.kind == "DC"
            for poles in [source.poles.values()]
        )

    @cached_property
    def _crossings(self) -> Mapping[str, list[tuple[str, float]]]:
        """From each pole of a DC source to its other, and by how much that is higher."""
        found: dict[str, list[tuple[str, float]]] = {}
        for source in self._panel.sources:
            if source.kind != "DC":
                continue
            for mark, potential in source.poles.items():
                for other, there in source.poles.items():
                    if mark != other:
                        step = f"{source.device}:{other}", there.real - potential.real
                        found.setdefault(f"{source.device}:{mark}", []).append(step)
        return found

    def _need(self, walks: _Walks, end: str) -> None:
        while (came := walks[end][1]) is not None:
            end, by = came
            self._needs[id(by)] = self._needs.get(id(by), 0) + 1


def fed_without(panel: Panel, item: Wire | Part, closes: Callable[[Part], bool], fits: Fits) -> int:
    """How many loads stand between two poles of one source, apart from one another, were every
    contact closed and this wire or part not there."""
    joined: Unions[str] = Unions()
    for wire in panel.wires:
        if wire is not item:
            joined.join(wire.a, wire.b)
    loads = {frozenset((part.a, part.b)) for part in panel.parts if part.load is not None}
    for part in panel.parts:
        quenches = part.conducts is Conducts.ONE_WAY and frozenset((part.a, part.b)) in loads
        if part is item or part.conducts is Conducts.BOND or quenches:
            continue
        if closes(part):
            joined.join(part.a, part.b)
    at: dict[str, list[tuple[int, complex]]] = {}
    for index, source in enumerate(panel.sources):
        for mark, potential in source.poles.items():
            place = joined.find(f"{source.device}:{mark}")
            at.setdefault(place, []).append((index, potential))
    return sum(
        any(
            one == other and high != low and fits(part, panel.sources[one].kind, high - low)
            for one, high in at.get(joined.find(part.a), ())
            for other, low in at.get(joined.find(part.b), ())
        )
        for part in panel.parts
        if part.load is not None and not joined.joined(part.a, part.b)
    )
