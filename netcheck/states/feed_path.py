"""The path of a load's current, as it is walked: from a pole, through the load, and home."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from netcheck.model.devices import Conducts, Part
from netcheck.model.wires import Wire
from netcheck.network.traces import Passable, Passed, needed, walk
from netcheck.record import record
from netcheck.states.behaviour import Behaviour
from netcheck.states.volts import Volts, dc_volts


@record
class Circuit:
    """A load between poles of sources: those at its `a`, those at its `b`, and the volts of
    the first against the others."""

    load: Part
    poles_a: tuple[str, ...]
    poles_b: tuple[str, ...]
    volts: Volts


def feed_path(
    behaviour: Behaviour,
    circuit: Circuit,
    values: Mapping[int, bool],
    *,
    bonds: bool = False,
    without: Wire | Part | None = None,
    through_loads: frozenset[int] = frozenset(),
) -> tuple[Passed, ...] | None:
    """A short path through the load in the state `values`, no place twice; None if none is found.

    It begins at the pole that DC leaves, or on AC at the one that is not grounded.
    With `bonds`, ground carries current too.  `without` is a wire or part to do without;
    other loads are passed only if they are among `through_loads` (indexes of parts).
    """
    load = circuit.load
    starts, ends, entered, left = _direction(behaviour, circuit)
    passable = _passable(behaviour, load, values, bonds, through_loads)

    def leg(
        starts: Iterable[str], ends: Iterable[str], taken: Iterable[Passed]
    ) -> list[Passed] | None:
        free = _past(behaviour, passable, taken)
        return walk(behaviour.panel, starts, ends, free, without=without)

    out = leg(starts, (entered,), ())
    home = None if out is None else leg((left,), ends, out)
    if home is None:
        home = leg((left,), ends, ())
        out = None if home is None else leg(starts, (entered,), home)
    if out is None or home is None:
        return None
    return (*out, Passed(entered, left, load), *home)


def path_in(behaviour: Behaviour, load: Part, values: Mapping[int, bool]) -> tuple[Passed, ...]:
    """How a load is fed in a state with no other load in the path; empty if it is not."""
    for feed in behaviour.feeds(load):
        if behaviour.logic.evaluate(feed.condition, values):
            poles = poles_at(behaviour, feed.rail_a), poles_at(behaviour, feed.rail_b)
            return feed_path(behaviour, Circuit(load, *poles, feed.volts), values) or ()
    return ()


def needed_for(
    behaviour: Behaviour,
    circuit: Circuit,
    values: Mapping[int, bool],
    path: Sequence[Passed],
) -> list[Wire | Part]:
    """What of a path through the load no other path avoids, be it by ground."""
    starts, ends, _, _ = _direction(behaviour, circuit)
    passable = _passable(behaviour, circuit.load, values, bonds=True)
    at = next(place for place, passed in enumerate(path) if passed.by is circuit.load)
    out = [Passed(one.end, one.start, one.by) for one in reversed(path[:at])]

    def backwards(part: Part, forwards: bool) -> bool:
        return passable(part, not forwards)

    before = needed(behaviour.panel, out, starts, backwards)
    return [*reversed(before), *needed(behaviour.panel, path[at + 1 :], ends, passable)]


def poles_at(behaviour: Behaviour, rail: int) -> tuple[str, ...]:
    """The poles of sources that stand on a rail, as terminals."""
    return tuple(
        terminal
        for source in behaviour.panel.sources
        for pole in source.poles
        if behaviour.node(terminal := f"{source.device}:{pole}") == rail
    )


def _passable(
    behaviour: Behaviour,
    load: Part,
    values: Mapping[int, bool],
    bonds: bool,
    through_loads: frozenset[int] = frozenset(),
) -> Passable:
    """What counts as wire in a state, and the loads to be passed."""
    closed: dict[int, bool] = {}

    def passable(part: Part, forwards: bool) -> bool:
        if part.load is not None:
            return part.index != load.index and part.index in through_loads
        if part.conducts is Conducts.NOTHING or (part.conducts is Conducts.BOND and not bonds):
            return False
        if not forwards and behaviour.one_way(part):
            return False
        if part.index not in closed:
            closed[part.index] = behaviour.logic.evaluate(behaviour.closed(part), values)
        return closed[part.index]

    return passable


def _past(behaviour: Behaviour, passable: Passable, taken: Iterable[Passed]) -> Passable:
    """Passable, but for parts that lead to a place already taken."""
    places = {
        behaviour.node(end)
        for passed in taken
        if isinstance(passed.by, Part)
        for end in (passed.start, passed.end)
    }

    def free(part: Part, forwards: bool) -> bool:
        a, b = behaviour.node(part.a), behaviour.node(part.b)
        return (a == b or (b if forwards else a) not in places) and passable(part, forwards)

    return free


def _direction(
    behaviour: Behaviour, circuit: Circuit
) -> tuple[tuple[str, ...], tuple[str, ...], str, str]:
    """The poles that the current is told to leave and to come home to, the terminal by which
    it enters the load and the one by which it leaves."""
    load, direct = circuit.load, dc_volts(circuit.volts)
    outward = direct > 0 if direct else not _grounded(behaviour).intersection(circuit.poles_a)
    if outward:
        return circuit.poles_a, circuit.poles_b, load.a, load.b
    return circuit.poles_b, circuit.poles_a, load.b, load.a


def _grounded(behaviour: Behaviour) -> set[str]:
    return {
        f"{source.device}:{source.grounded_pole}"
        for source in behaviour.panel.sources
        if source.grounded_pole
    }
