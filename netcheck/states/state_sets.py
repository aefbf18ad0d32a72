"""Sets of states of one cone: what finding every reachable state needs of them.

A set is a whole number, 0 the empty one.  Small cones have truth tables (here), larger ones
decision diagrams (`image.py`).  A *set of movers' states* says nothing of the switches.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Protocol

from netcheck.states.cone import Cone
from netcheck.states.expressions import Logic
from netcheck.states.truth_table import Tables, lowest

NONE = 0


class StateSets(Protocol):
    """Sets of the states of one cone.  Movers and switches go by their number in the cone."""

    def of(self, literal: int) -> int:
        """The states in which a literal is true."""

    def all_of(self, literals: Iterable[int]) -> int:
        """The states in which every one of the literals is true."""

    def both(self, a: int, b: int) -> int: ...

    def either(self, a: int, b: int) -> int: ...

    def without(self, a: int, b: int) -> int:
        """What is in the first and not in the second."""

    def flipped(self, states: int, mover: int) -> int:
        """The states with a mover in where it was out, and out where it was in."""

    def at(self, switch: int, position: int) -> int:
        """The states with a switch in a position."""

    def moved(self, states: int, switch: int, before: int, after: int) -> int:
        """The states with a switch moved from one position to another; those elsewhere go."""

    def with_values(self, states: int, values: Mapping[int, bool]) -> int:
        """Those of the states in which these variables have these values."""

    def of_movers(self, states: int) -> int:
        """The set of movers' states that the states have."""

    def together(self, movers: int) -> int:
        """The movers' states after any number of movers have moved in the same instant."""

    def before_together(self, after: Mapping[int, bool], movers: int) -> int:
        """Those of the movers' states from which that leads to the one `after`."""

    def example(self, states: int) -> dict[int, bool]:
        """One state of a set that is not empty, always the same one: a value for each variable."""

    def forget(self) -> None:
        """Let go of what can be made anew."""

    def allow(self, steps: int) -> None:
        """Let so many steps be taken from now on, where they are counted."""

    @property
    def bits(self) -> int:
        """About how many bits one set takes."""


class TableSets:
    """Truth tables, the movers in the low bits of a state's number and the switches' above."""

    def __init__(self, logic: Logic, cone: Cone) -> None:
        self._cone = cone
        self._tables = Tables(logic, cone.variables)
        self._places = {variable: place for place, variable in enumerate(cone.variables)}

    @property
    def bits(self) -> int:
        return 1 << self._tables.count

    def of(self, literal: int) -> int:
        return self._tables.of(literal)

    def all_of(self, literals: Iterable[int]) -> int:
        return self._tables.all_of(literals)

    def both(self, a: int, b: int) -> int:
        return a & b

    def either(self, a: int, b: int) -> int:
        return a | b

    def without(self, a: int, b: int) -> int:
        return a & ~b

    def flipped(self, states: int, mover: int) -> int:
        into = states & self._tables.masks[mover]
        return into >> (1 << mover) | (states ^ into) << (1 << mover)

    def at(self, switch: int, position: int) -> int:
        return self._at[switch, position]

    @cached_property
    def _at(self) -> dict[tuple[int, int], int]:
        found = {}
        for number, switch in enumerate(self._cone.switches):
            for position in range(len(switch.positions)):
                values = switch.values_in(position)
                found[number, position] = self.with_values(self._tables.full, values)
        return found

    def moved(self, states: int, switch: int, before: int, after: int) -> int:
        states &= self._at[switch, before]
        bits = self._cone.switches[switch].bits
        shift = (after - before) << self._places[bits[0]] if bits else 0
        return states << shift if shift > 0 else states >> -shift

    def with_values(self, states: int, values: Mapping[int, bool]) -> int:
        if len(values) == len(self._places):
            return states & 1 << sum(on << self._places[v] for v, on in values.items())
        for variable, value in values.items():
            mask = self._tables.masks[self._places[variable]]
            states &= mask if value else ~mask
        return states

    def of_movers(self, states: int) -> int:
        return self._tables.projected(states, len(self._cone.movers))

    def together(self, movers: int) -> int:
        after = NONE
        for flips, where in self._groups:
            after |= self._spread(movers & where, flips)
        return after

    def before_together(self, after: Mapping[int, bool], movers: int) -> int:
        state = 1 << sum(after[m.mover.state] << place for place, m in enumerate(self._cone.movers))
        for flips, where in self._groups:
            found = self._spread(state, flips) & movers & where
            if found:
                return found
        return NONE

    @cached_property
    def _groups(self) -> list[tuple[tuple[int, ...], int]]:
        """Which movers may move together, and in which movers' states."""
        allowed = self.all_of(self._cone.constraints)
        groups: list[tuple[tuple[int, ...], int]] = [((), allowed)]
        for place, moving in enumerate(self._cone.movers):
            may = self.of(moving.may)
            split = [(flips, states & ~may) for flips, states in groups]
            split += [((*flips, place), states & may) for flips, states in groups]
            groups = [(flips, states) for flips, states in split if states]
        return [(flips, self.of_movers(states)) for flips, states in groups]

    def _spread(self, states: int, flips: Iterable[int]) -> int:
        for place in flips:
            states |= self.flipped(states, place)
        return states

    def example(self, states: int) -> dict[int, bool]:
        number = lowest(states)
        return {variable: bool(number >> at & 1) for variable, at in self._places.items()}

    def forget(self) -> None:
        self._tables.forget()

    def allow(self, steps: int) -> None:
        pass
