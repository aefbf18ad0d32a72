"""Terminals that wires and the bridges of strips make one place."""

from __future__ import annotations

from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions


def joined_by_wire(panel: Panel, without: Wire | None = None) -> Unions[str]:
    """Terminals in groups, as they are with a wire taken away; nothing else joins them."""
    places: Unions[str] = Unions()
    for wire in panel.wires:
        if wire is not without:
            places.join(wire.a, wire.b)
    for part in panel.parts:
        if part.role == "bridge":
            places.join(part.a, part.b)
    return places
