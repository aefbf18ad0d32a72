"""Which wires are grounding conductors: they join terminals made for grounding.

Such a terminal is marked PE or stands on a grounding bar.  Wires, bridges and bars carry
it on; a bond to a circuit conductor does not, be it a source's, a device or a wire.
"""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.drawn_bonds import DrawnBonds
from netcheck.facts.grounding_terminals import is_grounding_terminal
from netcheck.model.devices import Conducts
from netcheck.network.unions import Unions
from netcheck.record import record


@record
class GroundingWires:
    """Terminals that are joined to a grounding terminal, by the number of their group."""

    group: dict[str, int]
    wires: frozenset[int]


@concludes(DrawnBonds)
def find_grounding_wires(view: View) -> GroundingWires:
    panel = view.panel
    bonds = view[DrawnBonds].wires
    joined: Unions[str] = Unions()
    for terminal in panel.terminals:
        joined.find(terminal)
    for wire in panel.wires:
        if wire.index not in bonds:
            joined.join(wire.a, wire.b)
    for part in panel.parts:
        bar = part.conducts is Conducts.BOND and part.role == "bar"
        if bar or (part.conducts is Conducts.JOINS and not part.mechanism):
            joined.join(part.a, part.b)
    poles = {f"{source.device}:{mark}" for source in panel.sources for mark in source.poles}
    group = {
        terminal: number
        for number, members in enumerate(joined.groups())
        if any(is_grounding_terminal(panel, name) for name in members) and poles.isdisjoint(members)
        for terminal in members
    }
    wires = frozenset(wire.index for wire in panel.wires if wire.a in group)
    return GroundingWires(group, wires - bonds)
