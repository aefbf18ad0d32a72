"""Every closed loop that drives current through nothing but what counts as wire.

A loop runs from rail to rail through contacts and back through sources whose voltages
do not add to zero.  One cause is one short: the cause is the wire or device on the
path without which the loop is open and no load loses its feed, the one written last if
there are several.  Then it is taken away and the rest looked at again.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, certain_of, decided
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.nodes import find_nodes
from netcheck.network.traces import Passed, reached, walk
from netcheck.states.answers import Reached, Undecided
from netcheck.states.behaviour import (
    Volts,
    Way,
    add_volts,
    dc_volts,
    kind_of,
)
from netcheck.states.expressions import FALSE
from netcheck.states.witness import Witness, assignment, tell

MOST_CAUSES = 25
"""Looking stops after so many: a panel with as many shorts is not read for the next one."""


@dataclass(frozen=True, slots=True)
class Short:
    """One short: the poles it joins, by what path, in which state, and what causes it."""

    start: str
    end: str
    volts: Volts
    sources: tuple[str, ...]
    path: tuple[Passed, ...]
    cause: Wire | Part
    witness: Witness
    race: bool


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """A loop of which it was not decided whether it can close."""

    start: str
    end: str
    reason: str
    devices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Shorts:
    found: tuple[Short, ...]
    undecided: tuple[OpenQuestion, ...]


@dataclass(frozen=True, slots=True)
class _Loop:
    start: int
    end: int
    volts: Volts
    condition: int
    way: Way


@concludes(Behaviour)
def find_shorts(view: View) -> Shorts:
    behaviour = view[Behaviour]
    found: list[Short] = []
    undecided: list[OpenQuestion] = []
    while True:
        short = _first(behaviour, undecided if not found else [])
        if short is None or len(found) >= MOST_CAUSES:
            return Shorts(tuple(found), tuple(undecided))
        found.append(short)
        panel = _without(behaviour.panel, short.cause)
        behaviour = Behaviour(panel, find_nodes(panel))


def _first(behaviour: Behaviour, undecided: list[OpenQuestion]) -> Short | None:
    """The first loop that can close: settled ones before races."""
    races: list[Short] = []
    certain = certain_of(behaviour)
    for loop, sure in zip(_loops(behaviour), _loops(certain), strict=True):
        answer = certain.prover.can_happen(sure.condition)
        if certain is not behaviour and not isinstance(answer, Reached):
            wide = behaviour.prover.can_happen(loop.condition)
            answer = decided(answer, wide, behaviour.uncertain_coils)
        if isinstance(answer, Undecided):
            undecided.append(_open(behaviour, loop, answer))
        elif isinstance(answer, Reached):
            short = _short(behaviour, loop, answer)
            if short is not None and not short.race:
                return short
            if short is not None:
                races.append(short)
    if behaviour.too_many_ways:
        undecided.append(OpenQuestion("", "", "more ways between sources than are followed"))
    return races[0] if races else None


def _loops(behaviour: Behaviour) -> Iterator[_Loop]:
    """Each loop once: poles on one node, then rails joined by contacts and by sources."""
    yield from _loops_on_one_node(behaviour)
    whole = behaviour.whole
    for pair in whole.rail_pairs():
        for start, end in (pair, pair[::-1]):
            join = whole.rail_join(start, end)
            if join == FALSE:
                continue
            for way in behaviour.ways(end, start, bonds=True):
                if not _drives(way, start, end):
                    continue
                condition = behaviour.logic.both(join, way.condition)
                if condition != FALSE:
                    yield _Loop(start, end, way.volts, condition, way)


def _drives(way: Way, start: int, end: int) -> bool:
    """Whether the sources on the way back drive current from `start` on.

    A loop that meets contacts more than once is seen from each of its joins; it is
    taken from the first.  An AC loop drives either way and is taken once.
    """
    if not way.sources or not way.volts:
        return False
    if any(tuple(sorted(join)) < tuple(sorted((start, end))) for join in way.joins):
        return False
    direct = dc_volts(way.volts)
    if kind_of(way.volts) == "DC":
        return direct > 0
    return start < end


def _loops_on_one_node(behaviour: Behaviour) -> Iterator[_Loop]:
    for index, source in enumerate(behaviour.panel.sources):
        poles = list(source.poles.items())
        for place, (mark, potential) in enumerate(poles):
            for other, there in poles[place + 1 :]:
                node = behaviour.pole_node(index, mark)
                if node == behaviour.pole_node(index, other) and potential != there:
                    volts = add_volts((), ((source.basis, potential - there),))
                    way = Way(volts, behaviour.live(index), (index,), ())
                    yield _Loop(node, node, volts, behaviour.live(index), way)


def _open(behaviour: Behaviour, loop: _Loop, answer: Undecided) -> OpenQuestion:
    start, end = _poles(behaviour, loop)
    return OpenQuestion(start[0], end[0], answer.reason, answer.chattering)


def _short(behaviour: Behaviour, loop: _Loop, answer: Reached) -> Short | None:
    panel, values = behaviour.panel, assignment(behaviour, answer)
    starts, ends = _poles(behaviour, loop)

    def passable(part: Part, forwards: bool) -> bool:
        if part.conducts in (Conducts.LOAD, Conducts.NOTHING):
            return False
        if not forwards and behaviour.one_way(part):
            return False
        return behaviour.logic.evaluate(behaviour.closed(part), values)

    path = walk(panel, starts, ends, passable)
    if path is None:
        return None
    cause = _cause(behaviour, path, starts, ends, passable)
    sources = tuple(panel.sources[index].device for index in loop.way.sources)
    return Short(
        path[0].start,
        path[-1].end,
        loop.volts,
        sources,
        tuple(path),
        cause,
        tell(panel, answer),
        answer.kind == "race",
    )


def _poles(behaviour: Behaviour, loop: _Loop) -> tuple[list[str], list[str]]:
    """The poles that the loop joins, as terminals: where it leaves, and where it comes home."""
    panel = behaviour.panel
    first, last = panel.sources[loop.way.sources[-1]], panel.sources[loop.way.sources[0]]
    if loop.start == loop.end:
        names = [f"{first.device}:{mark}" for mark in first.poles]
        here = [name for name in names if behaviour.node(name) == loop.start]
        return here[:1], here[1:2]
    starts = [f"{first.device}:{mark}" for mark in first.poles]
    ends = [f"{last.device}:{mark}" for mark in last.poles]
    return (
        [name for name in starts if behaviour.node(name) == loop.start],
        [name for name in ends if behaviour.node(name) == loop.end],
    )


def _cause(
    behaviour: Behaviour,
    path: list[Passed],
    starts: list[str],
    ends: list[str],
    passable: object,
) -> Wire | Part:
    panel = behaviour.panel
    cuts = [
        passed.by
        for passed in path
        if _written(panel, passed.by) is not None
        and walk(panel, starts, ends, passable, without=passed.by) is None  # type: ignore[arg-type]
    ]
    if not cuts:
        cuts = [passed.by for passed in path if _written(panel, passed.by) is not None]
    if not cuts:
        return path[-1].by
    fed = _fed_loads(behaviour, None)
    return min(
        cuts,
        key=lambda by: (len(fed - _fed_loads(behaviour, by)), _last_first(panel, by)),
    )


def _written(panel: Panel, by: Wire | Part) -> tuple[int, int] | None:
    """Line and column where a wire or a pass through a part is drawn."""
    span = by.span if isinstance(by, Wire) else panel.chain_spans.get(by.index)
    return (span.line, span.column) if span is not None else None


def _last_first(panel: Panel, by: Wire | Part) -> tuple[int, int]:
    line, column = _written(panel, by) or (0, 0)
    # A device says more than the wire that leads to it: of one line, the device is named.
    return (-line, 0 if isinstance(by, Part) else -column)


def _fed_loads(behaviour: Behaviour, without: Wire | Part | None) -> set[int]:
    """Loads with a way to poles of different potential, were every contact closed."""
    panel = behaviour.panel

    def passable(part: Part, forwards: bool) -> bool:
        if part.conducts in (Conducts.LOAD, Conducts.NOTHING, Conducts.BOND):
            return False
        return behaviour.closed(part) != FALSE and (forwards or not behaviour.one_way(part))

    areas: dict[str, int] = {}
    for source in panel.sources:
        for mark, _ in source.poles.items():
            pole = f"{source.device}:{mark}"
            for terminal in reached(panel, (pole,), passable, without=without):
                areas.setdefault(terminal, 0)
                areas[terminal] |= 1 << _pole_number(panel, pole)
    return {
        part.index
        for part in panel.parts
        if part.load is not None and _different(areas.get(part.a, 0), areas.get(part.b, 0))
    }


def _different(a: int, b: int) -> bool:
    """Whether two different poles can be met, one at each end."""
    return bool(a and b and (a != b or a & (a - 1)))


def _pole_number(panel: Panel, pole: str) -> int:
    number = 0
    for source in panel.sources:
        for mark in source.poles:
            if f"{source.device}:{mark}" == pole:
                return number
            number += 1
    return number


def _without(panel: Panel, cause: Wire | Part) -> Panel:
    if isinstance(cause, Wire):
        return replace(panel, wires=tuple(wire for wire in panel.wires if wire is not cause))
    parts = list(panel.parts)
    parts[cause.index] = replace(cause, conducts=Conducts.NOTHING)
    return replace(panel, parts=tuple(parts))
