"""A question as clauses: the state now, what may be asked of it, the state after one step.

The state after is a function of the state now and of free *requests*; a request that the
rules do not allow changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Literal

from netcheck.record import record
from netcheck.states.machine import Switch
from netcheck.states.question import Question
from netcheck.states.solver import TRUE, Clauses, Formula, Renaming, Writer, value
from netcheck.states.trace import Assignment

Reading = Literal["any moment", "same instant", "operated strictly", "operated loosely"]
"""How states are reached.

"any moment": switches may be anywhere at every step, movers flip one at a time.
"same instant": the same, but any number of movers may flip together.
"operated": one switch moves at a time, after the movers have settled; "loosely" when movers
that may never settle are not waited for.
"""


@record
class Moment:
    """One instant in a solver: literals of the variables now and after the step."""

    now: Mapping[int, int]
    after: Mapping[int, int]
    inputs: tuple[int, ...]
    allowed: int
    bad: int

    def renamed(self, names: Renaming) -> Moment:
        return Moment(
            {variable: names.of(literal) for variable, literal in self.now.items()},
            {variable: names.of(literal) for variable, literal in self.after.items()},
            tuple(names.of(literal) for literal in self.inputs),
            names.of(self.allowed),
            names.of(self.bad),
        )

    def read(self, model: list[int], variables: Iterable[int]) -> dict[int, bool]:
        """The variables' values now in a model."""
        return {variable: value(model, self.now[variable]) for variable in variables}

    def read_after(self, model: list[int]) -> dict[int, bool]:
        """The state variables' values after the step in a model."""
        return {variable: value(model, literal) for variable, literal in self.after.items()}


class System:
    """One reading of a question."""

    def __init__(self, question: Question, reading: Reading) -> None:
        self.question = question
        self.logic = question.machine.logic
        self.cone = question.cone
        self._formula = Formula()
        self._operated = reading.startswith("operated")
        self._one_at_a_time = reading != "same instant"
        strict = reading == "operated strictly"
        self.wanted = question.wanted(strict)
        self._settled = question.settled(strict)
        movers = [moving.mover for moving in self.cone.movers]
        self.variables = [mover.state for mover in movers]
        self.starts: list[tuple[tuple[int, ...], frozenset[int]]] = [
            ((m.state,), frozenset((0, 1) if m.start is None else (int(m.start),))) for m in movers
        ]
        if self._operated:
            self.variables += [bit for switch in self.cone.switches for bit in switch.bits]
            self.starts += [(switch.bits, switch.start) for switch in self.cone.switches]

    def moment(self, clauses: Clauses, now: Mapping[int, int] | None = None) -> Moment:
        """Put one instant into a solver, with the state now given or free."""
        pattern = self._pattern
        shared = {pattern.now[variable]: name for variable, name in (now or {}).items()}
        return pattern.renamed(clauses.copy(self._formula, shared))

    @cached_property
    def _pattern(self) -> Moment:
        """One instant, as it stands in the formula that is copied for each."""
        formula, writer = self._formula, Writer(self._formula, self.logic)
        here = {variable: writer.of(variable) for variable in self.cone.variables}
        settled = writer.all_of(self._settled) if self._operated else TRUE
        after, requests = self._flips(formula, writer, settled)
        inputs: list[int] = []
        for switch in self.cone.switches:
            if self._operated:
                requests += self._operations(formula, writer, settled, switch, after)
            else:
                inputs += [here[bit] for bit in switch.bits]
        if self._one_at_a_time:
            formula.at_most_one(requests)
        allowed = writer.all_of(self.cone.constraints)
        bad = writer.all_of(self.wanted)
        return Moment(here, after, (*inputs, *requests), allowed, bad)

    def start_clauses(self, moment: Moment) -> list[list[int]]:
        """Clauses that hold exactly in the states it starts in, assumptions aside."""
        found = []
        for bits, codes in self.starts:
            literals = [moment.now[bit] for bit in bits]
            for code in range(1 << len(bits)):
                if code not in codes:
                    found.append([-x if code >> k & 1 else x for k, x in enumerate(literals)])
        return found

    def starts_in(self, fixed: Mapping[int, bool]) -> dict[int, bool] | None:
        """A start state with these variables so (assumptions aside), or None."""
        state: dict[int, bool] = {}
        for bits, codes in self.starts:
            for code in sorted(codes):
                values = {bit: bool(code >> place & 1) for place, bit in enumerate(bits)}
                if all(fixed.get(bit, value) == value for bit, value in values.items()):
                    state |= values
                    break
            else:
                return None
        return state

    def _flips(
        self, formula: Formula, writer: Writer, settled: int
    ) -> tuple[dict[int, int], list[int]]:
        after: dict[int, int] = {}
        requests = []
        for moving in self.cone.movers:
            request = formula.fresh()
            may = writer.of(moving.may)
            if moving.mover.timed and self._operated:
                may = formula.both(may, formula.either(writer.of(moving.must), settled))
            flips = formula.both(request, may)
            state = moving.mover.state
            after[state] = formula.differs(writer.of(state), flips)
            requests.append(request)
        return after, requests

    def _operations(
        self,
        formula: Formula,
        writer: Writer,
        settled: int,
        switch: Switch,
        after: dict[int, int],
    ) -> list[int]:
        machine = self.question.machine
        requests, done = [], []
        for before, _ in sorted(switch.moves):
            request = formula.fresh()
            there = writer.of(machine.position(switch, before))
            done.append(formula.all_of([request, settled, there]))
            requests.append(request)
        stays = formula.all_of(-made for made in done)
        for place, bit in enumerate(switch.bits):
            sets = [
                made
                for made, (_, position) in zip(done, sorted(switch.moves), strict=True)
                if position >> place & 1
            ]
            kept = formula.both(stays, writer.of(bit))
            after[bit] = -formula.all_of([-kept, *(-made for made in sets)])
        return requests


def instants(moments: Iterable[Moment], variables: list[int], model: list[int]) -> list[Assignment]:
    """The values of the variables at each of several moments of one model."""
    return [moment.read(model, variables) for moment in moments]
