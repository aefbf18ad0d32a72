"""Diodes as ways: one that stands across a load quenches it, and leads from no pole to it."""

from __future__ import annotations

from netcheck.model.devices import Conducts, Part
from netcheck.states.behaviour import Behaviour


def quenching(states: Behaviour) -> frozenset[int]:
    """The diodes across a load, built in or wired there, by their numbers."""

    def ends(part: Part) -> frozenset[int]:
        return frozenset((states.node(part.a), states.node(part.b)))

    parts = states.panel.parts
    loads = {ends(part) for part in parts if part.load is not None}
    return frozenset(
        part.index for part in parts if part.conducts is Conducts.ONE_WAY and ends(part) in loads
    )
