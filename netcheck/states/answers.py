"""What the proof engine is asked, within which budget, and what it answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from netcheck.record import record

Instant = Literal["any instant", "settled"]
Value = str | bool
"""A switch's position by name; for a mover, whether it is in."""


@record
class Budget:
    """How much work one question may cost, counted in steps and never in time.

    `whole_variables`: a question about more mover and switch bits is taken apart, way by way.
    `table_variables`: up to so many the states are listed in tables.
    `table_bits`: the most bits all layers of one such list may hold together.
    `rounds`: with more, in turn: so many steps of the solver for each search of an induction,
    then so many results of decision diagrams; 0 leaves that way out.  The first is a glance,
    which costs less than loading the solver.  Where all were in vain, the next question about
    the same relays and switches gets all but the last.
    `depth`: the longest trace looked for directly, in steps.
    """

    whole_variables: int = 17
    table_variables: int = 17
    table_bits: int = 1 << 29
    rounds: tuple[tuple[int, int], ...] = (
        (0, 2_000),
        (2_000_000, 100_000),
        (20_000_000, 700_000),
    )
    depth: int = 24

    @property
    def in_words(self) -> tuple[str, ...]:
        """What is tried on a question too large for tables."""
        solver = max((steps for steps, _ in self.rounds), default=0)
        diagrams = max((steps for _, steps in self.rounds), default=0)
        said = [f"induction with {solver:,} steps of the solver"] * bool(solver)
        return (*said, *[f"decision diagrams with {diagrams:,} steps"] * bool(diagrams))


@record
class Change:
    """One switch or mover going from one value to another."""

    name: str
    before: Value
    after: Value


@record
class Step:
    """What changes at once, and the whole state afterwards.

    In settled operation there is one change.  A race has several switches changing at
    once, or (where the question allows it) several movers in the same instant.
    """

    changes: tuple[Change, ...]
    state: Mapping[str, Value]


@record
class Never:
    """Proved: it cannot happen.

    `how` says by what kind of proof; `clauses` is the size of the invariant, if one was needed.
    "assumptions contradict" means that no state at all is left to consider: no pass.
    """

    how: Literal["logic alone", "enumeration", "invariant", "assumptions contradict"]
    clauses: int = 0


@record
class Reached:
    """It can happen: from `start`, by these steps, of which the last leads to it.

    States name the switches and movers the question depends on; all others are free.
    """

    kind: Literal["settled operation", "race"]
    start: Mapping[str, Value]
    steps: tuple[Step, ...]

    @property
    def state(self) -> Mapping[str, Value]:
        """The state in which it happens."""
        return self.steps[-1].state if self.steps else self.start

    @property
    def in_one_instant(self) -> bool:
        """Whether it takes movers that move in the same instant."""
        return any(
            sum(isinstance(change.after, bool) for change in step.changes) > 1
            for step in self.steps
        )


@record
class Undecided:
    """Neither proved nor shown, for this cause.

    `chattering` names the movers that may never settle, if they are the reason; `hint` is a
    way it would happen as a race or past a chattering mover.  `tried` are the ways of proof
    that gave up, `concerned` the switches and movers that have a say in it.
    """

    cause: str
    chattering: tuple[str, ...] = ()
    hint: Reached | None = None
    tried: tuple[str, ...] = ()
    concerned: tuple[str, ...] = ()

    @property
    def reason(self) -> str:
        """The cause, what it depends on and what was tried, in words."""
        words = [self.cause]
        if self.concerned:
            words.append(f"it depends on {_some(self.concerned)}")
        if self.tried:
            words.append(f"tried: {' and '.join(self.tried)}")
        return "; ".join(words)


_MOST_NAMES = 6


def _some(names: tuple[str, ...]) -> str:
    shown = [f"`{name}`" for name in names]
    if len(shown) > _MOST_NAMES:
        shown = [*shown[: _MOST_NAMES - 1], f"{len(shown) - _MOST_NAMES + 1} more"]
    return " and ".join(filter(None, (", ".join(shown[:-1]), shown[-1])))


Answer = Never | Reached | Undecided


@record
class Chattering:
    """Movers that may never settle, and whether and how a state is reached where they cannot."""

    names: tuple[str, ...]
    answer: Answer


class OutOfBudget(Exception):
    """A proof gave up."""


def may_chatter(names: frozenset[str], hint: Reached) -> Undecided:
    """It happens only past movers that may never settle."""
    ordered = tuple(sorted(names))
    return Undecided(f"{_some(ordered)} may chatter", ordered, hint)
