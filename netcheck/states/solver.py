"""The satisfiability solver, loaded at the first question that needs it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Protocol

from netcheck.states.answers import OutOfBudget
from netcheck.states.expressions import FALSE, Logic
from netcheck.states.reduction import reduced
from netcheck.states.truth_table import Tables

TRUE = 1
"""The solver literal that is always true."""

_TABLE_VARIABLES = 16
"""Up to so many, all assignments are looked at, and no solver is loaded."""
_STEPS = 20_000_000
CALL_STEPS = 500
"""What a call costs before its first step, in steps."""


class Solver(Protocol):
    """What is used of a solver.  It must keep its model and core while clauses are added."""

    def add_clause(self, clause: Sequence[int]) -> object: ...
    def add_clauses(self, clauses: Iterable[Sequence[int]]) -> object: ...
    def step_budget(self, budget: int) -> None: ...
    @property
    def steps(self) -> int: ...
    def solve_limited(
        self, assumptions: Sequence[int] = ..., *, expect_interrupt: bool = ...
    ) -> bool | None: ...
    def get_model(self) -> list[int] | None: ...
    def get_core(self) -> list[int] | None: ...
    def delete(self) -> None: ...


class Meter:
    """Counts the steps of a solver against a budget; each call counts as many besides."""

    def __init__(self, steps: int) -> None:
        self._left = steps

    def solve(self, solver: Solver, assumptions: Sequence[int]) -> bool:
        """Whether it can be satisfied; OutOfBudget if that would cost too much."""
        self._left -= CALL_STEPS
        if self._left < 0:
            raise OutOfBudget
        before = solver.steps
        solver.step_budget(self._left)
        verdict = solver.solve_limited(assumptions, expect_interrupt=False)
        self._left -= solver.steps - before
        if verdict is None:
            raise OutOfBudget
        return verdict


class Formula:
    """Clauses being written down; literals are +n and -n, and 1 is always true."""

    def __init__(self) -> None:
        self.count = TRUE
        self.clauses: list[Sequence[int]] = []

    def fresh(self) -> int:
        """A new variable."""
        self.count += 1
        return self.count

    def add(self, clause: Sequence[int]) -> None:
        """Demand that one of these be true."""
        self.clauses.append(clause)

    def both(self, a: int, b: int) -> int:
        """A literal equal to a AND b."""
        if a == TRUE or b == -TRUE:
            return b
        if b == TRUE or a == -TRUE:
            return a
        made = self.fresh()
        self.clauses += ((-made, a), (-made, b), (made, -a, -b))
        return made

    def either(self, a: int, b: int) -> int:
        """A literal equal to a OR b."""
        return -self.both(-a, -b)

    def differs(self, a: int, b: int) -> int:
        """A literal equal to a XOR b."""
        if abs(b) == TRUE:
            return -a if b == TRUE else a
        made = self.fresh()
        self.clauses += ((-made, a, b), (-made, -a, -b), (made, -a, b), (made, a, -b))
        return made

    def all_of(self, literals: Iterable[int]) -> int:
        """A literal equal to the AND of them."""
        wanted = {literal: None for literal in literals if literal != TRUE}
        if -TRUE in wanted:
            return -TRUE
        if len(wanted) < 2:
            return next(iter(wanted), TRUE)
        made = self.fresh()
        self.clauses += ((-made, literal) for literal in wanted)
        self.clauses.append((made, *(-literal for literal in wanted)))
        return made

    def at_most_one(self, literals: Sequence[int]) -> None:
        """Demand that no two of them be true."""
        before = -TRUE
        for place, literal in enumerate(literals):
            self.add((-before, -literal))
            if place < len(literals) - 1:
                here = self.fresh()
                self.clauses += ((-before, here), (-literal, here))
                before = here


class Renaming:
    """What a formula's literals are called in a solver it was copied into."""

    __slots__ = ("_names",)

    def __init__(self, positive: list[int]) -> None:
        # Index n is the name of n and index -n, counted from the end, that of -n.
        self._names = [0, *positive, *(-name for name in reversed(positive))]

    def of(self, literal: int) -> int:
        return self._names[literal]

    def clauses(self, clauses: Iterable[Sequence[int]]) -> Iterator[list[int]]:
        names = self._names
        return ([names[literal] for literal in clause] for clause in clauses)


class Clauses:
    """A solver being filled with clauses."""

    def __init__(self) -> None:
        from netcheck.states.minisat import MiniSat

        self.solver: Solver = MiniSat()
        self._count = TRUE
        self.add([TRUE])

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

    def copy(self, formula: Formula, shared: Mapping[int, int]) -> Renaming:
        """Add a formula under new names, but for the variables `shared` with what is here."""
        names = [TRUE]
        for variable in range(TRUE + 1, formula.count + 1):
            names.append(shared[variable] if variable in shared else self.fresh())
        renaming = Renaming(names)
        self.solver.add_clauses(renaming.clauses(formula.clauses))
        return renaming


def value(model: list[int], literal: int) -> bool:
    """A literal's value in a model; a variable in no clause counts as false."""
    place = abs(literal) - 1
    return (place < len(model) and model[place] > 0) == (literal > 0)


class Writer:
    """Expressions written into a formula: each gate once, when first asked for."""

    def __init__(self, formula: Formula, logic: Logic) -> None:
        self._formula = formula
        self._logic = logic
        self._known: dict[int, int] = {FALSE: -TRUE}

    def of(self, literal: int) -> int:
        """The formula's literal for an expression."""
        node = literal & ~1
        if node not in self._known:
            for gate in self._logic.gates([node], self._known):
                a, b = self._logic.operands(gate)
                self._known[gate] = self._formula.both(self._signed(a), self._signed(b))
        return self._signed(literal)

    def all_of(self, literals: Iterable[int]) -> int:
        """The formula's literal for the AND of expressions."""
        return self._formula.all_of([self.of(literal) for literal in literals])

    def _signed(self, literal: int) -> int:
        node = literal & ~1
        if node not in self._known:  # a variable met for the first time
            self._known[node] = self._formula.fresh()
        return -self._known[node] if literal & 1 else self._known[node]


def satisfiable(logic: Logic, literals: Sequence[int], steps: int = _STEPS) -> bool | None:
    """Whether some assignment makes all the literals true; None if that costs too much."""
    literals = reduced(logic, literals)
    variables = sorted(set().union(*(logic.support(literal) for literal in literals)))
    if len(variables) <= _TABLE_VARIABLES:
        return Tables(logic, variables).all_of(literals) != 0
    formula = Formula()
    wanted = Writer(formula, logic).all_of(literals)
    with Clauses() as clauses:
        goal = clauses.copy(formula, {}).of(wanted)
        try:
            return Meter(steps).solve(clauses.solver, [goal])
        except OutOfBudget:
            return None
