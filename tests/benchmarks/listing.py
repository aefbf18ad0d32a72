"""Explicit search, for comparison: every state of a whole machine listed one by one.

It answers what `Prover` is asked, by the plain reading of the second opinions, and keeps
nothing but the states.  Where there are more than `MOST_STATES` it does not begin.
"""

from __future__ import annotations

import math
from functools import cached_property
from itertools import product

from netcheck.states.answers import Answer, Instant, Never, Reached
from netcheck.states.machine import Machine
from tests.second_opinion.step_by_step import State, StepByStep

MOST_STATES = 1 << 16


class TooManyStates(Exception):
    """Not listed: says how many switches, relays and states there are."""


def count_of(machine: Machine) -> int:
    """How many states there are before it is asked which are reached."""
    positions = math.prod(len(switch.positions) for switch in machine.switches.values())
    return positions << len(machine.movers)


class Listing:
    """A prover of one machine.  Its answers have no steps; TooManyStates where it is too large."""

    def __init__(self, machine: Machine) -> None:
        count = count_of(machine)
        if count > MOST_STATES:
            raise TooManyStates(
                f"not begun: {len(machine.switches)} switches and {len(machine.movers)} relays have"
                f" {count:.1e} states"
            )
        self._machine = machine
        self._plain = StepByStep(machine, (*machine.switches, *machine.movers))

    @cached_property
    def operated(self) -> list[State]:
        """Those that settled operation passes."""
        seen, todo = set[State](), [*self._plain.operated_starts()]
        while todo:
            state = todo.pop()
            if state not in seen:
                seen.add(state)
                todo += self._plain.operated_after(state, strict=True)
                self._plain.forget()
        return sorted(seen)

    @cached_property
    def raced(self) -> dict[bool, list[State]]:
        """Those that operations at any moment lead to; True where relays may move at once."""
        return {same: self._race(same) for same in (False, True)}

    def _race(self, same_instant: bool) -> list[State]:
        switches = len(self._machine.switches)
        starts = {state[switches:] for state in self._plain.race_starts()}
        seen, todo, found = set[State](), [*starts], list[State]()
        positions = [range(len(one.positions)) for one in self._machine.switches.values()]
        while todo:
            movers = todo.pop()
            if movers in seen:
                continue
            seen.add(movers)
            for there in product(*positions):
                state = (*there, *movers)
                if self._plain.allowed(state):
                    found.append(state)
                    todo += self._plain.moved_in_a_race(state, same_instant) - seen
                self._plain.forget()
        return sorted(found)

    def can_happen(
        self, bad: int, *, at: Instant = "any instant", same_instant: bool = False
    ) -> Answer:
        if self._happens(self.operated, bad, at):
            return Reached("settled operation", {}, ())
        if self._happens(self.raced[same_instant], bad, at):
            return Reached("race", {}, ())
        return Never("enumeration")

    def _happens(self, states: list[State], bad: int, at: Instant) -> bool:
        for state in states:
            self._plain.forget()
            if self._plain.is_wanted(bad, at, state, strict=True):
                return True
        return False
