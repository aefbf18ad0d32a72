"""Whether something comes about without luck: on a way on which no coil concerned may do either.

In the certain behaviour a coil in doubt stays out, and that it does is luck too.  Not only where
something is met, but all the way there: what once sealed itself in remembers it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from netcheck.record import replace
from netcheck.states.answers import Change, Instant, Reached, Value
from netcheck.states.cone import Slicer
from netcheck.states.proof import Prover

if TYPE_CHECKING:
    from netcheck.states.behaviour import Behaviour


class Luck:
    """Of one behaviour in which coils in doubt stay out."""

    def __init__(self, certain: Behaviour) -> None:
        self._behaviour = certain
        self._machine = certain.machine
        self._logic = certain.logic
        self._provers: dict[tuple[str, ...], Prover] = {}

    def coils(self, bad: int) -> tuple[str, ...]:
        """The coils in doubt that have a say in it, or in whether another of them is in doubt."""
        doubt, found = self._behaviour.doubt, set[str]()
        while doubt:
            literals = [bad, *(doubt[name] for name in found)]
            more = self._slicer.reach(literals) & doubt.keys()
            if more <= found:
                break
            found |= more
        return tuple(name for name in doubt if name in found)

    def way_without(self, coils: tuple[str, ...], bad: int, at: Instant) -> Reached | None:
        """How it comes about whatever those coils do; None where no such way was found."""
        doubts = [self._behaviour.doubt[name] for name in coils]
        firm = self._logic.all_of([bad, *(doubt ^ 1 for doubt in doubts)])
        answer = self._behaviour.prover.can_happen(firm, at=at)
        if not isinstance(answer, Reached) or not any(self._in_doubt(answer, doubts)):
            return answer if isinstance(answer, Reached) else None
        other = self._without(coils).can_happen(firm, at=at)
        if not isinstance(other, Reached) or any(self._in_doubt(other, doubts)):
            return None
        return other if self._waits_for_relays(other, at) else None

    @cached_property
    def _slicer(self) -> Slicer:
        return Slicer(self._machine)

    def _without(self, coils: tuple[str, ...]) -> Prover:
        """Of the same machine with no step into a state in which one of them may do either."""
        if coils not in self._provers:
            held = [self._behaviour.doubt[name] ^ 1 for name in coils]
            constraints = [*self._machine.constraints, *held]
            self._provers[coils] = Prover(replace(self._machine, constraints=constraints))
        return self._provers[coils]

    def _in_doubt(self, way: Reached, doubts: Sequence[int]) -> Iterator[bool]:
        """State by state, whether a coil may do either there or it cannot be told."""
        for state in (way.start, *(step.state for step in way.steps)):
            yield any(self._holds(doubt, state) for doubt in doubts)

    def _waits_for_relays(self, way: Reached, at: Instant) -> bool:
        """Whether nothing is operated, no timer runs out, and nothing is called settled, before a
        relay that must move has: one that was held back would else look as if it had settled."""
        if way.kind == "settled operation":
            here = way.start
            for step in way.steps:
                operated = any(self._waits(change, here) for change in step.changes)
                if operated and self._must_move(here):
                    return False
                here = step.state
        return at == "any instant" or not self._must_move(way.state)

    def _waits(self, change: Change, here: Mapping[str, Value]) -> bool:
        """Whether it comes only once all has settled: an operation, or a timer that runs out."""
        mover = self._machine.movers.get(change.name)
        if mover is None or not mover.timed:
            return mover is None
        return self._holds(self._slicer.dynamics(mover.name).must ^ 1, here)

    def _must_move(self, state: Mapping[str, Value]) -> bool:
        movers = (name for name in state if name in self._machine.movers)
        return any(self._holds(self._slicer.dynamics(name).must, state) for name in movers)

    def _holds(self, literal: int, state: Mapping[str, Value]) -> bool:
        """Also where it hangs on what the state does not name."""
        values: dict[int, bool] = {}
        for name, value in state.items():
            if isinstance(value, str):
                switch = self._machine.switches[name]
                index = switch.positions.index(value)
                values |= switch.values_in(index)
            else:
                values[self._machine.movers[name].state] = value
        if not self._logic.support(literal) <= values.keys():
            return True
        return self._logic.evaluate(literal, values)
