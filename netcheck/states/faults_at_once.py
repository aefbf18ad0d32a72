"""Each of many faults put into one state, and played through: all of them at once, a bit each.

What is played is one order of events; that it can never be otherwise is for proofs
(`single_faults.py`).  Relays follow their coils, timers run out, supplies follow their inputs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property, reduce
from operator import or_

from netcheck.model.devices import Part
from netcheck.model.faults import FaultKind
from netcheck.states.answers import Value
from netcheck.states.breakable import Breakable
from netcheck.states.machine import Machine
from netcheck.states.samples import MOST_STAGES, Samples, _Stage

MOST_ROUNDS = 8
"""So often supplies come or go and relays follow them."""


class FaultsAtOnce(Samples):
    """One bit for each fault of `behaviour`, and a last one for none."""

    def __init__(self, behaviour: Breakable) -> None:
        super().__init__(behaviour.machine, (), len(behaviour.faults) + 1)
        self._behaviour = behaviour
        self._logic = behaviour.logic

    @property
    def none(self) -> int:
        return 1 << len(self._behaviour.faults)

    def standing(self, state: Mapping[str, Value]) -> Played:
        """All bits in one state, by the names of what moves; no fault has come yet."""
        stage = _Stage(self._logic, self._states)
        for name, switch in self._machine.switches.items():
            held = state.get(name)
            at = switch.positions.index(held) if isinstance(held, str) else 0
            stage.put(switch, {at: stage.every})
        for mover in self._machine.movers.values():
            stage.variables[mover.state] = stage.every * bool(state.get(mover.name, False))
        stage.variables.update(dict.fromkeys(self._behaviour.came, 0))
        stage.variables[self._behaviour.any_came] = stage.every
        self._rest(stage)
        return Played(self, stage)

    @cached_property
    def shorts(self) -> int:
        return self._behaviour.shorted

    def energised(self, parts: Iterable[Part]) -> int:
        """The literal of a load's being on; its parts by the panel as it is drawn."""
        own = [self._behaviour.panel.parts[part.index] for part in parts]
        return self._logic.any_of([self._behaviour.energised(part) for part in own])

    def come(self, stage: _Stage) -> int:
        """Let each fault come in its own bit, where it can; those in which it came.

        A button is pressed while its open contact welds, and let go again.
        """
        pressed = self._pressed(stage)
        self._put(stage, pressed)
        came = 0
        for number, variable in enumerate(self._behaviour.came):
            bit = stage.value(self._behaviour.guards[number]) & 1 << number
            stage.variables[variable] = bit
            came |= bit
        stage.gates.clear()
        self._rest(stage)
        self._put(stage, {name: {} for name in pressed})
        return came | self.none

    def _pressed(self, stage: _Stage) -> dict[str, dict[int, int]]:
        """By button and position, the bits of the faults that weld its open contacts."""
        found: dict[str, dict[int, int]] = {}
        panel = self._behaviour.panel
        for number, fault in enumerate(self._behaviour.faults):
            for part in (panel.parts[index] for index in fault.parts):
                button = panel.devices[part.device].kind == "button"
                if button and fault.kind is FaultKind.WELDED and 0 not in part.closed:
                    bits = found.setdefault(part.mechanism, {})
                    at = max(part.closed)
                    bits[at] = bits.get(at, 0) | 1 << number
        return found

    def _put(self, stage: _Stage, where: Mapping[str, Mapping[int, int]]) -> None:
        """Each switch in a position by bits; released in all others."""
        for name, bits in where.items():
            others = stage.every & ~reduce(or_, bits.values(), 0)
            stage.put(self._machine.switches[name], {**bits, 0: others})
        if where:
            self._rest(stage)

    def move(self, stage: _Stage, moved: Mapping[str, int]) -> None:
        for name, position in moved.items():
            stage.put(self._machine.switches[name], {position: stage.every})
        self._rest(stage)

    def _rest(self, stage: _Stage) -> None:
        """Until nothing moves: relays, then timers, then supplies, and again."""
        self._learn(stage)
        for _ in range(MOST_ROUNDS):
            self._settle(stage)
            for _ in range(MOST_STAGES):
                if not self._run_out(stage):
                    break
                self._settle(stage)
            if not self._supplies_change(stage):
                return

    def value(self, stage: _Stage, literal: int) -> int:
        """The bits in which it is true."""
        self._learn(stage)
        return stage.value(literal)

    def _learn(self, stage: _Stage) -> None:
        """Supplies of which it was asked only now whether they are live, as their inputs stand."""
        unasked = self._behaviour.meaning.keys() - stage.variables.keys()
        stage.variables.update(dict.fromkeys(unasked, 0))
        for _ in range(MOST_ROUNDS if unasked else 0):
            if not self._supplies_change(stage):
                return

    def _supplies_change(self, stage: _Stage) -> bool:
        meaning = self._behaviour.meaning
        live = {name: stage.value(literal) for name, literal in meaning.items()}
        changed = any((stage.variables[name] ^ on) & stage.good for name, on in live.items())
        if changed:
            stage.variables.update(live)
            stage.gates.clear()
        return changed


class Played:
    """Where all bits stand now; a copy is made before anything in it moves."""

    def __init__(self, faults: FaultsAtOnce, stage: _Stage, came: int = 0) -> None:
        self._faults = faults
        self._stage = stage
        self.came = came
        """The bits in which the fault could come, and that of none."""

    @property
    def settled(self) -> int:
        """The bits in which all came to rest, within what is assumed."""
        return self._stage.good

    def with_faults(self) -> Played:
        stage = self._stage.copy()
        return Played(self._faults, stage, self._faults.come(stage))

    def after(self, moved: Mapping[str, int]) -> Played:
        stage = self._stage.copy()
        self._faults.move(stage, moved)
        return Played(self._faults, stage, self.came)

    def on(self, parts: Iterable[Part]) -> int:
        """The bits in which a load is on."""
        return self._faults.value(self._stage, self._faults.energised(parts))

    def shorted(self) -> int:
        """The bits in which the fault shorts a source."""
        return self._faults.value(self._stage, self._faults.shorts)


def state_of(machine: Machine, values: Mapping[int, bool]) -> dict[str, Value]:
    """The state that values of variables stand for, by name."""
    state: dict[str, Value] = {}
    for name, switch in machine.switches.items():
        number = sum(int(values[bit]) << place for place, bit in enumerate(switch.bits))
        state[name] = switch.positions[number]
    for name, mover in machine.movers.items():
        state[name] = values[mover.state]
    return state
