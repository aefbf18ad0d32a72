"""Wires that are swapped at the two ends of one part, which turns it round and does nothing else.

A contact, a fuse or a lamp that is fed from its other end does what it did: only who meters at
these ends finds something changed.
"""

from __future__ import annotations

from netcheck.bench.troubles import Edit
from netcheck.model.devices import Part
from netcheck.model.panel import Panel


def turned_round(panel: Panel, edit: Edit) -> frozenset[str]:
    """The two ends; none where more is changed than which of them is which."""
    ends = frozenset(leaves for _, leaves, _ in edit.moved)
    wires = {wire for wire, _, _ in edit.moved}
    at_ends = {wire.index for end in ends for wire in panel.wires_at.get(end, ())}
    if at_ends != wires or len(wires) != 2:
        return frozenset()
    poles = {f"{source.device}:{pole}" for source in panel.sources for pole in source.poles}
    parts = {part.index: part for end in ends for part in panel.parts_at.get(end, ())}
    alone = len(parts) == 1 and all(_is_turned(part, ends) for part in parts.values())
    alone = alone and ends.isdisjoint(poles)
    return ends if alone else frozenset()


def _is_turned(part: Part, ends: frozenset[str]) -> bool:
    polarised = part.load is not None and part.load.polarised
    return {part.a, part.b} == ends and not part.is_one_way_on_dc and not polarised
