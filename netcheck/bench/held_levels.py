"""How far sources hold places apart in one state, and where they contradict each other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from netcheck.model.devices import SourcePart
from netcheck.solve.levels import Levels, Node

Poles = tuple[SourcePart, Sequence[Node]]
"""A source, and the place of each of its poles."""
Held = tuple[Levels, list[tuple[SourcePart, float]]]
"""Places at their volts, and what contradicts that."""


def held_levels(sources: Iterable[Poles], basis: str) -> Held:
    """Places at the volts of the sources of one basis, with the others as wires; and each source
    whose poles others hold already, with the volts by which it differs."""
    levels, differs = Levels(), []
    for source, places in sources:
        for place in places:
            levels.add(place)
        potentials = list(source.poles.values())
        for place, potential in zip(places[1:], potentials[1:], strict=True):
            drop = potential - potentials[0] if source.basis == basis else 0
            (root, above), (first, below) = levels.find(place), levels.find(places[0])
            if root != first:
                levels.join(place, places[0], drop)
            else:
                differs.append((source, abs(above - below - drop)))
    return levels, differs
