"""Loads whose current comes home by ground: by grounding conductor, bond or metal part.

Compared are two sets of paths: circuit conductors alone, and those with all that is
bonded to them.  A state in which only the second energises a load is one in which the
grounding conductors carry its current.  If the load's own end is landed on a conductor
of another source, and only the bonds between the two close the circuit, it is that
landing which is wrong.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.freed import Freed
from netcheck.facts.load_feeds import (
    Condition,
    LoadFeed,
    LoadFeeds,
    ask,
    energised,
    is_settled,
    never,
)
from netcheck.model.devices import Conducts, Part, SourcePart, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passable, Passed, walk
from netcheck.record import record
from netcheck.states.answers import Reached, Undecided
from netcheck.states.behaviour import Volts, Way, dc_volts, in_band
from netcheck.states.witness import Witness, assignment, tell


@record
class ImproperReturn:
    """One load, the state that shows it, and its current's whole path from pole to pole.

    `pole` is where the path by circuit conductors ends: a pole of another source, or
    empty where it ends on ground.  `always`: no circuit conductor ever brings it home.
    """

    load: LoadFeed
    sent_by: str
    volts: Volts
    path: tuple[Passed, ...]
    pole: str
    leaves: Passed
    witness: Witness
    always: bool


@record
class ImproperReturns:
    found: tuple[ImproperReturn, ...]
    undecided: tuple[tuple[LoadFeed, str], ...]

    def of(self, load: LoadFeed) -> ImproperReturn | None:
        return next((one for one in self.found if one.load is load), None)


@concludes(LoadFeeds, Freed)
def find_improper_returns(view: View) -> ImproperReturns:
    freed = view[Freed]
    touching = _islands_with_bonds(freed.behaviour)
    found: list[ImproperReturn] = []
    undecided: list[tuple[LoadFeed, str]] = []
    for load in view[LoadFeeds].loads:
        if load.dead or _near(freed.behaviour, load, touching):
            answer = ask(freed.behaviour, freed.certain, _only_by_ground(load), load.at)
            if isinstance(answer, Undecided):
                undecided.append((load, answer.reason))
            elif isinstance(answer, Reached) and is_settled(answer):
                found += _returns_of(freed, load, answer)
    return ImproperReturns(tuple(found), tuple(undecided))


def _islands_with_bonds(behaviour: Behaviour) -> set[int]:
    """The islands of circuit conductors that a bond touches other than at a pole."""
    nodes = {
        behaviour.node(end)
        for part in behaviour.panel.parts
        if part.conducts is Conducts.BOND
        for end in (part.a, part.b)
    }
    return {behaviour.circuit.island(node) for node in nodes - behaviour.rails}


def _near(behaviour: Behaviour, load: LoadFeed, islands: set[int]) -> bool:
    ends = {end for part in load.parts for end in (part.a, part.b)}
    nodes = {behaviour.node(end) for end in ends} - behaviour.rails
    return any(behaviour.circuit.island(node) in islands for node in nodes)


def _only_by_ground(load: LoadFeed) -> Condition:
    def condition(behaviour: Behaviour) -> int:
        proper = energised(load.parts)(behaviour)
        return behaviour.logic.both(_energised_by_ground(behaviour, load.parts), proper ^ 1)

    return condition


def _returns_of(freed: Freed, load: LoadFeed, answer: Reached) -> Iterator[ImproperReturn]:
    behaviour = freed.behaviour
    values = assignment(behaviour, answer)
    always = never(ask(behaviour, freed.certain, energised(load.parts), load.at))
    for part in load.parts:
        for source, volts, path in _paths(behaviour, part, values):
            leaving = _first_bond(path)
            if leaving is not None:
                pole, last = _landing(behaviour, path, leaving, source)
                witness = tell(behaviour.panel, answer)
                yield ImproperReturn(load, source.device, volts, path, pole, last, witness, always)
                return


def _energised_by_ground(behaviour: Behaviour, parts: tuple[Part, ...]) -> int:
    """When all parts have their voltage, bonds and grounding conductors counted as wire."""
    return behaviour.logic.all_of(
        [
            behaviour.logic.any_of([condition for _, _, condition in _feeds(behaviour, part)])
            for part in parts
        ]
    )


def _feeds(behaviour: Behaviour, part: Part) -> Iterator[tuple[int, Way, int]]:
    """Ways to feed a load at a voltage it is made for: the rail at its `a`, the way, when."""
    whole, both = behaviour.whole, behaviour.logic.both
    a, b = behaviour.node(part.a), behaviour.node(part.b)
    assert part.load is not None
    for p in whole.rails_at(a) if a != b else ():
        for q in whole.rails_at(b):
            for way in behaviour.ways(q, p, bonds=True) if p != q else ():
                if not in_band(way.volts, part.load):
                    continue
                if dc_volts(way.volts) < 0:
                    path = both(whole.to_rail(a, p), whole.from_rail(b, q))
                else:
                    path = both(whole.from_rail(a, p), whole.to_rail(b, q))
                yield p, way, both(path, way.condition)


def _paths(
    behaviour: Behaviour, part: Part, values: dict[int, bool]
) -> Iterator[tuple[SourcePart, Volts, tuple[Passed, ...]]]:
    """Whole paths that feed a load in one state, from a source's pole to another of its poles."""
    panel = behaviour.panel
    on_circuit, anywhere = _passable(behaviour, values, False), _passable(behaviour, values, True)
    for _, way, condition in _feeds(behaviour, part):
        if not behaviour.logic.evaluate(condition, values):
            continue
        for source in (panel.sources[index] for index in dict.fromkeys(way.sources)):
            poles = [f"{source.device}:{mark}" for mark in _hot_first(source)]
            for start, end in ((part.a, part.b), (part.b, part.a)):
                out = walk(panel, poles[:-1], [start], on_circuit)
                if out is None:
                    out = walk(panel, poles[:-1], [start], anywhere)
                if out is None:
                    continue
                homes = [pole for pole in poles if not out or pole != out[0].start]
                back = walk(panel, [end], homes, anywhere)
                if back is not None:
                    yield source, way.volts, (*out, Passed(start, end, part), *back)


def _hot_first(source: SourcePart) -> list[str]:
    """Its poles, those that are grounded or at zero last."""

    def order(mark: str) -> tuple[bool, bool]:
        return mark == source.grounded_pole, source.poles[mark] == 0

    return sorted(source.poles, key=order)


def _passable(behaviour: Behaviour, values: dict[int, bool], bonds: bool) -> Passable:
    def passable(part: Part, forwards: bool) -> bool:
        if part.conducts in (Conducts.LOAD, Conducts.NOTHING):
            return False
        if part.conducts is Conducts.BOND and not bonds:
            return False
        if not forwards and behaviour.one_way(part):
            return False
        return behaviour.logic.evaluate(behaviour.closed(part), values)

    return passable


def _first_bond(path: tuple[Passed, ...]) -> int | None:
    """Where the path leaves the circuit conductors."""
    for place, passed in enumerate(path):
        if isinstance(passed.by, Part) and passed.by.conducts is Conducts.BOND:
            return place
    return None


def _landing(
    behaviour: Behaviour, path: tuple[Passed, ...], bond: int, own: SourcePart
) -> tuple[str, Passed]:
    """The other source's pole the path is landed on, if any, and what is passed last before it."""
    others = {
        behaviour.node(f"{source.device}:{mark}"): f"{source.device}:{mark}"
        for source in behaviour.panel.sources
        if source is not own
        for mark in source.poles
    }
    load = next(i for i, passed in enumerate(path) if _is_load(passed))
    before = range(load + 1, bond + 1) if load < bond else range(bond + 1)
    for place in before:
        pole = others.get(behaviour.node(path[place].start))
        if pole is not None:
            here = path[place] if isinstance(path[place].by, Wire) else path[max(place - 1, 0)]
            return pole, here
    for place in before:
        if _is_grounding(behaviour.panel, path[place].end):
            return "", path[place]
    return "", path[max(bond - 1, 0)]


def _is_grounding(panel: Panel, terminal: str) -> bool:
    """Whether a terminal is there for grounding: a frame's, a bar's, a bond's."""
    device = panel.devices[device_of(terminal)]
    bonds = all(panel.parts[index].conducts is Conducts.BOND for index in device.parts)
    return mark_of(terminal) == "PE" or (bonds and bool(device.parts))


def _is_load(passed: Passed) -> bool:
    return isinstance(passed.by, Part) and passed.by.conducts is Conducts.LOAD
