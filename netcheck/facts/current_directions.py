"""Which way the currents of loads point on a rail: two legs of one neutral take from each other.

On a rail that feeds a load, its heading is that of the rail's potential against the rail at
its other end; of a three-phase load, the sum over its windings there.  Its current lags that
by the angle of its power factor.  Where none is said of a motor or magnet, its current
counts in step, or if asked anywhere in the range it may have.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.record import record
from netcheck.solve.lags import IN_STEP, Lag, lag_of
from netcheck.states.behaviour import Behaviour as States

MOST_DIRECTIONS = 10
"""With more of them on one rail the currents are simply added."""
NO_PART = 1e-9
"""What rounding leaves of a current at right angles."""


@record
class Arc:
    """Where a current may point: radians from `start` on, `width` of them, anticlockwise."""

    start: float
    width: float

    @property
    def ends(self) -> tuple[float, ...]:
        return (self.start, self.start + self.width) if self.width else (self.start,)

    def part(self, way: complex) -> float:
        """The most of a current of 1 that may point this way."""
        past = (cmath.phase(way) - self.start) % math.tau
        if past <= self.width:
            return 1.0
        return max((cmath.rect(1.0, end) * way.conjugate()).real for end in self.ends)


class CurrentDirections:
    def __init__(self, paths: CurrentPaths, states: States) -> None:
        self._paths = paths
        self.states = states
        self._headings: dict[tuple[int, int], float | None] = {}
        self._arcs: dict[tuple[int, int, bool], Arc | None] = {}
        self._apart: dict[Arc, Arc] = {}

    def groups(
        self, currents_a: Mapping[int, float], rail: int | None, *, ranges: bool = False
    ) -> Iterator[dict[int, float]]:
        """Sets of loads that add up, heaviest first, each load with the part of its current
        that points the way of their sum.  Off the rails (None) all simply add up.

        Loads whose direction may vary are in every set in full.  With `ranges`, those whose
        power factor is not said point whichever way of their range makes most.
        """
        if rail is None:
            yield dict(currents_a)
            return
        arcs = {number: self._arc(number, rail, ranges) for number in currents_a}
        # Each arc is there once: of thousands of loads on a bus most point one way.
        apart = {id(arc): arc for arc in arcs.values()}
        found = list(dict.fromkeys(end for arc in apart.values() for end in _ends(arc)))
        if len(found) < 2 or len(found) > MOST_DIRECTIONS:
            yield dict(currents_a)
            return
        sums: dict[complex, float] = {}
        for count in range(1, len(found) + 1):
            for chosen in combinations(found, count):
                total = sum(
                    (
                        current_a * cmath.rect(1.0, end[0])
                        for number, current_a in currents_a.items()
                        for end in _ends(arcs[number])
                        if end in chosen
                    ),
                    0j,
                )
                if total:
                    sums[total / abs(total)] = abs(total)
        for way in sorted(sums, key=lambda one: -sums[one]):
            yield {
                number: current_a * part
                for number, current_a in currents_a.items()
                if (part := _part(arcs[number], way)) > NO_PART
            }

    def unsaid(self, numbers: Iterable[int]) -> list[int]:
        """Those of some loads of whose power factor only a range is known."""
        return [number for number in numbers if not self.lag(number).known]

    def _arc(self, number: int, rail: int, ranges: bool) -> Arc | None:
        key = number, rail, ranges
        if key not in self._arcs:
            arc = self._find_arc(number, rail, ranges)
            self._arcs[key] = arc and self._apart.setdefault(arc, arc)
        return self._arcs[key]

    def _find_arc(self, number: int, rail: int, ranges: bool) -> Arc | None:
        heading, lag = self.heading(number, rail), self.lag(number)
        if heading is None:
            return None
        width = lag.most - lag.least if ranges else 0.0
        return Arc(heading - lag.least - width, width)

    def lag(self, number: int) -> Lag:
        """Of a load's current; a range where no power factor is said of a motor or magnet."""
        load = self._paths.loads[number].parts[0].load
        return IN_STEP if load is None else lag_of(load)

    def heading(self, number: int, rail: int | None) -> float | None:
        """The angle of a load's voltage on a rail, radians, of whole degrees; None if it varies."""
        if rail is None:
            return None
        if (number, rail) not in self._headings:
            self._headings[number, rail] = self._find_heading(number, rail)
        return self._headings[number, rail]

    def _find_heading(self, number: int, rail: int) -> float | None:
        total = 0j
        for part in self._paths.loads[number].parts:
            here = set()
            for feed in self.states.feeds(part):
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


def _part(arc: Arc | None, way: complex) -> float:
    return 1.0 if arc is None else arc.part(way)


def _ends(arc: Arc | None) -> tuple[tuple[float, Arc], ...]:
    """Each with its arc: a load that may turn need not be where one that cannot is."""
    return () if arc is None else tuple((end, arc) for end in arc.ends)


@concludes(CurrentPaths, Behaviour)
def find_current_directions(view: View) -> CurrentDirections:
    return CurrentDirections(view[CurrentPaths], view[Behaviour])
