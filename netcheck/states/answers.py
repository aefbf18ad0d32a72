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
    `table_variables`: up to so many mover and switch bits the states are enumerated.
    `last_resort_variables`: up to so many they are, where the proof gave up.
    `table_bits`: the most bits all layers of one enumeration may hold together.
    `depth`: the longest trace looked for directly, in steps.
    `conflicts`: solver conflicts within one call; `calls`: solver calls within one proof.
    """

    whole_variables: int = 17
    table_variables: int = 17
    last_resort_variables: int = 20
    table_bits: int = 1 << 29
    depth: int = 24
    conflicts: int = 20_000
    calls: int = 20_000


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


@record
class Undecided:
    """Neither proved nor shown.  `chattering` names the movers that may never settle, if they
    are the reason; `hint` is a way it would happen as a race or past a chattering mover."""

    reason: str
    chattering: tuple[str, ...] = ()
    hint: Reached | None = None


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
    return Undecided(f"may chatter: {', '.join(ordered)}", ordered, hint)
