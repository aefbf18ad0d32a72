"""The satisfiability solver MiniSat 2.2, straight from python-sat's compiled part.

python-sat's own module of solvers imports much that is not used here, which costs a small
review 15 ms.  What it does for this solver stands here, and a test holds the two equal.
The compiled part is no public interface, so python-sat's version is pinned.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence


class MiniSat:
    """One solver; it keeps its model and its core while clauses are added."""

    def __init__(self) -> None:
        import pysolvers

        self._calls = pysolvers
        self._solver = pysolvers.minisat22_new()
        self._verdict: bool | None = None

    def add_clause(self, clause: Sequence[int]) -> None:
        self.add_clauses((clause,))

    def add_clauses(self, clauses: Iterable[Sequence[int]]) -> None:
        """As `add_clause` for each: questions are thousands of clauses."""
        add, solver = self._calls.minisat22_add_cl, self._solver
        for clause in clauses:
            if add(solver, clause) is False:
                self._verdict = False

    def conf_budget(self, budget: int) -> None:
        """How many conflicts the next call may cost."""
        self._calls.minisat22_cbudget(self._solver, budget)

    def step_budget(self, budget: int) -> None:
        """How many propagations the next call may cost."""
        self._calls.minisat22_pbudget(self._solver, budget)

    @property
    def steps(self) -> int:
        """How many propagations all calls have cost so far: the same on every machine."""
        return int(self._calls.minisat22_acc_stats(self._solver)["propagations"])

    def solve_limited(
        self, assumptions: Sequence[int] = (), *, expect_interrupt: bool = False
    ) -> bool | None:
        """Whether the clauses can be met under the assumptions; None if out of budget."""
        # Only in the main thread can the solver be left by Ctrl-C.
        main = threading.current_thread() is threading.main_thread()
        self._verdict = self._calls.minisat22_solve_lim(
            self._solver, assumptions, int(main), int(expect_interrupt)
        )
        return self._verdict

    def get_model(self) -> list[int] | None:
        """A value for each variable by its sign; None if the last answer was not yes."""
        return self._calls.minisat22_model(self._solver) or [] if self._verdict else None

    def get_core(self) -> list[int] | None:
        """Assumptions that cannot be met together; None if the last answer was not no."""
        return self._calls.minisat22_core(self._solver) if self._verdict is False else None

    def delete(self) -> None:
        """Free the solver, which then answers nothing any more."""
        if self._solver is not None:
            self._calls.minisat22_del(self._solver)
            self._solver = None
