"""One machine played through: a switch is moved, then relays follow one at a time until none must.

What was worked out before is kept: after an operation only those relays are looked at again
whose conditions name something that moved.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.machine import Machine, Mover

MOST_MOVES = 200


class Playing:
    """Plays one machine, whose motions change no more."""

    def __init__(self, machine: Machine) -> None:
        self._machine = machine
        self._movers = list(machine.movers.values())
        self._wishes = [_Wish(machine, mover) for mover in self._movers]
        self._told_by: dict[int, list[int]] = {}
        """For each variable, the movers that have to be looked at when it changes."""
        for place, wish in enumerate(self._wishes):
            for variable in wish.variables:
                self._told_by.setdefault(variable, []).append(place)
        self._seen: dict[int, bool] = {}
        """The values that were looked at last, and the movers that then must move, or may."""
        self._must: set[int] = set()
        self._may: set[int] = set()

    def after(
        self, values: Mapping[int, bool], moved: Mapping[str, int]
    ) -> tuple[dict[int, bool], tuple[str, ...]] | None:
        """From one state, in the order of the panel; timers last.

        `values` are the variables' values before.  Returns those after, and the movers in the
        order they moved; None if they do not come to rest.
        """
        now = dict(values)
        for name, position in moved.items():
            now.update(self._machine.switches[name].values_in(position))
        self._look(now)
        order: list[str] = []
        for _ in range(MOST_MOVES):
            mover = self._next()
            if mover is None:
                return now, tuple(order)
            now[mover.state] ^= True
            self._look(now, (mover.state,))
            order.append(mover.name)
        return None

    def _next(self) -> Mover | None:
        """The first mover that must move, else the first timer that may."""
        willing = self._must or self._may
        return self._movers[min(willing)] if willing else None

    def _look(self, now: Mapping[int, bool], changed: Iterable[int] | None = None) -> None:
        """Note what wants to move; `changed` are the variables that differ from what was seen."""
        if not self._seen:
            places: Iterable[int] = range(len(self._movers))
        else:
            if changed is None:
                changed = [name for name, value in now.items() if self._seen.get(name) != value]
            places = {place for name in changed for place in self._told_by.get(name, ())}
        for place in places:
            must, may = self._wishes[place].now(now)
            (self._must.add if must else self._must.discard)(place)
            (self._may.add if may else self._may.discard)(place)
        for name in now if changed is None else changed:
            self._seen[name] = now[name]


class _Wish:
    """When one mover must move, and when as a timer it may."""

    def __init__(self, machine: Machine, mover: Mover) -> None:
        logic, motion = machine.logic, machine.motions[mover.name]
        self._state, self._timed = mover.state, mover.timed
        self._must = _Known(logic, motion.must_rise), _Known(logic, motion.must_fall)
        self._may = _Known(logic, motion.may_rise), _Known(logic, motion.may_fall)
        asked = (*self._must, *(self._may if mover.timed else ()))
        self.variables = frozenset((mover.state, *(v for one in asked for v in one.variables)))

    def now(self, values: Mapping[int, bool]) -> tuple[bool, bool]:
        into = values[self._state]
        must = self._must[into].now(values)
        return must, self._timed and (must or self._may[into].now(values))


class _Known:
    """A literal whose gates are in order already."""

    def __init__(self, logic: Logic, literal: int) -> None:
        self._literal = literal
        self.variables = logic.support(literal)
        self._gates = [(gate, *logic.operands(gate)) for gate in logic.gates([literal])]

    def now(self, values: Mapping[int, bool]) -> bool:
        if self._literal <= TRUE:
            return self._literal == TRUE
        known = {name: values[name] for name in self.variables}
        known[FALSE] = False
        for gate, a, b in self._gates:
            known[gate] = known[a & ~1] != bool(a & 1) and known[b & ~1] != bool(b & 1)
        return known[self._literal & ~1] != bool(self._literal & 1)
