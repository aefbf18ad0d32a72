"""Points that are one place, and readings that say they are not."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import combinations

from netcheck.bench.observations import Observation, Read, is_lamp
from netcheck.bench.sound import Withs

PlaceOf = Callable[[str], int]
"""Of a terminal: the same for all that are joined without resistance."""


def by_state(seen: Iterable[Observation]) -> Iterator[tuple[Withs, list[Read]]]:
    """What was read, together with what was read in the same state."""
    reads: dict[Withs, list[Read]] = {}
    for one in seen:
        if isinstance(one, Read):
            reads.setdefault(one.withs, []).append(one)
    yield from reads.items()


def told_apart(reads: Sequence[Read], place_of: PlaceOf) -> bool:
    """Whether readings, all in one state, cannot all be by more than what each may be off."""
    return any(parted(reads, place_of))


def parted(reads: Sequence[Read], place_of: PlaceOf) -> Iterator[frozenset[int]]:
    """The places, one of which is not one, of readings in one state that cannot all be: two with
    both leads at the same places differ, one shows volts between what is one place, or of three
    round three places one shows more than both others together."""
    placed = [(one, place_of(one.red), place_of(one.black)) for one in reads if not is_lamp(one)]
    for one, red, black in placed:
        if red == black and _differ(one.volts, 0.0):
            yield frozenset((red,))
    for (one, *places), (other, red, black) in combinations(placed, 2):
        if not one.kind or not other.kind or one.kind == other.kind:
            for ends, volts in _both_ways_round(other, red, black):
                if places == ends and _differ(one.volts, volts):
                    yield frozenset(places)
    for three in combinations(placed, 3):
        if _do_not_close(three):
            yield frozenset(place for _, *places in three for place in places)


def _do_not_close(three: Sequence[tuple[Read, int, int]]) -> bool:
    """Kirchhoff's voltage law, of sizes only: volts AC add up at any angle.  Where two of the three
    read nought what they are read at may float."""
    ends = [place for _, *places in three for place in places]
    is_round = len(set(ends)) == 3 and all(ends.count(place) == 2 for place in ends)
    if not is_round or len({one.kind for one, *_ in three} - {""}) > 1:
        return False
    *others, most = sorted(abs(one.volts) for one, *_ in three)
    return max(others) >= 1.0 and most - sum(others) > _room_v(most, *others)


def _both_ways_round(read: Read, red: int, black: int) -> Iterator[tuple[list[int], float]]:
    """With its volts; those AC have no sign."""
    yield [red, black], read.volts
    yield [black, red], read.volts if read.kind == "AC" else -read.volts


def _differ(volts: float, others_v: float) -> bool:
    return abs(volts - others_v) > _room_v(volts, others_v)


def _room_v(*volts: float) -> float:
    """By which readings may be off, all together: each by a twentieth, and if little is read, by so
    little that it may be nought."""
    return max(1.0, sum(0.05 * abs(one) for one in volts))
