"""Which readings tell faults apart: on average over all of them as few as there can be.

Every order of readings is weighed, each set of faults once; where there are too many sets, always
the reading that parts what is left most evenly, which takes hardly more.
"""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.bench.readings import Reading
from netcheck.record import record

LIKE = 0.15
"""A share that readings must differ by to be told apart."""
MOST_SETS = 5_000

Looks = Sequence[Sequence[Reading]]
"""Of each fault what every pair of points reads."""
Faults = tuple[int, ...]


@record
class Parting:
    """A pair that is metered, and the faults that what it reads leaves: one group a reading."""

    pair: int
    groups: tuple[Faults, ...]


@record
class Searched:
    """The pairs that are metered in turn for one fault, and the faults that no pair then tells
    from it; `best` if on average no plan takes fewer."""

    pairs: tuple[int, ...]
    left: Faults
    best: bool


def searched(looks: Looks, target: int) -> Searched:
    tree = Tree(looks)
    every = left = tuple(range(len(looks)))
    try:
        tree.least(every)
    except TooMany:
        best, first = False, tree.most_even
    else:
        best, first = True, tree.first
    pairs = []
    while parting := first(left):
        pairs.append(parting.pair)
        left = next(group for group in parting.groups if target in group)
    return Searched(tuple(pairs), left, best)


class TooMany(Exception):
    """Sets of faults to weigh."""


class Tree:
    """What is best to meter first for each set of faults that readings can leave."""

    def __init__(self, looks: Looks) -> None:
        self._looks = looks
        self._known: dict[Faults, tuple[int, Parting | None]] = {}
        self._begun = 0

    def least(self, faults: Faults) -> int:
        """Readings that the best plan takes, summed over these faults.  Raises TooMany."""
        if faults not in self._known:
            self._begun += 1
            if self._begun > MOST_SETS:
                raise TooMany
            self._known[faults] = self._weighed(faults)
        return self._known[faults][0]

    def _weighed(self, faults: Faults) -> tuple[int, Parting | None]:
        best: tuple[int, Parting | None] = (0, None)
        for parting in self._partings(faults):
            most = best[0] if best[1] else None
            taken = self._taken(len(faults), parting, most)
            if taken is not None:
                best = taken, parting
        return best

    def _taken(self, taken: int, parting: Parting, most: int | None) -> int | None:
        """Nothing as soon as it is no better than `most`."""
        for group in parting.groups:
            if most is not None and taken >= most:
                return None
            taken += self.least(group)
        return taken if most is None or taken < most else None

    def first(self, faults: Faults) -> Parting | None:
        """None where no pair tells any of them from the others."""
        self.least(faults)
        return self._known[faults][1]

    def most_even(self, faults: Faults) -> Parting | None:
        return next(iter(self._partings(faults)), None)

    def _partings(self, faults: Faults) -> list[Parting]:
        """All that differ, the most even first."""
        found: dict[tuple[Faults, ...], Parting] = {}
        for pair in range(len(self._looks[0])):
            groups = self._groups(faults, pair)
            if len(groups) > 1:
                found.setdefault(groups, Parting(pair, groups))
        return sorted(found.values(), key=lambda one: sum(len(group) ** 2 for group in one.groups))

    def _groups(self, faults: Faults, pair: int) -> tuple[Faults, ...]:
        """Faults that one reading does not tell apart stand together."""
        groups: list[list[int]] = []
        for at in faults:
            seen = self._looks[at][pair]
            same = (one for one in groups if alike(self._looks[one[0]][pair], seen))
            group = next(same, None)
            if group is None:
                groups.append([at])
            else:
                group.append(at)
        return tuple(map(tuple, groups))


def alike(one: Reading, other: Reading) -> bool:
    """What floats may show nought."""
    first, second = (Reading() if reading.floats else reading for reading in (one, other))
    return first.like(second, LIKE)
