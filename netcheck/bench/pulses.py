"""A drive gives pulses, not a sine: what an ordinary meter shows of that is no reading."""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes

PULSES = (
    "A drive gives pulses: an ordinary meter misreads them; use one made for drives, with a "
    "low-pass filter."
)
"""Fact of the trade, from memory."""


def is_pulsed(panel: Panel, terminals: Iterable[str]) -> bool:
    """Whether any of these is joined by wire to the output of a drive."""
    poles = [
        f"{source.device}:{pole}"
        for source in panel.sources
        if panel.devices[source.device].kind == "drive" and source.kind == "AC"
        for pole in source.poles
    ]
    if not poles:
        return False
    nodes = find_nodes(panel).of
    return not {nodes[at] for at in terminals}.isdisjoint(nodes[pole] for pole in poles)
