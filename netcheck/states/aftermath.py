"""What follows one operation, with nothing else touched: the relays run after it by themselves.

An expression is carried forward: some switches are put where the operation puts them, and
relays are moved in rounds, all that must move at once, each timer as if it had run out.
What is found so is played through again, one relay at a time, before it is believed.
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.machine import Machine

ROUNDS = 6
"""So many relays in a row that pull in one after the other are followed."""


class Aftermath:
    """One operation on one machine in which all has settled: these switches go to these positions.

    `may_move` are the movers that can move after it (`Prover.may_move_after`); all others stay
    as they are, and are not followed.
    """

    def __init__(
        self, machine: Machine, moved: Mapping[str, int], may_move: frozenset[str]
    ) -> None:
        self._machine = machine
        self._moved = {
            bit: TRUE if position >> place & 1 else FALSE
            for name, position in moved.items()
            for place, bit in enumerate(machine.switches[name].bits)
        }
        self._names = {machine.movers[name].state: name for name in may_move}
        self.moving = frozenset((*self._moved, *self._names))
        """The variables of what may move."""
        self._known: dict[tuple[int, int], int] = {}

    def of(self, literal: int, rounds: int = ROUNDS) -> int:
        """The literal that is true before the operation where this one is true after it."""
        logic = self._machine.logic
        after = {
            variable: self._state(self._names[variable], rounds)
            for variable in sorted(logic.support(literal))
            if variable in self._names
        }
        return logic.substitute(literal, {**self._moved, **after})

    def _state(self, name: str, rounds: int) -> int:
        """A mover's state after so many rounds, told by what was before the operation."""
        mover = self._machine.movers[name]
        if rounds == 0:
            return mover.state
        key = mover.state, rounds
        if key not in self._known:
            logic, motion = self._machine.logic, self._machine.motions[name]
            rise = motion.may_rise if mover.timed else motion.must_rise
            fall = motion.may_fall if mover.timed else motion.must_fall
            before = self._state(name, rounds - 1)
            rises, falls = self.of(rise, rounds - 1), self.of(fall, rounds - 1)
            stays = logic.both(before, falls ^ 1)
            self._known[key] = logic.either(stays, logic.both(rises, falls ^ 1))
        return self._known[key]


def played(
    machine: Machine, values: Mapping[int, bool], moved: Mapping[str, int]
) -> tuple[dict[int, bool], tuple[str, ...]] | None:
    """The same, from one state, one relay at a time in the order of the panel; timers last.

    `values` are the variables' values before.  Returns those after, and the movers in the
    order they moved; None if they do not come to rest.
    """
    from netcheck.states.playing import Playing

    return Playing(machine).after(values, moved)
