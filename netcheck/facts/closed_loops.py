"""The closed loops of sources and of what counts as wire: which there are, whether they
can close, by what path, and which wire or device on it is one too many."""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Iterator, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.as_built import AsBuilt, build, decided
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.conduction import NO_ISLAND
from netcheck.network.nodes import find_nodes
from netcheck.network.traces import Passed, walk
from netcheck.record import record, replace
from netcheck.states.answers import Answer, Never, Reached
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.grid import Grid
from netcheck.states.volts import dc_volts, in_band, kind_of, volts_of
from netcheck.states.ways import Way, Ways
from netcheck.states.witness import assignment

if TYPE_CHECKING:
    from netcheck.network.blame import Blame

SPREAD = 1.25
"""Of one nominal class are DC sources, or strings of them, of which neither has more than so
many times the other's volts: a 24 V battery and its 27.6 V charger are, 12 V and 24 V are not.
Common practice, no source: from discharged to boost charge a lead battery spans 1.75 V to
2.4 V for each cell of 2 V."""

Leg = tuple[str, str]
"""From the pole that one source is left by to the pole that the next is entered by."""


@record
class Loop:
    """One closed loop of a panel, and its condition as the certain behaviour writes it.

    Of loops that pass contacts once, each island of contacts has its own.
    """

    panel: Panel
    way: Way
    sure: int
    island: int = NO_ISLAND

    @property
    def legs(self) -> tuple[Leg, ...]:
        """The loop outside its sources, as current flows, from the source written first."""
        crossed = [step for step in self.way.steps if not step.joins]
        first = min(range(len(crossed)), key=lambda place: crossed[place].source)
        crossed = crossed[first:] + crossed[:first]
        legs = [
            (step.leaves, onwards.enters)
            for step, onwards in zip(crossed, crossed[1:] + crossed[:1], strict=True)
        ]
        if kind_of(self.way.volts) == "AC" and self._is_left_by_neutral(crossed[0].source, legs):
            return tuple((end, start) for start, end in reversed(legs))
        return tuple(legs)

    def _is_left_by_neutral(self, source: int, legs: list[Leg]) -> bool:
        """AC flows either way; it is told from the pole of higher potential."""
        poles = self.panel.sources[source].poles
        start, end = legs[0][0].rpartition(":")[2], legs[-1][1].rpartition(":")[2]
        return abs(poles[start]) < abs(poles[end])

    @property
    def always_closed(self) -> bool:
        """Whether nothing on it ever opens: it closes whenever its sources are live."""
        return all(step.condition == TRUE for step in self.way.steps)

    @property
    def is_side_by_side(self) -> bool:
        """Whether it is nothing but DC sources of one nominal class against one another."""
        crossed = [step.volts for step in self.way.steps if not step.joins]
        if any(kind_of(volts) != "DC" for volts in crossed):
            return False
        along = sum(max(0.0, dc_volts(volts)) for volts in crossed)
        against = sum(max(0.0, -dc_volts(volts)) for volts in crossed)
        return min(along, against) > 0 and max(along, against) <= SPREAD * min(along, against)

    @property
    def sources(self) -> tuple[str, ...]:
        """The devices of the sources passed, from the one written first."""
        return tuple(dict.fromkeys(start.rpartition(":")[0] for start, _ in self.legs))


class ClosedLoops:
    """Answers about the loops of one panel, also with wires and devices taken away."""

    def __init__(self, wide: Behaviour, certain: Behaviour) -> None:
        self.panel = wide.panel
        self._wide, self._certain = wide, certain
        self._answers: dict[tuple[int, int], Answer] = {}
        self._last: Grid | None = None
        self._passed: tuple[Loop, Reached, Callable[[Part, bool], bool]] | None = None
        self.too_many = False
        """Whether there are more loops than are followed."""

    def of(self, panel: Panel) -> list[Loop]:
        """The loops of a panel, those through the fewest sources and rails first.

        `panel` is the one behaviour is known of, or what `without` left of it: what moves,
        moves as before.
        """
        loops = self._ways(self._wide, panel)
        known = loops if self._certain is self._wide else self._ways(self._certain, panel)
        sure = {(_key(way), island): way.condition for way, island in known}
        found = [
            Loop(panel, way, sure.get((_key(way), island), FALSE), island) for way, island in loops
        ]
        return sorted(found, key=lambda loop: len(loop.way.steps))

    def _ways(self, behaviour: Behaviour, panel: Panel) -> list[tuple[Way, int]]:
        grid = self._grid(behaviour, panel)
        ways = Ways(grid, grid.whole, behaviour.live)
        found = [way for way in ways.loops() if not _driven_back(panel, way)]
        self.too_many |= ways.too_many or behaviour.too_many_ways
        return [one for way in found for one in _by_island(behaviour, grid, way)]

    def _grid(self, behaviour: Behaviour, panel: Panel) -> Grid:
        if panel is behaviour.panel and not self._has_diodes_on_ac:
            return behaviour.grid
        if behaviour is self._wide and self._last is not None and self._last.panel is panel:
            return self._last
        nodes = find_nodes(panel)
        grid = Grid(panel, nodes, behaviour.closed, behaviour.logic, self._one_way)
        if behaviour is self._wide:
            self._last = grid
        return grid

    def _one_way(self, part: Part) -> bool:
        """Diodes on AC, too: they conduct in one half of the cycle or the other, and a loop closes
        only where all on it conduct in the same half, which two arms of a bridge do not."""
        return part.conducts is Conducts.ONE_WAY or self._wide.one_way(part)

    @cached_property
    def _has_diodes_on_ac(self) -> bool:
        diodes = (part for part in self.panel.parts if part.conducts is Conducts.ONE_WAY)
        return not all(map(self._wide.one_way, diodes))

    def answer(self, loop: Loop) -> Answer:
        """Whether the loop can close, whatever uncertain coils do; a race counts, told apart."""
        key = loop.way.condition, loop.sure
        if key not in self._answers:
            self._answers[key] = self._ask(loop)
        return self._answers[key]

    def _ask(self, loop: Loop) -> Answer:
        wide = self._wide.prover.can_happen(loop.way.condition, same_instant=True)
        if not isinstance(wide, Reached) or self._certain is self._wide:
            return wide
        concerned = set(self._wide.prover.depends_on(loop.way.condition))
        coils = [name for name in self._wide.uncertain_coils if name in concerned]
        if not coils:
            return wide
        sure: Answer = Never("logic alone")
        if loop.sure != FALSE:
            sure = self._certain.prover.can_happen(loop.sure, same_instant=True)
        if isinstance(sure, Reached) and sure.kind == "race" != wide.kind:
            sure = Never("logic alone")  # that it is a race is certain, that it is no more is not
        return decided(sure, wide, coils)

    def path(self, loop: Loop, reached: Reached) -> tuple[Passed, ...]:
        """The loop outside its sources, in the state reached; each leg follows on the other."""
        path = self.path_without(loop, reached, ())
        assert path is not None, "a closed loop has no path"
        return path

    def path_without(
        self, loop: Loop, reached: Reached, gone: Container[int]
    ) -> tuple[Passed, ...] | None:
        """The same without the wires and parts whose `id` is in `gone`; None if it then is open."""
        passable = self._passable(loop, reached)
        found: list[Passed] = []
        for start, end in loop.legs:
            leg = _leg(loop, start, end, passable, gone)
            if leg is None:
                return None
            found += leg
        return tuple(found)

    def legs(self, loop: Loop, reached: Reached) -> list[list[Passed]]:
        """The legs of the loop as they are walked in the state reached."""
        passable = self._passable(loop, reached)
        found = [_leg(loop, start, end, passable) for start, end in loop.legs]
        return [leg for leg in found if leg is not None]

    def cause(
        self, loop: Loop, reached: Reached, path: Sequence[Passed], gone: Collection[int] = ()
    ) -> Wire | Part:
        """What on the path, or this part of it, is one too many; as if `gone` were not there."""
        asked_for = next((p.by for p in path if isinstance(p.by, Part) and p.by.is_fault), None)
        if asked_for is not None:
            return asked_for
        if loop.always_closed:
            path = self._that_leave_most_fed(loop, path)
        passable = self._passable(loop, reached)

        def cuts(by: Wire | Part) -> bool:
            less = {*gone, id(by)}
            return any(_leg(loop, start, end, passable, less) is None for start, end in loop.legs)

        return self._blame.cause(path, cuts)

    def _that_leave_most_fed(self, loop: Loop, path: Sequence[Passed]) -> Sequence[Passed]:
        """Of a path that nothing opens the steps without which most loads have two poles again."""
        from netcheck.network.blame import fed_without

        fed = [fed_without(loop.panel, passed.by, self._closes, self._fits) for passed in path]
        most = max(fed, default=0)
        return [passed for passed, count in zip(path, fed, strict=True) if count == most]

    def solid(self, cause: Wire | Part) -> bool:
        """Whether a cause joins its ends in every state."""
        if isinstance(cause, Wire):
            return True
        return cause.conducts is Conducts.JOINS and self._wide.closed(cause) == TRUE

    def _passable(self, loop: Loop, reached: Reached) -> Callable[[Part, bool], bool]:
        """What conducts in the state reached; of a loop through one island, nothing beyond it."""
        if self._passed is not None and self._passed[0] is loop and self._passed[1] is reached:
            return self._passed[2]
        behaviour, values = self._wide, assignment(self._wide, reached)
        known: dict[int, bool] = {}
        grid = self._grid(behaviour, loop.panel)

        def passable(part: Part, forwards: bool) -> bool:
            if part.conducts is Conducts.NOTHING or (not forwards and self._one_way(part)):
                return False
            if part.index not in known:
                known[part.index] = _stays_near(grid, loop, part) and behaviour.logic.evaluate(
                    behaviour.closed(part), values
                )
            return known[part.index]

        self._passed = loop, reached, passable
        return passable

    @cached_property
    def _blame(self) -> Blame:
        from netcheck.network.blame import Blame

        return Blame(self._wide.panel, self._closes, self._fits)

    def _closes(self, part: Part) -> bool:
        return self._wide.closed(part) != FALSE

    def _fits(self, part: Part, kind: str, volts: complex) -> bool:
        return part.load is not None and in_band(volts_of(kind, volts), part.load)


def _stays_near(grid: Grid, loop: Loop, part: Part) -> bool:
    """Whether a part stands at the rails or in the island of its loop."""
    if loop.island == NO_ISLAND:
        return True
    island = grid.whole.island
    return {island(grid.place(end)) for end in (part.a, part.b)} <= {loop.island, NO_ISLAND}


def _leg(
    loop: Loop,
    start: str,
    end: str,
    passable: Callable[[Part, bool], bool],
    gone: Container[int] = (),
) -> list[Passed] | None:
    """One leg of a loop.  AC drives it either way, and a one-way part may let only the other
    way pass: then it is walked from its end."""
    leg = walk(loop.panel, (start,), (end,), passable, gone=gone)
    if leg is not None or "AC" not in kind_of(loop.way.volts):
        return leg
    back = walk(loop.panel, (end,), (start,), passable, gone=gone)
    if back is None:
        return None
    return [Passed(passed.end, passed.start, passed.by) for passed in reversed(back)]


def _by_island(behaviour: Behaviour, grid: Grid, way: Way) -> Iterator[tuple[Way, int]]:
    """A way by each island of contacts apart, where it passes contacts once."""
    if len(way.joins) != 1:
        yield way, NO_ISLAND
        return
    ((start, end),) = way.joins
    live = [behaviour.live(source) for source in way.sources]
    for island, joined in grid.whole.rail_joins(start, end).items():
        condition = behaviour.logic.all_of([*live, joined])
        if condition != FALSE:
            steps = (replace(s, condition=joined) if s.joins else s for s in way.steps)
            yield Way(way.volts, condition, tuple(steps)), island


def _driven_back(panel: Panel, way: Way) -> bool:
    """Whether current would have to go backwards through a supply that has a diode against it."""
    return any(
        dc_volts(step.volts) < 0
        and panel.devices[panel.sources[step.source].device].values.get("decoupled")
        for step in way.steps
        if not step.joins
    )


def _key(way: Way) -> tuple[tuple[int, int, int], ...]:
    return tuple((step.start, step.end, step.source) for step in way.steps)


def without(panel: Panel, cause: Wire | Part) -> Panel:
    """The panel with one wire taken away, or one part of a device never conducting."""
    if isinstance(cause, Wire):
        return replace(panel, wires=tuple(wire for wire in panel.wires if wire is not cause))
    parts = list(panel.parts)
    parts[cause.index] = replace(cause, conducts=Conducts.NOTHING)
    return replace(panel, parts=tuple(parts))


@concludes(AsBuilt)
def find_loops(view: View) -> ClosedLoops:
    return ClosedLoops(view[AsBuilt].wide, view[AsBuilt].certain)


def loops_of(panel: Panel) -> ClosedLoops:
    """The loops of a panel that behaves as it is given, not as the case's own does."""
    built = build(panel)
    return ClosedLoops(built.wide, built.certain)
