"""Some thousand states that settled operation surely leads to, all of them seen at once.

Most questions of the kind "can this load ever be on?" have an easy yes.  Here the panel is
powered up many times over: switches anywhere they may stand, relays out, sources coming
one after the other, and after each the relays settling, then timers running out.  A set
of states is a whole number, one bit a state.  What is seen true here can happen; what is
not, has to be proved.

Relays move one at a time.  Those of which none has a say in when another moves may as
well move together, for in any order the outcome is the same: they are moved as one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property, reduce
from operator import or_
from random import Random

from netcheck.states.expressions import FALSE, Logic
from netcheck.states.machine import Machine, Mover, Switch

STATES = 4096
"""A third of them with few switches off their first position, a third with most.  Of a
ladder of 1,000 rungs, 1,024 states leave 24 loads and relays to be proved, 4,096 none."""
MOST_ROUNDS = 40
"""States in which relays still move after so many rounds are left out."""
MOST_STAGES = 6
"""So many times a timer runs out, and the relays settle after it."""


class Samples:
    """Settled states of one machine after power-up; `sources` are the switches that come last."""

    def __init__(self, machine: Machine, sources: Iterable[str], states: int = STATES) -> None:
        self._machine = machine
        self._sources = [machine.switches[name] for name in sources if name in machine.switches]
        self._sources = [source for source in self._sources if _comes(source)]
        self._states = states

    def happen(self, literal: int) -> bool:
        """Whether it is true in one of the states.  False says nothing."""
        return any(stage.value(literal) & stage.good for stage in self._stages)

    def seen(self, literal: int) -> int:
        """The states in which it is true: one bit a state of a stage, the same for all literals."""
        found = 0
        for stage in self._stages:
            found = found << self._states | stage.value(literal) & stage.good
        return found

    @cached_property
    def _stages(self) -> list[_Stage]:
        """The settled stages before the first source comes, after each, and as timers run out."""
        stage = self._before_power()
        self._settle(stage)
        settled = [stage.copy()]
        for source in self._sources:
            stage.put(source, {len(source.positions) - 1: stage.every})
            stage.good &= self._allowed(stage)
            self._settle(stage)
            settled.append(stage.copy())
        for _ in range(MOST_STAGES):
            if not self._run_out(stage):
                break
            self._settle(stage)
            settled.append(stage.copy())
        return settled[::-1]

    def _before_power(self) -> _Stage:
        stage = _Stage(self._machine.logic, self._states)
        random = Random(self._states)
        coming = {source.name for source in self._sources}
        for switch in self._machine.switches.values():
            starts = sorted(switch.start & switch.resting)
            if not starts:
                stage.good, starts = 0, [0]
            first, *others = starts
            where = {first: stage.every}
            for position in others if switch.name not in coming else ():
                chosen = self._some(random)
                where = {known: states & ~chosen for known, states in where.items()}
                where[position] = chosen
            stage.put(switch, where)
        for mover in self._machine.movers.values():
            either = random.getrandbits(self._states)
            start = {None: either, True: stage.every, False: 0}[mover.start]
            stage.variables[mover.state] = start
        stage.good &= self._allowed(stage)
        return stage

    def _some(self, random: Random) -> int:
        """A set of states: half of them, but few in the first third and most in the last."""
        third = (1 << self._states // 3) - 1
        one, two, three = (random.getrandbits(self._states) for _ in range(3))
        few, most = one & two & three & third, (one | two | three) >> self._states // 3 * 2
        most <<= self._states // 3 * 2
        middle = third << self._states // 3
        return few | one & middle | most

    def _settle(self, stage: _Stage) -> None:
        """Let relays follow their coils; states in which some still move at last are no good."""
        moved = 0
        for _ in range(MOST_ROUNDS):
            moved = 0
            for movers, gates in self._together:
                stage.work_out(gates)
                moved |= self._flip(stage, [(one, self._must(stage, one)) for one in movers])
            if not moved & stage.good:
                return
        stage.good &= ~moved

    def _run_out(self, stage: _Stage) -> bool:
        """Let one timer run out in each state, the first that is running; whether any did."""
        flips, taken = [], 0
        for mover in self._machine.movers.values():
            if mover.timed:
                where = self._may(stage, mover) & ~taken
                taken |= where
                flips.append((mover, where))
        return bool(self._flip(stage, flips) & stage.good)

    def _must(self, stage: _Stage, mover: Mover) -> int:
        motion = self._machine.motions[mover.name]
        return stage.flips(mover.state, motion.must_rise, motion.must_fall)

    def _may(self, stage: _Stage, mover: Mover) -> int:
        motion = self._machine.motions[mover.name]
        return stage.flips(mover.state, motion.may_rise, motion.may_fall)

    def _flip(self, stage: _Stage, flips: list[tuple[Mover, int]]) -> int:
        """Move these, each in its states; the states in which any moved."""
        moved = 0
        for mover, where in flips:
            stage.variables[mover.state] ^= where & stage.good
            moved |= where & stage.good
        if moved:
            stage.gates.clear()
            stage.good &= self._allowed(stage)
        return moved

    @cached_property
    def _together(self) -> list[tuple[list[Mover], list[int]]]:
        """The movers in groups of which no member has a say in another's moves.

        With each group the gates that say when its members must move.
        """
        logic, variables = self._machine.logic, {m.state: m for m in self._machine.movers.values()}
        says: dict[int, set[int]] = {}
        for state, mover in variables.items():
            motion = self._machine.motions[mover.name]
            literals = (motion.may_rise, motion.may_fall, motion.must_rise, motion.must_fall)
            support = {variable for literal in literals for variable in logic.support(literal)}
            says[state] = support & variables.keys()
        for literal in self._machine.constraints:
            bound = logic.support(literal) & variables.keys()
            for state in bound:
                says[state] |= bound
        groups: list[tuple[list[Mover], set[int], set[int]]] = []
        for state, mover in variables.items():
            for members, states, met in groups:
                if state not in met and says[state].isdisjoint(states):
                    members.append(mover)
                    states.add(state)
                    met |= says[state]
                    break
            else:
                groups.append(([mover], {state}, set(says[state])))
        return [(members, self._gates_of(members)) for members, _, _ in groups]

    def _gates_of(self, movers: Iterable[Mover]) -> list[int]:
        motions = [self._machine.motions[mover.name] for mover in movers]
        wishes = [literal for one in motions for literal in (one.must_rise, one.must_fall)]
        return self._machine.logic.gates(wishes)

    def _allowed(self, stage: _Stage) -> int:
        allowed = stage.every
        for literal in self._machine.constraints:
            allowed &= stage.value(literal)
        return allowed


def _comes(source: Switch) -> bool:
    """Whether one operation brings it from where it starts to its last position."""
    last = len(source.positions) - 1
    return (min(source.start), last) in source.moves and last in source.resting


class _Stage:
    """The values of all variables in all states, and which of the states are still good."""

    def __init__(self, logic: Logic, states: int) -> None:
        self._logic = logic
        self.every = self.good = (1 << states) - 1
        self.variables: dict[int, int] = {FALSE: 0}
        self.gates: dict[int, int] = {}

    def copy(self) -> _Stage:
        copied = _Stage(self._logic, self.every.bit_length())
        copied.good = self.good
        copied.variables, copied.gates = dict(self.variables), dict(self.gates)
        return copied

    def put(self, switch: Switch, where: Mapping[int, int]) -> None:
        """Set a switch; for each position, the states in which it stands there."""
        for place, bit in enumerate(switch.bits):
            values = [states for position, states in where.items() if position >> place & 1]
            self.variables[bit] = reduce(or_, values, 0)
        self.gates.clear()

    def flips(self, state: int, rise: int, fall: int) -> int:
        """Where a mover that is out rises, or one that is in falls."""
        into = self.variables[state]
        return self.value(rise) & ~into | self.value(fall) & into

    def value(self, literal: int) -> int:
        """The states in which a literal is true."""
        node = literal & ~1
        if node not in self.variables and node not in self.gates:
            self.work_out(self._logic.gates([literal], self.gates))
        value = self.variables[node] if node in self.variables else self.gates[node]
        return value ^ self.every if literal & 1 else value

    def work_out(self, order: Iterable[int]) -> None:
        """The values of these gates, each of which comes after what it joins."""
        every, variables, gates, operands = (
            self.every,
            self.variables,
            self.gates,
            self._logic.operands,
        )
        for gate in order:
            if gate not in gates:
                a, b = operands(gate)
                left, right = a & ~1, b & ~1
                one = variables[left] if left in variables else gates[left]
                other = variables[right] if right in variables else gates[right]
                gates[gate] = (one ^ every if a & 1 else one) & (other ^ every if b & 1 else other)
