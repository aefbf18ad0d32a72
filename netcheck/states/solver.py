"""The satisfiability solver, loaded at the first question that needs it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from importlib import import_module
from typing import Protocol, cast

from netcheck.states.answers import OutOfBudget
from netcheck.states.expressions import FALSE, Logic
from netcheck.states.truth_table import Tables

SOLVER = "Minisat22"
_TABLE_VARIABLES = 12
_CONFLICTS = 20_000


class Solver(Protocol):
    """What is used of python-sat's solvers."""

    def add_clause(self, clause: Sequence[int]) -> object: ...
    def conf_budget(self, budget: int) -> None: ...
    def solve_limited(
        self, assumptions: Sequence[int] = ..., *, expect_interrupt: bool = ...
    ) -> bool | None: ...
    def get_model(self) -> list[int] | None: ...
    def get_core(self) -> list[int] | None: ...
    def delete(self) -> None: ...


class Meter:
    """Counts solver calls against a budget."""

    def __init__(self, conflicts: int, calls: int) -> None:
        self._conflicts = conflicts
        self._calls = calls

    def solve(self, solver: Solver, assumptions: Sequence[int]) -> bool:
        """Whether it can be satisfied; OutOfBudget if that would cost too much."""
        self._calls -= 1
        if self._calls < 0:
            raise OutOfBudget
        solver.conf_budget(self._conflicts)
        verdict = solver.solve_limited(assumptions, expect_interrupt=False)
        if verdict is None:
            raise OutOfBudget
        return verdict


class Clauses:
    """A solver being filled with clauses; its literals are +n and -n."""

    def __init__(self) -> None:
        self.solver = cast(Solver, getattr(import_module("pysat.solvers"), SOLVER)())
        self._count = 1
        self.true = 1
        self.add([1])

    def __enter__(self) -> Clauses:
        return self

    def __exit__(self, *_: object) -> None:
        self.solver.delete()

    def fresh(self) -> int:
        """A new variable."""
        self._count += 1
        return self._count

    def add(self, clause: Sequence[int]) -> None:
        """Demand that one of these be true."""
        self.solver.add_clause(clause)

    def both(self, a: int, b: int) -> int:
        """A literal equal to a AND b."""
        return self.all_of((a, b))

    def either(self, a: int, b: int) -> int:
        """A literal equal to a OR b."""
        return -self.all_of((-a, -b))

    def differs(self, a: int, b: int) -> int:
        """A literal equal to a XOR b."""
        made = self.fresh()
        for clause in ((-made, a, b), (-made, -a, -b), (made, -a, b), (made, a, -b)):
            self.add(clause)
        return made

    def all_of(self, literals: Iterable[int]) -> int:
        """A literal equal to the AND of them."""
        wanted = [literal for literal in dict.fromkeys(literals) if literal != self.true]
        if -self.true in wanted:
            return -self.true
        if not wanted:
            return self.true
        if len(wanted) == 1:
            return wanted[0]
        made = self.fresh()
        for literal in wanted:
            self.add((-made, literal))
        self.add([made] + [-literal for literal in wanted])
        return made

    def at_most_one(self, literals: Sequence[int]) -> None:
        """Demand that no two of them be true."""
        before = -self.true
        for place, literal in enumerate(literals):
            self.add((-before, -literal))
            if place < len(literals) - 1:
                here = self.fresh()
                self.add((-before, here))
                self.add((-literal, here))
                before = here


def value(model: list[int], literal: int) -> bool:
    """A literal's value in a model; a variable in no clause counts as false."""
    place = abs(literal) - 1
    return (place < len(model) and model[place] > 0) == (literal > 0)


class Frame:
    """One instant's expressions inside a solver: each gate written once, when first asked for."""

    def __init__(self, clauses: Clauses, logic: Logic) -> None:
        self._clauses = clauses
        self._logic = logic
        self._known: dict[int, int] = {FALSE: -clauses.true}

    def put(self, variable: int, literal: int) -> None:
        """Let a variable of the expressions be this solver literal."""
        self._known[variable] = literal

    def of(self, literal: int) -> int:
        """The solver literal for an expression."""
        known = self._known
        node = literal & ~1
        if node not in known:
            self._write(node)
        return self._signed(literal)

    def all_of(self, literals: Iterable[int]) -> int:
        """The solver literal for the AND of expressions."""
        return self._clauses.all_of(self.of(literal) for literal in literals)

    def _write(self, node: int) -> None:
        for gate in self._logic.gates([node], self._known):
            a, b = self._logic.operands(gate)
            self._known[gate] = self._clauses.both(self._signed(a), self._signed(b))

    def _signed(self, literal: int) -> int:
        node = literal & ~1
        if node not in self._known:  # a variable met for the first time
            self._known[node] = self._clauses.fresh()
        return -self._known[node] if literal & 1 else self._known[node]


def satisfiable(logic: Logic, literals: Sequence[int], conflicts: int = _CONFLICTS) -> bool | None:
    """Whether some assignment makes all the literals true; None if that costs too much."""
    variables = sorted(set().union(*(logic.support(literal) for literal in literals)))
    if len(variables) <= _TABLE_VARIABLES:
        return Tables(logic, variables).all_of(literals) != 0
    with Clauses() as clauses:
        frame = Frame(clauses, logic)
        assumptions = [frame.of(literal) for literal in literals]
        try:
            return Meter(conflicts, 1).solve(clauses.solver, assumptions)
        except OutOfBudget:
            return None
