"""Can this happen?  The first proof, and the sorting of what it cannot rule out.

First everything is allowed that could make it happen: switches anywhere at every instant.
What cannot happen then, never happens.  What can is looked for in settled operation, one
switch moved at a time once every relay has settled: found there, it is an ordinary state;
ruled out there, it is a race.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from netcheck.record import replace
from netcheck.states.alternatives import alternatives, grouped
from netcheck.states.answers import (
    Answer,
    Budget,
    Chattering,
    Instant,
    Never,
    OutOfBudget,
    Reached,
    Undecided,
    may_chatter,
)
from netcheck.states.bounded import shortest
from netcheck.states.chatter import RestlessKnot, restless_knots
from netcheck.states.cone import Cone, Slicer
from netcheck.states.explicit import Enumeration, KeptEnumerations
from netcheck.states.ic3 import Invariant, Way, check, prove
from netcheck.states.machine import Machine
from netcheck.states.question import Question
from netcheck.states.solver import Meter
from netcheck.states.system import Reading, System
from netcheck.states.trace import Assignment, operated, race
from netcheck.states.truth_table import Tables

_KEPT_BITS = 1 << 25

OUTRIGHT_VARIABLES = 12
"""Up to so many variables, what is assumed is held against a question before anything moves."""


class Prover:
    """Answers questions about one machine, which must not change any more."""

    def __init__(self, machine: Machine, budget: Budget | None = None) -> None:
        self._machine = machine
        self._budget = budget or Budget()
        self._slicer = Slicer(machine)
        self._enumerations = KeptEnumerations(_KEPT_BITS)
        self._chatters: dict[RestlessKnot, bool] = {}
        self._known: dict[tuple[int, Instant, bool], Answer] = {}

    def can_happen(
        self, bad: int, *, at: Instant = "any instant", same_instant: bool = False
    ) -> Answer:
        """Whether a state in which the literal `bad` is true can be reached, and how.

        At "any instant" the states passed through while relays settle count; "settled"
        counts only those in which nothing wants to move and every switch rests.  With
        `same_instant`, two relays moving in the same instant count as a race too.
        """
        key = bad, at, same_instant
        if key not in self._known:
            self._known[key] = self._find_out(bad, at, same_instant)
        return self._known[key]

    def _find_out(self, bad: int, at: Instant, same_instant: bool) -> Answer:
        if self._excluded_outright(bad):
            return Never("logic alone")
        cone = self._slicer.cone([bad])
        if len(cone.variables) > self._budget.whole_variables:
            logic = self._machine.logic
            parts = grouped(logic, self._slicer, alternatives(logic, bad))
            if len(parts) > 1:
                return self._of_parts(parts, at, same_instant)
        return self._answered(cone, bad, at, same_instant)

    def _of_parts(self, parts: list[int], at: Instant, same_instant: bool) -> Answer:
        """The answer about several ways it can happen, each asked by itself."""
        answers: list[Answer] = []
        for part in parts:
            answer = self.can_happen(part, at=at, same_instant=same_instant)
            if _weight(answer) == 0:
                return answer
            answers.append(answer)
        return min(answers, key=_weight)

    def _excluded_outright(self, bad: int) -> bool:
        """Whether what is assumed of the very variables in `bad` already rules it out.

        Two contactors that a mechanical interlock holds apart need no proof that looks at
        what moves them; on small panels it spares loading the solver.
        """
        logic = self._machine.logic
        support = logic.support(bad)
        near = [held for held in self._machine.constraints if logic.support(held) & support]
        variables = support.union(*(logic.support(held) for held in near))
        if len(variables) > OUTRIGHT_VARIABLES or not self.something_starts:
            return False
        tables = Tables(logic, sorted(variables))
        return not tables.all_of(near) & tables.of(bad)

    @cached_property
    def something_starts(self) -> bool:
        """Whether some start meets all that is assumed; False also where that is not small."""
        machine, logic = self._machine, self._machine.logic
        concerned = frozenset[int]().union(*map(logic.support, machine.constraints))
        starts = [
            machine.in_positions(switch, switch.start)
            for switch in machine.switches.values()
            if concerned.intersection(switch.bits)
        ]
        starts += [
            mover.state ^ (not mover.start)
            for mover in machine.movers.values()
            if mover.state in concerned and mover.start is not None
        ]
        variables = concerned.union(*map(logic.support, starts))
        if len(variables) > OUTRIGHT_VARIABLES:
            return False
        return bool(Tables(logic, sorted(variables)).all_of([*machine.constraints, *starts]))

    def depends_on(self, literal: int) -> tuple[str, ...]:
        """Names of the switches and movers that have a say in it."""
        cone = self._slicer.cone([literal])
        movers = [moving.mover.name for moving in cone.movers]
        return (*(switch.name for switch in cone.switches), *movers)

    @cached_property
    def possible_chatterers(self) -> frozenset[str]:
        """Names of the movers that may never settle, in some state that can be reached."""
        return self._among_chatterers(self._machine.movers)

    def chattering(self) -> tuple[Chattering, ...]:
        """Every knot of movers that may never settle, with the way to where it cannot."""
        found = []
        for knot in self._restless_knots:
            if self._may_chatter(knot):
                answer: Answer = Undecided("too many relays depend on each other to tell")
                if knot.stuck is not None:
                    cone, stuck = self._around(knot, knot.stuck)
                    answer = self._answered(cone, stuck, "any instant", same_instant=False)
                found.append(Chattering(tuple(sorted(knot.names)), answer))
        return tuple(found)

    def _answered(self, cone: Cone, bad: int, at: Instant, same_instant: bool) -> Answer:
        size = len(cone.variables)
        if size <= self._budget.table_variables:
            try:
                return self._enumerated(cone, bad, at, same_instant)
            except OutOfBudget:
                pass
        answer = self._proved(cone, bad, at, same_instant)
        gave_up = isinstance(answer, Undecided) and not answer.chattering
        if gave_up and size <= self._budget.last_resort_variables:
            try:
                return self._enumerated(cone, bad, at, same_instant)
            except OutOfBudget:
                pass
        return answer

    @cached_property
    def _restless_knots(self) -> tuple[RestlessKnot, ...]:
        return restless_knots(self._machine, self._slicer)

    @cached_property
    def _knot_of(self) -> dict[str, RestlessKnot]:
        return {name: knot for knot in self._restless_knots for name in knot.names}

    def _among_chatterers(self, names: Iterable[str]) -> frozenset[str]:
        known = self._knot_of
        return frozenset(n for n in names if n in known and self._may_chatter(known[n]))

    def _may_chatter(self, knot: RestlessKnot) -> bool:
        """Whether, switches being anywhere at every instant, the knot can get stuck."""
        known = self._chatters.get(knot)
        if known is None:
            known = knot.stuck is None or not self._is_ruled_out(*self._around(knot, knot.stuck))
            self._chatters[knot] = known
        return known

    def _around(self, knot: RestlessKnot, stuck: int) -> tuple[Cone, int]:
        """What the knot depends on, and where it is stuck though all else has come to rest."""
        members = [self._machine.movers[name].state for name in sorted(knot.names)]
        cone = self._slicer.cone([stuck, *members])
        others = [m.must ^ 1 for m in cone.movers if m.mover.name not in self._knot_of]
        return cone, self._machine.logic.all_of([stuck, *others])

    def _is_ruled_out(self, cone: Cone, bad: int) -> bool:
        """Whether the first proof alone rules it out."""
        if len(cone.variables) <= self._budget.table_variables:
            return self._enumeration(cone).is_ruled_out(bad)
        question = Question(self._machine, cone, bad, "any instant", frozenset())
        try:
            return not isinstance(self._search(System(question, "any moment")), Way)
        except OutOfBudget:
            return False

    def _enumerated(self, cone: Cone, bad: int, at: Instant, same_instant: bool) -> Answer:
        known = self._enumeration(cone)
        try:
            return known.answer(bad, at, same_instant)
        finally:
            self._enumerations.keep(known)

    def _enumeration(self, cone: Cone) -> Enumeration:
        return self._enumerations.of(cone) or Enumeration(
            self._machine, cone, lambda: self._chatterers_of(cone), self._budget.table_bits
        )

    def _proved(self, cone: Cone, bad: int, at: Instant, same_instant: bool) -> Answer:
        chatterers = self._chatterers_of(cone) if at == "settled" else frozenset()
        question = Question(self._machine, cone, bad, at, chatterers)
        reading: Reading = "same instant" if same_instant else "any moment"
        try:
            first = self._search(System(question, reading))
        except OutOfBudget:
            return Undecided("the first proof did not finish in its budget")
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
                "it can happen, but whether only as a race was not proved in the budget",
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

    def _chatterers_of(self, cone: Cone) -> frozenset[str]:
        return self._among_chatterers(moving.mover.name for moving in cone.movers)

    def _meter(self) -> Meter:
        return Meter(self._budget.conflicts, self._budget.calls)


def _weight(answer: Answer) -> int:
    """Which of several answers about the ways it can happen is the answer: the lowest."""
    match answer:
        case Reached(kind="settled operation"):
            return 0
        case Undecided():
            return 1
        case Reached():
            return 2
        case Never(how="assumptions contradict"):
            return 3
    return 4
