"""Can this happen?  Each question by the way that is likely to be the fastest for its size.

A question of many ways is taken apart.  What depends on few relays and switches is listed,
every state of it, as a truth table.  More are given to induction and to decision diagrams in
turn, first with little work, then with much: the two fail on different circuits.
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
)
from netcheck.states.chatter import RestlessKnot, restless_knots
from netcheck.states.cone import Cone, Slicer
from netcheck.states.machine import Machine
from netcheck.states.reachable import KeptReachable, Reachable
from netcheck.states.state_sets import StateSets, TableSets
from netcheck.states.truth_table import Tables

_KEPT_BITS = 1 << 25

LEAST_STEPS = 80
"""For each variable; diagrams that may take fewer are not begun."""

OUTRIGHT_VARIABLES = 12
"""Up to so many variables, what is assumed is held against a question before anything moves."""


class Prover:
    """Answers questions about one machine, which must not change any more."""

    def __init__(self, machine: Machine, budget: Budget | None = None) -> None:
        self._machine = machine
        self._budget = budget or Budget()
        self._slicer = Slicer(machine)
        self._kept = KeptReachable(_KEPT_BITS)
        self._chatters: dict[RestlessKnot, bool] = {}
        self._in_vain: set[tuple[tuple[str, ...], tuple[str, ...]]] = set()
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
        names = self._slicer.named([literal])
        movers = [name for name in names if name in self._machine.movers]
        return (*names[len(movers) :], *movers)

    def may_move_after(self, names: Iterable[str]) -> frozenset[str]:
        """The movers that may move when these switches do, from where all has settled: what they
        have a say in, and what moves of its own accord, a timer or a mover that never settles."""
        return self._slicer.swayed_by(names) | self._moving_anyway

    @cached_property
    def _moving_anyway(self) -> frozenset[str]:
        timers = [mover.name for mover in self._machine.movers.values() if mover.timed]
        return self._slicer.swayed_by([*timers, *self._knot_of])

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
        """By tables if the cone is small, else by induction and diagrams in turn."""
        if len(cone.variables) <= self._budget.table_variables:
            try:
                return self._listed(self._tables_of(cone), bad, at, same_instant)
            except OutOfBudget:
                pass
        answer: Answer = Undecided("no proof was found within the budget")
        names = tuple(m.mover.name for m in cone.movers), tuple(s.name for s in cone.switches)
        rounds = self._budget.rounds
        if names in self._in_vain and len(rounds) > 1:
            rounds = rounds[:-1]
        for solver_steps, steps in rounds:
            if solver_steps:
                from netcheck.states.induction import Induction

                proofs = Induction(self._machine, self._budget, solver_steps, self._chatterers_of)
                answer = proofs.answer(cone, bad, at, same_instant)
                if not isinstance(answer, Undecided) or answer.chattering:
                    return answer
            if steps and steps >= len(cone.variables) * LEAST_STEPS:
                try:
                    return self._listed(self._diagrams_of(cone, steps), bad, at, same_instant)
                except OutOfBudget:
                    pass
        assert isinstance(answer, Undecided)
        self._in_vain.add(names)
        tried = Budget(rounds=rounds).in_words
        return replace(answer, tried=tried, concerned=(*names[0], *names[1]))

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
        """Whether nothing can make it happen, with switches anywhere at every instant."""
        if len(cone.variables) <= self._budget.table_variables:
            return self._tables_of(cone).is_ruled_out(bad)
        from netcheck.states.induction import Induction

        steps = max((steps for steps, _ in self._budget.rounds), default=0)
        proofs = Induction(self._machine, self._budget, steps, self._chatterers_of)
        return proofs.is_ruled_out(cone, bad)

    def _listed(self, known: Reachable, bad: int, at: Instant, same_instant: bool) -> Answer:
        try:
            return known.answer(bad, at, same_instant)
        finally:
            self._kept.keep(known)

    def _tables_of(self, cone: Cone) -> Reachable:
        known = self._kept.of(cone)
        if known is None:
            sets = TableSets(self._machine.logic, cone)
            most = max(self._budget.table_bits // sets.bits, 1)
            known = self._reachable(cone, sets, most)
        return known

    def _diagrams_of(self, cone: Cone, steps: int) -> Reachable:
        """The diagrams of a cone, with so many steps more to take."""
        known = self._kept.of(cone)
        if known is None:
            from netcheck.states.image import DiagramSets  # only for what tables cannot hold

            sets = DiagramSets(self._machine.logic, cone, steps)
            return self._reachable(cone, sets, steps)
        known.allow(steps)
        return known

    def _reachable(self, cone: Cone, sets: StateSets, most_layers: int) -> Reachable:
        return Reachable(self._machine, cone, lambda: self._chatterers_of(cone), sets, most_layers)

    def _chatterers_of(self, cone: Cone) -> frozenset[str]:
        return self._among_chatterers(moving.mover.name for moving in cone.movers)


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
