"""A panel operated by hand, step by step, with every order in which its relays may settle."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass

from netcheck.case import Case
from netcheck.facts.as_built import AsBuilt
from netcheck.states.machine import Switch

Values = tuple[tuple[int, bool], ...]


@dataclass
class Operated:
    """The states the panel may be in.  It begins with every source present and all at rest."""

    case: Case

    def __post_init__(self) -> None:
        self.behaviour = self.case.conclude(AsBuilt).certain
        assert not self.behaviour.uncertain_coils
        machine = self.behaviour.machine
        values = {mover.state: False for mover in machine.movers.values()}
        for name, switch in machine.switches.items():
            present = len(switch.positions) - 1 if name in self._sources else 0
            values.update(_bits(switch, present))
        self.states = self._settled({tuple(sorted(values.items()))})

    @property
    def _sources(self) -> set[str]:
        return {source.mechanism for source in self.case.panel.sources}

    def put(self, **positions: str) -> Operated:
        """Move switches, all at the same moment, and let the relays settle."""
        moved = set()
        for state in self.states:
            values = dict(state)
            for name, position in positions.items():
                switch = self.behaviour.machine.switches[name]
                values.update(_bits(switch, switch.positions.index(position)))
            moved.add(tuple(sorted(values.items())))
        self.states = self._settled(moved)
        return self

    def tap(self, name: str) -> Operated:
        """Press a button and let it go."""
        return self.put(**{name: "pressed"}).put(**{name: "released"})

    def run_out(self, name: str) -> Operated:
        """Let a timer run out, wherever it is running."""
        motion, mover = self.behaviour.machine.motions[name], self.behaviour.machine.movers[name]
        evaluate, moved = self.behaviour.logic.evaluate, set()
        for state in self.states:
            values = dict(state)
            into = values[mover.state]
            if evaluate(motion.may_fall if into else motion.may_rise, values):
                values[mover.state] = not into
            moved.add(tuple(sorted(values.items())))
        self.states = self._settled(moved)
        return self

    def on(self) -> set[frozenset[str]]:
        """The devices with an energised load: one set for each way it may have come out."""
        loads = [part for part in self.case.panel.parts if part.load is not None]
        evaluate, energised = self.behaviour.logic.evaluate, self.behaviour.energised
        return {
            frozenset(part.device for part in loads if evaluate(energised(part), dict(state)))
            for state in self.states
        }

    def _settled(self, states: set[Values]) -> set[Values]:
        """Relays move one at a time, in any order, until none wants to."""
        seen, rest, queue = set(states), set(), deque(states)
        while queue:
            state = queue.popleft()
            onwards = self._moves(dict(state))
            if not onwards:
                rest.add(state)
            for after in onwards - seen:
                seen.add(after)
                queue.append(after)
        return rest

    def _moves(self, values: Mapping[int, bool]) -> set[Values]:
        machine, evaluate = self.behaviour.machine, self.behaviour.logic.evaluate
        found = set()
        for name, mover in machine.movers.items():
            motion = machine.motions[name]
            moves = motion.must_fall if values[mover.state] else motion.must_rise
            if evaluate(moves, values):
                after = {**values, mover.state: not values[mover.state]}
                found.add(tuple(sorted(after.items())))
        return found


def _bits(switch: Switch, place: int) -> dict[int, bool]:
    return {variable: bool(place >> bit & 1) for bit, variable in enumerate(switch.bits)}
