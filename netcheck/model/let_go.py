"""Where what a hand holds goes once it is let go."""

from __future__ import annotations

from netcheck.model.devices import Mechanism
from netcheck.model.panel import Panel

HELD = frozenset(("button", "foot switch", "two-hand button", "enabling switch"))
"""Kinds that spring back to their first position."""


def rests_at(panel: Panel, mechanism: Mechanism) -> int:
    """The position it is in while nobody has touched it, by its index."""
    return let_go(panel, mechanism) or 0


def let_go(panel: Panel, mechanism: Mechanism) -> int | None:
    """The position it springs back to, by its index; None where it stays as it is put."""
    device = panel.devices[mechanism.device]
    if device.kind in HELD:
        return 0
    springs_to = device.values.get("springs_to")
    return mechanism.positions.index(str(springs_to)) if springs_to else None
