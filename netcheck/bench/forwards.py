"""Where current passes through diodes, and no load, between places that sources hold apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import sqrt

from netcheck.network.floods import met_first
from netcheck.solve.levels import Levels, Node
from netcheck.solve.steady import DC, Basis

LEAST_V = 1e-6
"""What rounding leaves between two ways of one voltage, at most."""


def passed_forwards(
    ways: Iterable[tuple[int, int]], levels: Mapping[Basis, Levels]
) -> Iterator[tuple[int, int]]:
    """Pairs of places, current from the first of which reaches the second over ways that let it
    through from their first place to their second, at one moment of the cycle at least.

    `levels` hold the places of sources at their volts of each system.  As long as no such pair has
    its first place above its second ideal diodes can all block.  So a bridge passes nothing: what
    its ways lead to no source holds.  Of two sources that only diodes join nothing is known, and
    nothing is told.
    """
    beside: dict[int, list[int]] = {}
    for a, b in ways:
        if a != b:
            beside.setdefault(a, []).append(b)
    held = next(iter(levels.values()))
    ends = beside.keys() | {place for several in beside.values() for place in several}
    stops = {place for place in ends if held.knows(place)}
    for first in stops & beside.keys():
        for second in met_first(beside[first], beside, stops) - {first}:
            if (most_above_v(first, second, levels) or 0) > LEAST_V:
                yield first, second


def most_above_v(first: Node, second: Node, levels: Mapping[Basis, Levels]) -> float | None:
    """Volts of one place against another at the moment that has most of them: systems that are not
    in step meet with their peaks at some.  None where nothing holds the two apart."""
    found = 0.0
    for basis, one in levels.items():
        (root, above), (other, below) = one.find(first), one.find(second)
        if root != other:
            return None
        volts = complex(above - below)
        found += volts.real if basis == DC else sqrt(2) * abs(volts)
    return found
