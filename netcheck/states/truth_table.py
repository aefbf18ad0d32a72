"""Truth tables as whole numbers: bit i is the value in state number i.

State number i has variable k true where bit k of i is set.  All operations on sets of
states are then single operations on big whole numbers.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from netcheck.states.expressions import FALSE, TRUE, Logic


@lru_cache(maxsize=32)
def masks(count: int) -> tuple[int, ...]:
    """For each of `count` variables, the table of the variable itself."""
    size = 1 << count
    made = []
    for k in range(count):
        block = ((1 << (1 << k)) - 1) << (1 << k)
        width = 2 << k
        while width < size:
            block |= block << width
            width *= 2
        made.append(block)
    return tuple(made)


class Tables:
    """The truth tables of expressions over an ordered list of variables."""

    __slots__ = ("_known", "_logic", "_variables", "count", "full", "masks")

    def __init__(self, logic: Logic, variables: list[int]) -> None:
        self._logic = logic
        self.count = len(variables)
        self.full = (1 << (1 << self.count)) - 1
        self.masks = masks(self.count)
        self._variables = variables
        self._known: dict[int, int] = {}
        self.forget()

    def of(self, literal: int) -> int:
        """The states in which the literal is true."""
        known, full = self._known, self.full
        if literal & ~1 not in known:
            for gate in self._logic.gates([literal], known):
                a, b = self._logic.operands(gate)
                left, right = known[a & ~1], known[b & ~1]
                known[gate] = (left ^ full if a & 1 else left) & (right ^ full if b & 1 else right)
        table = known[literal & ~1]
        return table ^ full if literal & 1 else table

    def forget(self) -> None:
        """Let go of the tables of gates, which are made anew when asked for."""
        self._known = {FALSE: 0, **dict(zip(self._variables, self.masks, strict=True))}

    def all_of(self, literals: Iterable[int]) -> int:
        """The states in which every one of the literals is true."""
        table = self.full
        for literal in literals:
            table &= self.of(literal)
        return table

    def written(self, states: int) -> int:
        """A literal that is true in exactly these states."""
        known: dict[tuple[int, int], int] = {}

        def write(table: int, count: int) -> int:
            if table in (0, (1 << (1 << count)) - 1):
                return FALSE if table == 0 else TRUE
            literal = known.get((table, count))
            if literal is None:
                size = 1 << (count - 1)
                low, high = (
                    write(table & (1 << size) - 1, count - 1),
                    write(table >> size, count - 1),
                )
                literal = self._logic.choose(self._variables[count - 1], high, low)
                known[table, count] = literal
            return literal

        return write(states, self.count)

    def flipped(self, states: int, variable: int) -> int:
        """The states with variable number `variable` changed."""
        step, mask = 1 << variable, self.masks[variable]
        return (states & mask) >> step | (states & ~mask) << step

    def projected(self, states: int, first: int) -> int:
        """The values of the variables below number `first` that some of the states have."""
        for variable in range(self.count - 1, first - 1, -1):
            size = 1 << variable
            states = states >> size | states & (1 << size) - 1
        return states


def lowest(states: int) -> int:
    """The number of the first state of a set that is not empty."""
    return (states & -states).bit_length() - 1
