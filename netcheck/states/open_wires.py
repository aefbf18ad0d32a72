"""What no open wire can bring about, told from the panel as it is drawn.

A wire that opens only takes ways for current away.  A relay that stays in must have its coil
fed, and what feeds it with a wire open feeds it as well with none open.  So it is enough that
something cannot be, in any state of the panel as drawn in which every relay that is in has
its coil energised.  Stops of the usual kind are proved so, at once.

It holds only of what more current could help to bring about (a load on, not one off), and a
coil that an open wire may leave with some voltage through other loads may stay in anyhow.
"""

from __future__ import annotations

from functools import cached_property

from netcheck.model.devices import Conducts, Drive, Mechanism, Part
from netcheck.model.panel import Panel
from netcheck.record import replace
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.solver import satisfiable
from netcheck.states.split_rails import coils_at_split_rails
from netcheck.states.through_loads import Past, ThroughLoads

MOST_ROUNDS = 6
"""So far is it followed what holds the relays in that hold others in."""


class OpenWires:
    def __init__(self, behaviour: Behaviour) -> None:
        self._behaviour = behaviour
        self._logic = behaviour.logic
        self._machine = behaviour.machine
        self._mover_of = {mover.state: name for name, mover in self._machine.movers.items()}
        self._switch_of = {
            bit: switch for switch in self._machine.switches.values() for bit in switch.bits
        }

    def cannot_let(self, bad: int) -> bool:
        """Whether it is plain that no open wire lets `bad` hold once all has settled; False
        where that is not plain.  More current must only help `bad` to hold."""
        if self._behaviour.too_many_ways:
            return False
        held, known = [bad], set[str]()
        for _ in range(MOST_ROUNDS):
            support = {v for literal in held for v in self._logic.support(literal)}
            new = {self._mover_of[v] for v in support if v in self._mover_of} - known
            known |= new
            held += [literal for name in sorted(new) if (literal := self._stays(name)) != TRUE]
            if self._excluded(held):
                return True
            if not new:
                break
        return False

    def _stays(self, name: str) -> int:
        """What must hold for a relay to be as it is, as far as it must if it is in."""
        mechanism = self._behaviour.panel.mechanisms[name]
        if mechanism.drive not in (Drive.COIL, Drive.ON_DELAY) or self._may_stay_in(mechanism):
            return TRUE
        state = self._machine.movers[name].state
        coil = self._behaviour.panel.parts[mechanism.coils[0]]
        return self._logic.either(state ^ 1, self._behaviour.energised(coil))

    def _may_stay_in(self, mechanism: Mechanism) -> bool:
        coil = self._behaviour.panel.parts[mechanism.coils[0]]
        return (
            coil.index in self._cuts
            or self._behaviour.fed_wrongly(coil) != FALSE
            or self._unbypassed.feeds(coil) != FALSE
        )

    def _excluded(self, held: list[int]) -> bool:
        logic, machine = self._logic, self._machine
        support = {v for literal in held for v in logic.support(literal)}
        switches = {s.name: s for v in support if (s := self._switch_of.get(v)) is not None}
        every = [*held]
        for switch in switches.values():
            every += [machine.in_positions(switch, switch.resting), machine.valid_code(switch)]
        every += [
            literal
            for literal in machine.constraints
            if not logic.support(literal).isdisjoint(support)
            and logic.support(literal) <= self._switch_of.keys()
        ]
        return satisfiable(logic, every) is False

    @cached_property
    def _unbypassed(self) -> ThroughLoads:
        return Unbypassed(self._behaviour.grid, self._behaviour.live)

    @cached_property
    def _cuts(self) -> dict[int, list[int]]:
        panel, part_of = with_wires_as_parts(self._behaviour.panel)
        coils = [coil for one in panel.mechanisms.values() for coil in one.coils]
        breaking = frozenset(part_of.values())
        return coils_at_split_rails(panel, self._behaviour.grid, breaking, coils)


class Unbypassed(ThroughLoads):
    """What takes current past a coil may be open, so it is left out of account."""

    def _past(self, a: int, b: int) -> Past:
        return FALSE, FALSE


def with_wires_as_parts(panel: Panel) -> tuple[Panel, dict[int, int]]:
    """The panel with every wire a part, and for each wire by its number the part's."""
    first = len(panel.parts)
    parts = [
        Part(first + place, "", "wire", wire.a, wire.b, Conducts.JOINS)
        for place, wire in enumerate(panel.wires)
    ]
    part_of = {wire.index: first + place for place, wire in enumerate(panel.wires)}
    return replace(panel, parts=(*panel.parts, *parts), wires=()), part_of
