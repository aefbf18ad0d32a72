"""Where many have to move, a way is played first: to prove it the shortest is to count.

That sixteen contactors are all in takes sixteen steps, one for each.  Induction would show first
that no fifteen steps are enough, and as it cannot count it rules out every choice of contactors
by itself: their number doubles with each contactor more (a principle of pigeonholes, A. Haken,
"The intractability of resolution", 1985, from memory).  What has to move can be counted outright.
A way that moves nothing else is a shortest one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from netcheck.states.answers import Instant, Reached
from netcheck.states.cone import Cone
from netcheck.states.directed import DirectedSamples
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.machine import Machine, Switch
from netcheck.states.playing import Playing
from netcheck.states.trace import Assignment, operated

MANY = 6
"""So many things that must move make induction slow; with fewer it is as quick as this."""
COUNTED = 12
"""A way is sure to be a shortest one up to so many steps.  Where more are needed any will do."""


def straight_way(machine: Machine, cone: Cone, bad: int, at: Instant) -> Reached | None:
    """A way by settled operation to where `bad` is true, the shortest if it is short, if many have
    to move and power-up with switches standing as it wants leads there.  None says nothing."""
    needed = changes_needed(machine, cone, bad)
    way = played_way(machine, cone, bad, at) if needed >= MANY else None
    if way is None or (len(way.steps) > needed and needed < COUNTED):
        return None
    return way


def played_way(machine: Machine, cone: Cone, bad: int, at: Instant) -> Reached | None:
    """The same, however few have to move, and perhaps a longer way than another."""
    instants = _Played(machine, cone, bad, at).way()
    return None if instants is None else operated(cone, instants)


def changes_needed(machine: Machine, cone: Cone, bad: int) -> int:
    """Every way to where `bad` is true has at least so many steps."""
    logic = machine.logic
    movers = {moving.mover.state: moving for moving in cone.movers}
    fewest: dict[str, int] = {}
    todo = [bad]
    while todo:
        surely = {member & ~1: not member & 1 for member in logic.members(todo.pop())}
        for variable, value in surely.items():
            moving = movers.get(variable)
            if moving is None or moving.mover.start is not (not value):
                continue
            if moving.mover.name not in fewest:
                fewest[moving.mover.name] = 1
                start = {variable: TRUE if moving.mover.start else FALSE}
                todo.append(logic.substitute(moving.may, start))
        for switch in cone.switches:
            if not surely.keys().isdisjoint(switch.bits):
                moves = _moves_needed(switch, surely)
                fewest[switch.name] = max(moves, fewest.get(switch.name, 0))
    return sum(fewest.values())


def _moves_needed(switch: Switch, surely: Mapping[int, bool]) -> int:
    """How many operations bring it from a start to a position with these bits; 0 if none can."""
    wanted = {
        position
        for position in range(len(switch.positions))
        if all(surely.get(bit, on) == on for bit, on in switch.values_in(position).items())
    }
    there, moves = set(switch.start), 0
    while wanted and not there & wanted:
        further = there | {after for before, after in switch.moves if before in there}
        if further == there:
            return 0
        there, moves = further, moves + 1
    return moves


class _Played:
    """Power-ups of the part of a machine that has a say in one question."""

    def __init__(self, machine: Machine, cone: Cone, bad: int, at: Instant) -> None:
        self._logic = machine.logic
        self._cone = cone
        self._bad = bad
        self._at = at
        last_comes = [s.name for s in cone.switches if len(s.positions) - 1 not in s.start]
        self._samples = DirectedSamples(machine, last_comes, bad)
        self._states = {name: mover.state for name, mover in self._samples.machine.movers.items()}
        self._playing = Playing(self._samples.machine)

    def way(self) -> list[Assignment] | None:
        """Its instants, with switches left at rest that need not stand otherwise."""
        start = self._samples.start_of(self._bad)
        if start is None:
            return None
        way = self._played(start)
        for switch in self._cone.switches if way is not None else ():
            calm = {**start, **switch.values_in(min(switch.start & switch.resting))}
            shorter = self._played(calm) if calm != start else None
            if way is not None and shorter is not None and len(shorter) <= len(way):
                start, way = calm, shorter
        return way

    def _played(self, start: Mapping[int, bool]) -> list[Assignment] | None:
        instants: list[Assignment] = []
        for now in self._instants({name: start[name] for name in self._cone.variables}):
            if not all(self._logic.evaluate(held, now) for held in self._cone.constraints):
                return None
            instants.append(now)
            if self._is_there(now):
                return instants
        return None

    def _instants(self, now: dict[int, bool]) -> Iterator[Assignment]:
        """From a start on, as sources come one after the other, and relays settle after each."""
        for switch in (None, *self._samples.coming):
            if switch is not None:
                now = {**now, **switch.values_in(len(switch.positions) - 1)}
            yield now
            settled = self._playing.after(now, {})
            if settled is None:
                return
            for name in settled[1]:
                state = self._states[name]
                now = {**now, state: not now[state]}
                yield now

    def _is_there(self, now: Assignment) -> bool:
        if not self._logic.evaluate(self._bad, now):
            return False
        if self._at != "settled":
            return True
        return not any(self._logic.evaluate(one.must, now) for one in self._cone.movers)
