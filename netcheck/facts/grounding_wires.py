"""Which wires are grounding conductors: they join terminals made for grounding.

Such a terminal is marked PE or stands on a grounding bar.  Wires, bridges and bars carry
it on; the bond that a source or a bond device makes to a circuit conductor does not.
"""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.model.devices import Conducts, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.record import record


@record
class GroundingWires:
    """Terminals that are joined to a grounding terminal, by the number of their group."""

    group: dict[str, int]
    wires: frozenset[int]


@concludes()
def find_grounding_wires(view: View) -> GroundingWires:
    panel = view.panel
    joined: Unions[str] = Unions()
    for terminal in panel.terminals:
        joined.find(terminal)
    for wire in panel.wires:
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
    return GroundingWires(group, frozenset(w.index for w in panel.wires if w.a in group))


def is_grounding_terminal(panel: Panel, terminal: str) -> bool:
    """Whether a terminal is made for grounding conductors."""
    return mark_of(terminal) == "PE" or bool(
        panel.devices[device_of(terminal)].values.get("grounding")
    )
