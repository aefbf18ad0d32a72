"""The solver as it is called here, against python-sat's own class for it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from pysat.solvers import Minisat22

from netcheck.states.minisat import MiniSat

VARIABLES = 6
LITERALS = st.sampled_from([sign * n for n in range(1, VARIABLES + 1) for sign in (1, -1)])
CLAUSES = st.lists(st.lists(LITERALS, min_size=1, max_size=3), max_size=25)
ASSUMPTIONS = st.lists(st.lists(LITERALS, max_size=4, unique_by=abs), min_size=1, max_size=3)
NO_BUDGET = 1


@contextmanager
def solver() -> Iterator[MiniSat]:
    made = MiniSat()
    yield made
    made.delete()


@given(CLAUSES, ASSUMPTIONS, CLAUSES)
def test_verdicts_models_and_cores_are_those_of_python_sat(
    clauses: list[list[int]], questions: list[list[int]], more: list[list[int]]
) -> None:
    with solver() as ours, Minisat22() as theirs:
        each: tuple[Any, Any] = (ours, theirs)
        for added in (clauses, more):
            for clause in added:
                for one in each:
                    one.add_clause(clause)
                assert ours.get_model() == theirs.get_model()
                assert ours.get_core() == theirs.get_core()
            for assumptions in questions:
                expected = theirs.solve_limited(assumptions)
                assert expected == ours.solve_limited(assumptions)
                assert ours.get_model() == theirs.get_model()
                assert ours.get_core() == theirs.get_core()


def pigeons(birds: int) -> list[list[int]]:
    """More birds than holes, each bird in a hole: hard to refute."""
    holes = birds - 1
    somewhere = [[bird * holes + hole + 1 for hole in range(holes)] for bird in range(birds)]
    alone = [
        [-(one * holes + hole + 1), -(other * holes + hole + 1)]
        for hole in range(holes)
        for one in range(birds)
        for other in range(one)
    ]
    return somewhere + alone


def test_a_budget_of_few_conflicts_leaves_a_hard_question_open() -> None:
    with solver() as one:
        for clause in pigeons(9):
            one.add_clause(clause)
        one.conf_budget(NO_BUDGET)
        assert (None, None, None) == (one.solve_limited(), one.get_model(), one.get_core())


def test_a_solver_is_freed_only_once() -> None:
    one = MiniSat()
    one.delete()
    one.delete()
