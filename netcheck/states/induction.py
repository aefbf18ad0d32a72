"""The way by proof: clauses that every step keeps (IC3), and the sorting of what they allow.

First everything is allowed that could make it happen: switches anywhere at every instant.
What cannot happen then, never happens.  What can is looked for in settled operation, one
switch moved at a time once every relay has settled: found there, it is an ordinary state;
ruled out there, it is a race.  Where many things have to move, that way is played before all.
"""

from __future__ import annotations

from collections.abc import Callable

from netcheck.record import replace
from netcheck.states.answers import (
    Answer,
    Budget,
    Instant,
    Never,
    OutOfBudget,
    Reached,
    Undecided,
    may_chatter,
)
from netcheck.states.bounded import shortest
from netcheck.states.cone import Cone
from netcheck.states.ic3 import Invariant, Way, check, prove
from netcheck.states.machine import Machine
from netcheck.states.many_at_once import played_way, straight_way
from netcheck.states.question import Question
from netcheck.states.solver import Meter
from netcheck.states.system import Reading, System
from netcheck.states.trace import Assignment, operated, race

Chatterers = Callable[[Cone], frozenset[str]]


class Induction:
    """Proofs about one machine; each search may cost so many steps of the solver."""

    def __init__(
        self, machine: Machine, budget: Budget, steps: int, chatterers: Chatterers
    ) -> None:
        self._machine = machine
        self._budget = budget
        self._steps = steps
        self._chatterers_of = chatterers

    def is_ruled_out(self, cone: Cone, bad: int) -> bool:
        """Whether the first proof alone rules it out."""
        question = Question(self._machine, cone, bad, "any instant", frozenset())
        try:
            return not isinstance(self._search(System(question, "any moment")), Way)
        except OutOfBudget:
            return False

    def answer(self, cone: Cone, bad: int, at: Instant, same_instant: bool) -> Answer:
        """A way that is found by playing, where it is surely the shortest or no search ends."""
        way = straight_way(self._machine, cone, bad, at)
        if way is not None:
            return way
        answer = self._searched_for(cone, bad, at, same_instant)
        if isinstance(answer, Undecided) and not answer.chattering:
            return played_way(self._machine, cone, bad, at) or answer
        return answer

    def _searched_for(self, cone: Cone, bad: int, at: Instant, same_instant: bool) -> Answer:
        chatterers = self._chatterers_of(cone) if at == "settled" else frozenset()
        question = Question(self._machine, cone, bad, at, chatterers)
        reading: Reading = "same instant" if same_instant else "any moment"
        try:
            first = self._search(System(question, reading))
        except OutOfBudget:
            return Undecided("no proof was found within the budget")
        if first is None:
            return Never("assumptions contradict")
        if isinstance(first, Invariant):
            size = len(first.cubes)
            return Never("invariant", size) if size else Never("logic alone")
        question = replace(question, chatterers=self._chatterers_of(cone))
        return self._classified(question, first, same_instant)

    def _classified(self, question: Question, first: Way, same_instant: bool) -> Answer:
        try:
            found = self._operated(question, "operated strictly")
            if found is not None:
                return found
            if question.chatterers:
                found = self._operated(question, "operated loosely")
                if found is not None:
                    return may_chatter(question.chatterers, found)
        except OutOfBudget:
            hint = self._race(question, first, same_instant)
            return Undecided(
                "it can happen, but whether only as a race was not proved within the budget",
                hint=hint,
            )
        return self._race(question, first, same_instant)

    def _operated(self, question: Question, reading: Reading) -> Reached | None:
        """A way by settled operation, the shortest if it is short; None if there is none."""
        system = System(question, reading)
        try:
            proof = self._search(system)
        except OutOfBudget:
            direct = shortest(system, self._budget.depth, self._meter())
            if direct is None:
                raise
            return operated(question.cone, direct)
        if not isinstance(proof, Way):
            return None
        return operated(question.cone, self._shorter(system, proof))

    def _shorter(self, system: System, way: Way) -> list[Assignment]:
        """A shortest way, if it can be within the depth looked at directly."""
        depth = min(self._budget.depth, len(way.instants) - 2)
        if depth < way.least_steps:
            return way.instants
        try:
            return shortest(system, depth, self._meter()) or way.instants
        except OutOfBudget:
            return way.instants

    def _race(self, question: Question, first: Way, same_instant: bool) -> Reached:
        """The way the first proof found; one mover at a time if it can happen so."""
        way: Invariant | Way | None = first
        if same_instant:
            try:
                way = self._search(System(question, "any moment"))
            except OutOfBudget:
                way = first
        instants = way.instants if isinstance(way, Way) else first.instants
        wanted = question.wanted(strict=False)
        return race(self._machine.logic, question.cone, instants, wanted)

    def _search(self, system: System) -> Invariant | Way | None:
        found = prove(system, self._meter())
        if isinstance(found, Invariant):
            check(system, found, self._meter())
        return found

    def _meter(self) -> Meter:
        return Meter(self._steps)
