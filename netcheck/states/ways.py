"""Ways from rail to rail through sources and closed contacts, and closed loops of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property

from netcheck.network.conduction import Conduction
from netcheck.record import record
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.grid import Grid
from netcheck.states.volts import Volts, add_volts, dc_volts, kind_of, minus, volts_of

MOST_WAYS = 200
MOST_STEPS = 20_000
"""Bounds on the ways kept, and on the steps taken to find them, for one question; past
them it is not decided."""

JOIN = -1


@record
class Step:
    """From one rail to the next: through a source (its number, the poles it is entered and
    left by), or through closed contacts (JOIN, no poles)."""

    start: int
    end: int
    source: int
    enters: str
    leaves: str
    volts: Volts
    condition: int

    @property
    def joins(self) -> bool:
        return self.source == JOIN


@record
class Way:
    """A way from one rail to another, no rail and no source twice.

    `volts` is the potential of its end against its start; `condition` when it stands.
    """

    volts: Volts
    condition: int
    steps: tuple[Step, ...]

    @property
    def sources(self) -> tuple[int, ...]:
        """The numbers of the sources passed, in order."""
        return tuple(step.source for step in self.steps if not step.joins)

    @property
    def joins(self) -> tuple[tuple[int, int], ...]:
        """The pairs of rails met through contacts, in order."""
        return tuple((step.start, step.end) for step in self.steps if step.joins)


class Ways:
    """Finds ways over one grid and one conduction.  Nothing is worked out twice."""

    def __init__(self, grid: Grid, conduction: Conduction, live: Callable[[int], int]) -> None:
        """`live` says when a source, by its number, gives its voltage."""
        self.too_many = False
        """Whether a bound was met: what is not among the ways may exist all the same."""
        self._grid = grid
        self._conduction = conduction
        self._live = live
        self._logic = grid.logic
        self._known: dict[tuple[int, int], tuple[Way, ...]] = {}

    def between(self, start: int, end: int) -> tuple[Way, ...]:
        """Every way from one rail to another."""
        if (start, end) not in self._known:
            self._known[start, end] = tuple(self._found(start, end, lambda rail: True))
        return self._known[start, end]

    def loops(self) -> Iterator[Way]:
        """Every closed loop through at least one source, each once.

        Where its sources are all DC it is walked as they drive the current, through each
        from its lower pole to its higher if it is the only one.  Loops whose volts add to
        zero are among them, walked either way.
        """
        seen: set[tuple[frozenset[tuple[int, int, int]], int]] = set()
        for start in sorted(self._grid.rails):
            for way in self._found(start, start, lambda rail, start=start: rail > start):  # type: ignore[misc]
                if not way.sources or (kind_of(way.volts) == "DC" and dc_volts(way.volts) < 0):
                    continue
                key = frozenset(
                    (min(step.start, step.end), max(step.start, step.end), step.source)
                    for step in way.steps
                )
                if (key, way.condition) not in seen:
                    seen.add((key, way.condition))
                    yield way

    def forget(self) -> None:
        """Drop what was found while it was not yet known when a source is live."""
        self._known.clear()

    def _found(self, start: int, end: int, wanted: Callable[[int], bool]) -> Iterator[Way]:
        """Depth first, over rails that are `wanted`, within the bounds."""
        found = taken = 0
        stack = [Way((), TRUE, ())]
        while stack:
            way = stack.pop()
            if way.steps and way.steps[-1].end == end:
                yield way
                found += 1
            else:
                onwards = list(self._onwards(way, start, end, wanted))
                taken += len(onwards)
                stack += onwards
            if found >= MOST_WAYS or taken >= MOST_STEPS:
                self.too_many = True
                return

    def _onwards(
        self, way: Way, start: int, end: int, wanted: Callable[[int], bool]
    ) -> Iterator[Way]:
        at = way.steps[-1].end if way.steps else start
        visited = {step.end for step in way.steps}
        for step in (*self._across.get(at, ()), *self._joined.get(at, ())):
            if step.end != end and (step.end in visited or step.end == start):
                continue
            if step.end != end and not wanted(step.end):
                continue
            if step.source in way.sources or self._goes_round(way, step):
                continue
            condition = step.condition if step.joins else self._live(step.source)
            condition = self._logic.both(way.condition, condition)
            if condition != FALSE:
                volts = add_volts(way.volts, step.volts)
                yield Way(volts, condition, (*way.steps, step))

    def _goes_round(self, way: Way, step: Step) -> bool:
        """Whether two joins in a row only go round by a rail what one does directly."""
        if not (way.steps and step.joins and way.steps[-1].joins):
            return False
        before = way.steps[-1]
        if before.start == step.end:
            return True
        straight = self._conduction.rail_join(before.start, step.end)
        both = self._logic.both(before.condition, step.condition)
        return straight in (TRUE, before.condition, step.condition, both)

    @cached_property
    def _across(self) -> dict[int, list[Step]]:
        """From each rail, the steps through a source."""
        steps: dict[int, list[Step]] = {}
        for index, source in enumerate(self._grid.panel.sources):
            for mark, potential in source.poles.items():
                for other, there in source.poles.items():
                    if mark == other:
                        continue
                    start, end = self._grid.pole(index, mark), self._grid.pole(index, other)
                    step = Step(
                        start,
                        end,
                        index,
                        f"{source.device}:{mark}",
                        f"{source.device}:{other}",
                        volts_of(source.basis, there - potential),
                        TRUE,
                    )
                    steps.setdefault(start, []).append(step)
        return steps

    @cached_property
    def _joined(self) -> dict[int, list[Step]]:
        """From each rail, the steps through contacts."""
        steps: dict[int, list[Step]] = {}
        for pair in self._conduction.rail_pairs():
            for start, end in (pair, pair[::-1]):
                condition = self._conduction.rail_join(start, end)
                if condition != FALSE:
                    step = Step(start, end, JOIN, "", "", (), condition)
                    steps.setdefault(start, []).append(step)
        return steps


@record
class HeldApart:
    """Volts of one rail against another by one way, when, and which of them is the higher."""

    volts: Volts
    condition: int
    p_is_higher: bool


def held_apart(between: Callable[[int, int], Iterable[Way]], p: int, q: int) -> Iterator[HeldApart]:
    """All of the ways `between` rails that hold p apart from q, as their current goes."""
    for way in between(q, p):
        if way.volts and dc_volts(way.volts) >= 0:
            yield HeldApart(way.volts, way.condition, True)
    for way in between(p, q):
        if dc_volts(way.volts) > 0:
            yield HeldApart(minus(way.volts), way.condition, False)
