"""A fault in all the ways it may be, and whether the panel then looks as it was seen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from itertools import pairwise
from math import sqrt

from netcheck.bench.between import (
    Way,
    are_told_apart,
    floats_with,
    is_none_between,
    may_be_between,
    what_is_left,
)
from netcheck.bench.broken_panel import Bench, Change, Unsolvable, positions_of
from netcheck.bench.candidates import Candidate
from netcheck.bench.faults_at_once import Played
from netcheck.bench.hands import Hands
from netcheck.bench.observations import Observation, Read
from netcheck.bench.readings import Reading
from netcheck.bench.sound import Sound
from netcheck.bench.standing import Standing
from netcheck.bench.troubles import Edit, troubled
from netcheck.model.panel import Panel
from netcheck.record import record, replace

HALVINGS = 6
"""Of what lies between two benches, to find where a relay changes."""

NEARLY_OPEN = 0.999
"""So much of a joint is all but a break, at which a point behind it floats: between volts and none
lies nothing, between many and few everything."""

DOWN = 32.0
"""Below the least share tried, so much less is tried next: on a wire of many loads a lamp is dim at
a ten-thousandth of its own ohms."""


class AnyValue:
    """A joint at any ohms or a supply at any volts, each worked out once.

    Of a joint a share of 0 is a whole wire, 1 a break, and at a half it is as its first bench has
    it; of a supply it is that of its volts.  `tried` are the shares of the benches.
    """

    def __init__(self, tried: Sequence[float], bench: Callable[[float], Bench]) -> None:
        self.tried = tuple(tried)
        self._bench = bench
        self._known: dict[float, Bench] = {}

    def straight(
        self, ends: dict[float, Bench], seen: Sequence[Observation], most_halvings: int
    ) -> Iterator[Way]:
        """What lies between two benches at these shares, cut where a relay changes: one reading
        on either side of that says nothing of the other.  Of what cannot be all of that which was
        `seen` not everything."""
        withs = list(dict.fromkeys(one.withs for one in seen))
        points = dict(ends)
        if 1.0 in points and floats_with(points[1.0], seen):
            points[NEARLY_OPEN] = self._at(NEARLY_OPEN)
        # A panel that never rests when nothing is wrong with it may rest anywhere.
        flashes = any(positions_of(ends[s], withs) is None for s in ends if s not in self.tried)
        met: set[float] = set()
        todo = [(low, high, most_halvings) for low, high in pairwise(sorted(points))]
        todo.sort(key=lambda one: max(abs(share - self.tried[0]) for share in one[:2]))
        for low, high, halvings in todo:
            both = points[low], points[high]
            if positions_of(both[0], withs) == positions_of(both[1], withs):
                met |= {low, high}
                yield Way(*both)
            elif halvings and (flashes or may_be_between(*both, seen)):
                middle = sqrt(low * high) if low else high / DOWN
                points[middle] = self._at(middle)
                todo += [(low, middle, halvings - 1), (middle, high, halvings - 1)]
        for share in sorted(points.keys() - met):
            yield Way(points[share], points[share])

    def _at(self, share: float) -> Bench:
        if share not in self._known:
            self._known[share] = self._bench(share)
        return self._known[share]


@record
class Tried:
    """A candidate and its benches, one for each of the ways it may be, the middle one first.

    `beyond` are benches that it may lie between as well, and the share of the second: of a joint
    the least ohms and none, the most and a break.  `any_value` has all between."""

    candidate: Candidate | None
    benches: tuple[Bench, ...]
    beyond: tuple[tuple[Bench, Bench, float], ...] = ()
    any_value: AnyValue | None = None

    @property
    def words(self) -> str:
        """Nothing of the sound panel."""
        return self.candidate.words if self.candidate is not None else ""

    def shows(self, seen: Observation) -> bool:
        """Whether this can be seen with it.  Raises Unsolvable."""
        return self.fits([seen])

    def fits(self, seen: Sequence[Observation]) -> bool:
        """Whether all this can be seen with it.  Raises Unsolvable."""
        if self.is_ruled_out(seen):
            return False
        return self._fits_as_likeliest(seen) or next(self.ways(seen), None) is not None

    def is_ruled_out(self, seen: Sequence[Observation]) -> bool:
        """Whether at no ohms of a joint all of it is seen, as far as a whole wire and a break tell:
        little is solved for that."""
        if len(self.beyond) != 2:
            return False
        (_, whole, _), (_, broken, _) = self.beyond
        return are_told_apart(whole, broken, seen) or is_none_between(whole, broken, seen)

    def _fits_as_likeliest(self, seen: Sequence[Observation]) -> bool:
        """Whether the first way it may be explains all: then the others need not be solved."""
        try:
            return what_is_left(Way(self.benches[0], self.benches[0]), seen) is not None
        except Unsolvable:
            return False

    def ways(self, seen: Sequence[Observation]) -> Iterator[Way]:
        """The ways in which it explains all of it.

        Raises Unsolvable where there is none, and one that cannot be solved.
        """
        if self.any_value is not None and any(isinstance(one, Read) for one in seen):
            yield from self._left_of(self._between(seen), seen)
            return
        try:
            yield from self._left_of(self._ends(), seen)
        except Unsolvable:
            if self._rests_whole_and_broken(seen):
                raise
            # With some ohms relays may come to rest that with none do not.
            yield from self._left_of(self._between(seen), seen)

    def likely_ways(self, seen: Sequence[Observation]) -> Sequence[Way]:
        """Those between the benches that are solved anyhow, and only where there are none all: they
        tell what is to be expected, not what is possible.  Raises Unsolvable."""
        if self.any_value is not None and any(isinstance(one, Read) for one in seen):
            with suppress(Unsolvable):
                if known := tuple(self._left_of(self._between(seen, halvings=0), seen)):
                    return known
        return tuple(self.ways(seen))

    def _rests_whole_and_broken(self, seen: Sequence[Observation]) -> bool:
        withs = list(dict.fromkeys(one.withs for one in seen))
        return all(positions_of(bench, withs) is not None for _, bench, _ in self.beyond)

    def _left_of(self, ways: Iterator[Way], seen: Sequence[Observation]) -> Iterator[Way]:
        """Raises Unsolvable where nothing is left, and one way that cannot be solved."""
        found, unsolved = False, None
        for one in ways:
            try:
                way = what_is_left(one, seen)
            except Unsolvable as error:
                way, unsolved = None, error
            if way is not None:
                found = True
                yield way
        if unsolved is not None and not found:
            raise unsolved

    def _between(self, seen: Sequence[Observation], halvings: int = HALVINGS) -> Iterator[Way]:
        assert self.any_value is not None
        known = dict(zip(self.any_value.tried, self.benches, strict=True))
        known |= {share: bench for _, bench, share in self.beyond}
        return self.any_value.straight(known, seen, halvings)

    def _ends(self) -> Iterator[Way]:
        """Before anything is read these are enough."""
        first, *others = self.benches
        for other in others or [first]:
            yield Way(first, other)
        for tried, bench, _ in self.beyond:
            yield Way(tried, bench)

    def reading(self, red: str, black: str, withs: tuple[str, ...]) -> Reading:
        """The likeliest."""
        return self.benches[0].reading(red, black, withs)


def tried(
    sound: Sound, candidate: Candidate, played: Played | None = None, hands: Hands | None = None
) -> Tried:
    """`played` knows of states that were worked out together, `hands` operate the panel."""

    def known(withs: tuple[str, ...], broken: Panel) -> Standing | None:
        return None if played is None else played.standing(candidate, withs, broken)

    def bench(change: Change) -> Bench:
        return Bench(
            sound,
            change,
            operated=candidate.operated,
            soft=candidate.is_soft,
            known=known,
            hands=hands,
            several=sum(one.may_short for one in candidate.both) > 1,
        )

    benches = [bench(_way(candidate, place)) for place in range(len(candidate.edits) or 1)]
    if not candidate.is_soft:
        return Tried(candidate, tuple(benches))
    first = candidate.edits[0]

    def at(share: float) -> Bench:
        edit = _at_share(first, share)
        return bench(lambda panel: troubled(panel, edit))

    shares = [_share_of(one, first) for one in candidate.edits]
    return Tried(candidate, tuple(benches), any_value=AnyValue(shares, at))


def _share_of(edit: Edit, first: Edit) -> float:
    """Of a joint of as many ohms as the `first` a half, of a supply that of its volts."""
    if edit.volts:
        return edit.volts[0][1]
    ohm, first_ohm = edit.joints[0][2], first.joints[0][2]
    return ohm / (ohm + first_ohm)


def _at_share(first: Edit, share: float) -> Edit:
    if first.volts:
        return replace(first, volts=tuple((index, share) for index, _ in first.volts))
    ((a, b, first_ohm),) = first.joints
    return replace(first, joints=((a, b, first_ohm * share / (1 - share)),))


def _way(candidate: Candidate, place: int) -> Change:
    return lambda panel: candidate.put_in(panel, place)


def unbroken(sound: Sound) -> Tried:
    return Tried(None, (Bench(sound, lambda whole: whole),))


def shown(tried: Tried, seen: Sequence[Observation]) -> frozenset[int]:
    """Which of these, by their places, it shows; none of what cannot be solved."""
    found = set()
    for place, one in enumerate(seen):
        try:
            if tried.shows(one):
                found.add(place)
        except Unsolvable:
            continue
    return frozenset(found)
