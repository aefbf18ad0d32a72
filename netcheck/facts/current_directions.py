"""Which way the currents of loads point on a rail: two legs of one neutral take from each other.

A load's current is in phase with its voltage.  On a rail that feeds it, its direction is
that of the rail's potential against the rail at its other end; of a three-phase load, the
sum over its windings there.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Mapping
from itertools import combinations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.states.behaviour import Behaviour as States

MOST_DIRECTIONS = 6
"""With more of them on one rail the currents are simply added."""


class CurrentDirections:
    def __init__(self, paths: CurrentPaths, states: States) -> None:
        self._paths = paths
        self._states = states
        self._headings: dict[tuple[int, int], float | None] = {}

    def groups(
        self, currents_a: Mapping[int, float], rail: int | None
    ) -> Iterator[dict[int, float]]:
        """Sets of loads that add up, heaviest first, each load with the part of its current
        that points the way of their sum.  Off the rails (None) all simply add up.

        Loads whose direction may vary are in every set in full.
        """
        headings = {number: self.heading(number, rail) for number in currents_a}
        found = list(dict.fromkeys(turn for turn in headings.values() if turn is not None))
        if len(found) < 2 or len(found) > MOST_DIRECTIONS:
            yield dict(currents_a)
            return
        sums: dict[complex, float] = {}
        for count in range(1, len(found) + 1):
            for chosen in combinations(found, count):
                total = sum(
                    (
                        current_a * cmath.rect(1.0, turn)
                        for number, current_a in currents_a.items()
                        if (turn := headings[number]) in chosen and turn is not None
                    ),
                    0j,
                )
                if total:
                    sums[total / abs(total)] = abs(total)
        for way in sorted(sums, key=lambda one: -sums[one]):
            yield {
                number: current_a * part
                for number, current_a in currents_a.items()
                if (part := _part(headings[number], way)) > 0
            }

    def heading(self, number: int, rail: int | None) -> float | None:
        """The angle of a load's current on a rail, radians, of whole degrees; None if it varies."""
        if rail is None:
            return None
        if (number, rail) not in self._headings:
            self._headings[number, rail] = self._find_heading(number, rail)
        return self._headings[number, rail]

    def _find_heading(self, number: int, rail: int) -> float | None:
        total = 0j
        for part in self._paths.loads[number].parts:
            here = set()
            for feed in self._states.feeds(part):
                rails = feed.rail_a, feed.rail_b
                if rail not in rails or feed.volts not in self._paths.volts.get(rails, ()):
                    continue
                if len(feed.volts) != 1:
                    return None
                _, volts = feed.volts[0]
                here.add(volts if feed.rail_a == rail else -volts)
            if len(here) > 1:
                return None
            total += sum(here)
        if abs(total) < 1:
            return None
        return math.radians(round(math.degrees(cmath.phase(total))))


def _part(heading: float | None, way: complex) -> float:
    if heading is None:
        return 1.0
    return (cmath.rect(1.0, heading) * way.conjugate()).real


@concludes(CurrentPaths, Behaviour)
def find_current_directions(view: View) -> CurrentDirections:
    return CurrentDirections(view[CurrentPaths], view[Behaviour])
