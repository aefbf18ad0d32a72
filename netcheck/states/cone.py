"""What a question depends on: the movers and switches that can have a say in it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from netcheck.record import record
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.machine import Machine, Mover, Switch


@record
class Dynamics:
    """When one mover flips, every assumption heeded: a flip that would break one is not made.

    `may` and `must` are true while it may or must change its state; `must_rise` and
    `must_fall` leave out whether it is out or in at present.
    """

    mover: Mover
    may: int
    must: int
    must_rise: int
    must_fall: int


@record
class Cone:
    """A part of the machine that nothing outside it has a say in."""

    movers: tuple[Dynamics, ...]
    switches: tuple[Switch, ...]
    constraints: tuple[int, ...]

    @property
    def variables(self) -> list[int]:
        """The movers' states, then the switches' bits."""
        bits = [bit for switch in self.switches for bit in switch.bits]
        return [moving.mover.state for moving in self.movers] + bits


class Slicer:
    """Finds cones.  The machine must not change any more once it is being asked about."""

    def __init__(self, machine: Machine) -> None:
        self._machine = machine
        self._logic: Logic = machine.logic
        self._owner = machine.owners()
        self._order = {
            name: place for place, name in enumerate([*machine.movers, *machine.switches])
        }
        self._touching: dict[int, list[int]] = {}
        for place, literal in enumerate(machine.constraints):
            for variable in self._logic.support(literal):
                self._touching.setdefault(variable, []).append(place)
        self._dynamics: dict[str, Dynamics] = {}
        self._needs: dict[str, frozenset[str]] = {}

    def cone(self, literals: Iterable[int]) -> Cone:
        """Everything the literals depend on, directly or through others."""
        names = self.named(literals)
        machine = self._machine
        switches = tuple(machine.switches[name] for name in names if name in machine.switches)
        return Cone(
            tuple(self.dynamics(name) for name in names if name in machine.movers),
            switches,
            self._constraints(names, switches),
        )

    def named(self, literals: Iterable[int]) -> list[str]:
        """The same as `reach`, movers first, in the order of the machine."""
        return sorted(self.reach(literals), key=self._order.__getitem__)

    def reach(self, literals: Iterable[int]) -> frozenset[str]:
        """The names of everything the literals depend on, directly or through others."""
        found: set[str] = set()
        todo = {name for literal in literals for name in self._names(literal)}
        while todo:
            name = todo.pop()
            found.add(name)
            todo |= self._needs_of(name) - found
        return frozenset(found)

    def swayed_by(self, names: Iterable[str]) -> frozenset[str]:
        """The movers that these have a say in, directly or through other movers; and themselves,
        where they are movers."""
        found: set[str] = set()
        todo = [*names]
        while todo:
            name = todo.pop()
            if name not in found:
                found.add(name)
                todo += self._swaying.get(name, ())
        return frozenset(found & self._machine.movers.keys())

    @cached_property
    def _swaying(self) -> dict[str, list[str]]:
        """For each name the movers that depend on it at once."""
        found: dict[str, list[str]] = {}
        for mover in self._machine.movers:
            for name in self._needs_of(mover):
                found.setdefault(name, []).append(mover)
        return found

    def dynamics(self, name: str) -> Dynamics:
        """When the mover of this name flips."""
        known = self._dynamics.get(name)
        if known is None:
            known = self._dynamics[name] = self._find_dynamics(name)
        return known

    def _find_dynamics(self, name: str) -> Dynamics:
        logic, mover, motion = self._logic, self._machine.movers[name], self._machine.motions[name]
        touching = self._touching.get(mover.state, ())
        constraints = [self._machine.constraints[place] for place in touching]
        can_be_in = logic.all_of(logic.substitute(c, {mover.state: TRUE}) for c in constraints)
        can_be_out = logic.all_of(logic.substitute(c, {mover.state: FALSE}) for c in constraints)
        state = mover.state
        return Dynamics(
            mover,
            logic.choose(
                state,
                logic.both(motion.may_fall, can_be_out),
                logic.both(motion.may_rise, can_be_in),
            ),
            logic.choose(
                state,
                logic.both(motion.must_fall, can_be_out),
                logic.both(motion.must_rise, can_be_in),
            ),
            logic.both(motion.must_rise, can_be_in),
            logic.both(motion.must_fall, can_be_out),
        )

    def _needs_of(self, name: str) -> frozenset[str]:
        known = self._needs.get(name)
        if known is None:
            machine = self._machine
            needs: set[str] = set()
            if name in machine.movers:
                moving = self.dynamics(name)
                own = [moving.mover.state]
                needs.update(self._names(moving.may), self._names(moving.must))
            else:
                own = list(machine.switches[name].bits)
            for variable in own:
                for place in self._touching.get(variable, ()):
                    needs.update(self._names(machine.constraints[place]))
            known = self._needs[name] = frozenset(needs)
        return known

    def _names(self, literal: int) -> set[str]:
        return {self.owner_of(variable) for variable in self._logic.support(literal)}

    def owner_of(self, variable: int) -> str:
        """Whose variable this is, by name; ValueError if it is nothing that moves."""
        owner = self._owner.get(variable)
        if owner is None:
            raise ValueError(f"{self._logic.name_of(variable)} is neither a switch nor a mover")
        return owner

    def _constraints(self, names: list[str], switches: tuple[Switch, ...]) -> tuple[int, ...]:
        machine = self._machine
        places: set[int] = set()
        for name in names:
            mover = machine.movers.get(name)
            own = [mover.state] if mover else machine.switches[name].bits
            for variable in own:
                places.update(self._touching.get(variable, ()))
        valid = [machine.valid_code(switch) for switch in switches]
        if FALSE in machine.constraints:  # it depends on nothing, and concerns every question
            return (FALSE,)
        literals = [machine.constraints[place] for place in sorted(places)] + valid
        return tuple(dict.fromkeys(literal for literal in literals if literal != TRUE))
