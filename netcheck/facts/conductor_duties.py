"""What each wire is for, as far as its colour goes: grounding, grounded, or neither, AC or DC.

Grounding conductors join terminals made for grounding; a grounded conductor is always
joined to a pole that is declared grounded; an ungrounded one is fed from another pole
without a load between; what lies between two loads, or leads home through a switch, is
neither.  No duty here have wires of a source that does not say how it is grounded, those in
circuits of AC and DC at once, and circuit conductors landed on ground, which are faults of
their own.
"""

from __future__ import annotations

from enum import StrEnum

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.grounding_terminals import is_grounding_terminal
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.facts.protection import Protection
from netcheck.facts.sections import Sections
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.states.volts import kind_of


class Duty(StrEnum):
    GROUNDING = "grounding"
    GROUNDED = "grounded"
    UNGROUNDED = "ungrounded"
    NEITHER = "behind loads or a switch"


@record
class ConductorDuties:
    """By wire index the duty and the kind of its circuit, `AC` or `DC`; none for grounding."""

    of: dict[int, tuple[Duty, str]]

    def grouped(self, wires: list[Wire]) -> list[list[Wire]]:
        """Those of one colour and one duty together, in the text's order."""
        groups: dict[tuple[str | None, tuple[Duty, str]], list[Wire]] = {}
        for wire in wires:
            key = (wire.properties.colour, self.of[wire.index])
            groups.setdefault(key, []).append(wire)
        return list(groups.values())


@concludes(Behaviour, CircuitVolts, GroundingWires, Protection, Sections)
def find_conductor_duties(view: View) -> ConductorDuties:
    states, sections = view[Behaviour], view[Sections]
    grounding = view[GroundingWires].wires
    undeclared = frozenset(
        states.pole_node(index, mark)
        for index in sections.undeclared
        for mark in states.panel.sources[index].poles
    )
    kinds: dict[int, str] = {}
    found: dict[int, tuple[Duty, str]] = {}
    for wire in states.panel.wires:
        if wire.index in grounding:
            if not any(_in_a_circuit(states.panel, end) for end in (wire.a, wire.b)):
                found[wire.index] = Duty.GROUNDING, ""
            continue
        if any(is_grounding_terminal(states.panel, end) for end in (wire.a, wire.b)):
            continue
        place = states.node(wire.a)
        if place not in kinds:
            known = {kind_of(volts) for volts in view[CircuitVolts].all_of((place,))}
            unclear = len(known) != 1 or view[CircuitVolts].rails(place) & undeclared
            kinds[place] = "" if unclear else known.pop()
        if kinds[place] not in ("AC", "DC"):
            continue
        if wire.a in sections.grounded:
            found[wire.index] = Duty.GROUNDED, kinds[place]
        else:
            fed = view[Protection].worst(wire.a) is not None
            found[wire.index] = (Duty.UNGROUNDED if fed else Duty.NEITHER), kinds[place]
    return ConductorDuties(found)


def _in_a_circuit(panel: Panel, terminal: str) -> bool:
    aside = (Conducts.BOND, Conducts.NOTHING)
    bridge = ("bridge", "bar")
    return any(
        part.conducts not in aside and part.role not in bridge
        for part in panel.parts_at.get(terminal, ())
    )
