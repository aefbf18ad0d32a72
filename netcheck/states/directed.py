"""States looked for on purpose: power-ups with switches standing as a question seems to want.

What is asked for says of each switch whether its being in a position helps or hinders; a
relay that is to be in or out passes that on to what moves it.  Switches are set so, those
that help and hinder at random, and the panel is powered up.  A state so found is as true
as any other that is seen; what is not found says nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from random import Random

from netcheck.states.machine import Machine, Switch
from netcheck.states.samples import Samples, _Stage

STATES = 128


class DirectedSamples(Samples):
    """Settled states after power-up in which a literal may well be true.

    They are of that part of the machine that has a say in it, or in the `others` that are to be
    asked about too.
    """

    def __init__(
        self, machine: Machine, sources: Iterable[str], literal: int, *others: int
    ) -> None:
        super().__init__(_part_about(machine, (literal, *others)), sources, STATES)
        self._literal = literal

    @property
    def machine(self) -> Machine:
        """The part that has a say."""
        return self._machine

    @property
    def coming(self) -> list[Switch]:
        """The sources, in the order they come in."""
        return self._sources

    def start_of(self, literal: int) -> dict[int, bool] | None:
        """How all stands before power comes where that leads to the literal, the soonest of what
        was tried; None if nothing does."""
        for stage in reversed(self._stages):
            found = stage.value(literal) & stage.good
            if found:
                before = self._before_power().variables
                return {
                    variable: bool(where & found & -found) for variable, where in before.items()
                }
        return None

    def _before_power(self) -> _Stage:
        stage = super()._before_power()
        if not all(switch.start & switch.resting for switch in self._machine.switches.values()):
            return stage
        random, coming = Random(STATES), {source.name for source in self._sources}
        for switch in self._machine.switches.values():
            if switch.name not in coming and not self._wishes.keys().isdisjoint(switch.bits):
                where: dict[int, int] = {}
                left = stage.every
                for position in self._likely(switch):
                    chosen = left & random.getrandbits(STATES)
                    where[position] = chosen
                    left &= ~chosen
                where[position] |= left
                stage.put(switch, where)
        stage.good = stage.every & self._allowed(stage)
        return stage

    def _likely(self, switch: Switch) -> list[int]:
        """The positions it can start in that meet most of what is wished of it."""

        def met(position: int) -> int:
            values = switch.values_in(position).items()
            return sum(value in self._wishes.get(bit, ()) for bit, value in values)

        starts = sorted(switch.start & switch.resting)
        most = max(met(position) for position in starts)
        return [position for position in starts if met(position) == most]

    @cached_property
    def _wishes(self) -> dict[int, set[bool]]:
        """For each variable of switches and movers, which of its values help.

        A relay that is to stay out, as it starts, is left to itself: whatever keeps it out would
        as often keep out what is to come in.
        """
        movers = {mover.state: mover for mover in self._machine.movers.values()}
        wishes: dict[int, set[bool]] = {}
        todo = [self._literal]
        while todo:
            for variable, signs in self._machine.logic.polarities(todo.pop()).items():
                known = wishes.setdefault(variable, set())
                new = signs - known
                known |= new
                mover = movers.get(variable)
                if mover is not None:
                    motion = self._machine.motions[mover.name]
                    todo += [
                        motion.may_rise if into else motion.may_fall
                        for into in new
                        if into or mover.start is not False
                    ]
        return wishes


def _part_about(machine: Machine, wanted: Iterable[int]) -> Machine:
    """What of a machine has a say in some literals, as a machine of its own."""
    logic, motions = machine.logic, machine.motions
    owner = machine.owners()
    touching: dict[str, list[int]] = {}
    for constraint in machine.constraints:
        for variable in logic.support(constraint):
            touching.setdefault(owner[variable], []).append(constraint)
    names = {owner[variable] for literal in wanted for variable in logic.support(literal)}
    todo = list(names)
    while todo:
        name = todo.pop()
        literals = list(touching.get(name, ()))
        if name in motions:
            motion = motions[name]
            literals += (motion.may_rise, motion.may_fall, motion.must_rise, motion.must_fall)
        new = {owner[variable] for one in literals for variable in logic.support(one)} - names
        names |= new
        todo += new
    return Machine(
        logic,
        {name: switch for name, switch in machine.switches.items() if name in names},
        {name: mover for name, mover in machine.movers.items() if name in names},
        {name: motion for name, motion in motions.items() if name in names},
        [one for one in machine.constraints if {owner[v] for v in logic.support(one)} <= names],
    )
