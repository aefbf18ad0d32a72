"""Sets of states as decision diagrams, for cones too large for tables and too knotted for IC3.

One step is worked out mover by mover: those states in which it may move, with it moved.
Only movers that move in the same instant need the states after beside those before.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property

from netcheck.states.cone import Cone
from netcheck.states.diagrams import Diagrams
from netcheck.states.expressions import Logic

_BITS_OF_A_NODE = 2_000


class DiagramSets:
    """Diagrams in an order in which what has a say in one another stands near."""

    def __init__(self, logic: Logic, cone: Cone, budget: int) -> None:
        """Whatever is asked raises OutOfBudget once so many steps were taken in all."""
        self._logic = logic
        self._cone = cone
        self._states = [moving.mover.state for moving in cone.movers]
        # A mover's state after a step stands right below the one before it.
        self._after = {state: -2 * place for place, state in enumerate(self._states, start=1)}
        order: list[int] = []
        for variable in near_one_another(logic, cone):
            order.append(variable)
            if variable in self._after:
                order.append(self._after[variable])
        self._store = Diagrams(order, budget)
        self._switched = [bit for switch in cone.switches for bit in switch.bits]

    @property
    def bits(self) -> int:
        return len(self._store) * _BITS_OF_A_NODE

    def of(self, literal: int) -> int:
        return self._store.of(self._logic, literal)

    def all_of(self, literals: Iterable[int]) -> int:
        return self._store.all_of([self.of(literal) for literal in literals])

    def both(self, a: int, b: int) -> int:
        return self._store.both(a, b)

    def either(self, a: int, b: int) -> int:
        return self._store.either(a, b)

    def without(self, a: int, b: int) -> int:
        return self._store.both(a, b ^ 1)

    def flipped(self, states: int, mover: int) -> int:
        variable = self._states[mover]
        return self._store.composed(states, {variable: self._store.variable(variable) ^ 1})

    def at(self, switch: int, position: int) -> int:
        return self._store.product(self._coded(switch, position))

    def moved(self, states: int, switch: int, before: int, after: int) -> int:
        bits = self._cone.switches[switch].bits
        there = self._store.both_exists(states, self.at(switch, before), bits)
        return self._store.both(there, self.at(switch, after))

    def _coded(self, switch: int, position: int) -> list[int]:
        bits = enumerate(self._cone.switches[switch].bits)
        return [bit ^ 1 ^ (position >> place & 1) for place, bit in bits]

    def with_values(self, states: int, values: Mapping[int, bool]) -> int:
        return self._store.both(states, self._store.product(v ^ 1 ^ on for v, on in values.items()))

    def of_movers(self, states: int) -> int:
        return self._store.exists(states, self._switched)

    def together(self, movers: int) -> int:
        store, reached = self._store, movers
        for part, gone in self._relation:
            reached = store.both_exists(reached, part, gone)
        names = {after: before for before, after in self._after.items()}
        return store.renamed(reached, names)

    def before_together(self, after: Mapping[int, bool], movers: int) -> int:
        store = self._store
        before = self.all_of(self._cone.constraints)
        for moving in self._cone.movers:
            state = moving.mover.state
            stays = store.product([state ^ 1 ^ after[state]])
            before = store.both(before, store.either(stays, self.of(moving.may)))
        return store.both(self.of_movers(before), movers)

    @cached_property
    def _relation(self) -> list[tuple[int, list[int]]]:
        """Parts to be joined one after the other, and the variables that then are done with."""
        store = self._store
        parts = [self.all_of(self._cone.constraints)]
        for moving in self._cone.movers:
            state = moving.mover.state
            stays = store.equal(store.variable(state), store.variable(self._after[state]))
            parts.append(store.either(stays, self.of(moving.may)))
        last = dict.fromkeys((*self._switched, *self._states), 0)
        for place, part in enumerate(parts):
            last.update(dict.fromkeys(store.support(part) & last.keys(), place))
        return [(part, [v for v in last if last[v] == place]) for place, part in enumerate(parts)]

    def example(self, states: int) -> dict[int, bool]:
        found = self._store.example(states)
        assert found is not None, "an empty set has no state"
        return {variable: found.get(variable, False) for variable in self._cone.variables}

    def allow(self, steps: int) -> None:
        self._store.allow(steps)

    def forget(self) -> None:
        self._store.forget()


def near_one_another(logic: Logic, cone: Cone) -> list[int]:
    """The cone's variables, each mover after what it depends on, from the first mover on."""
    needs = {m.mover.state: sorted(logic.support(m.may) - {m.mover.state}) for m in cone.movers}
    bits = {bit: switch.bits for switch in cone.switches for bit in switch.bits}
    found: dict[int, None] = {}
    met: set[int] = set()
    for first in (*needs, *bits):
        todo = [first]
        while todo:
            here = todo.pop()
            if here in met:
                found.setdefault(here)
                continue
            met.add(here)
            if here in bits:
                found.update(dict.fromkeys(bits[here]))
                continue
            todo.append(here)
            todo += [there for there in reversed(needs.get(here, [])) if there not in met]
    return list(found)
