"""What nobody knows of a fault, such as the ohms of a joint: all that lies between two benches."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from functools import partial
from math import inf

from netcheck.bench.broken_panel import (
    DIM,
    FED_ALIKE,
    Bench,
    Positions,
    Unsolvable,
    level_of,
    looked_for,
    positions_of,
)
from netcheck.bench.observations import Dim, Observation, Read, Symptom, Trips
from netcheck.bench.readings import Reading, along
from netcheck.bench.spans import WHOLE, Span, spans_left
from netcheck.model.devices import Part
from netcheck.record import record, replace


@record
class Way:
    """What nobody knows of a candidate, such as the ohms of a joint, at one of the benches `a` and
    `b` or between them: `spans` are the shares of the way between that are still possible.

    With one resistance unknown every voltage of a linear circuit is a straight line over its
    current, so that all readings are the same share of the way between those of the two.
    """

    a: Bench
    b: Bench
    spans: tuple[Span, ...] = (WHOLE,)
    sides: tuple[tuple[tuple[str, ...], bool, bool], ...] = ()
    """Where relays stand otherwise at `b` than at `a`: whether they may stand as at each."""

    def after(self, seen: Observation) -> Way | None:
        """What is left of it once this was seen too.  Raises Unsolvable."""
        if not isinstance(seen, Read):
            return self._looking(seen)
        spans = tuple(self._showing(seen))
        return replace(self, spans=spans) if spans else None

    def shows(self, seen: Read) -> bool:
        """Whether anything is left of it after this reading.  Raises Unsolvable."""
        return next(self._showing(seen), None) is not None

    def _showing(self, seen: Read) -> Iterator[Span]:
        """Where this may be read."""
        pair = (seen.red, seen.black, seen.withs)
        if not self._is_straight(seen.withs):
            ends = [self.a.reading(*pair), self.b.reading(*pair)]
            return iter(self.spans if seen.agrees_within(ends) else ())
        shown = self._shown(*pair)

        def judge(low: float, high: float) -> bool | None:
            some = shown(low, high)
            return (all(map(seen.agrees, some)) or None) if seen.agrees_within(some) else False

        return spans_left(self.spans, judge)

    def _looking(self, seen: Symptom | Dim | Trips) -> Way | None:
        """Of two loads one may look as at one end and one as at the other, but no relay is both in
        and out."""
        if not self._is_wide:
            return self if self.a.looks(seen) else None
        looks = self.a.looks(seen), self.b.looks(seen)
        if isinstance(seen, Trips):
            return self if any(looks) else None
        if self._is_straight(seen.withs):
            return self._looking_between(seen, looks)
        if not any(looks):
            return self if isinstance(seen, Dim) and self._is_dim_between(seen) else None
        known = {withs: (at_a, at_b) for withs, at_a, at_b in self.sides}
        at_a, at_b = known.get(seen.withs, (True, True))
        at_a, at_b = known[seen.withs] = at_a and looks[0], at_b and looks[1]
        sides = tuple((withs, *both) for withs, both in known.items())
        return replace(self, sides=sides) if at_a or at_b else None

    def _looking_between(self, seen: Symptom | Dim, looks: tuple[bool, bool]) -> Way | None:
        """The ends at which it looks so, and where between them a load gets such volts."""
        loads = self.a.judged(seen)
        if not loads:
            return self if any(looks) else None
        return self.where_levels(loads, seen.withs, looked_for(seen), looks)

    def where_levels(
        self,
        loads: Sequence[Part],
        withs: tuple[str, ...],
        wanted: tuple[float, float],
        at_ends: tuple[bool, bool] = (False, False),
    ) -> Way | None:
        """Where one of these gets such a share of its volts, and the ends for which that is said
        `at_ends`.  Raises Unsolvable."""
        shown = [(load, self._shown(load.a, load.b, withs)) for load in loads]
        least, most = wanted

        def judge(low: float, high: float) -> bool | None:
            every = [[level_of(load, one) for one in some(low, high)] for load, some in shown]
            if any(min(levels) >= least and max(levels) <= most for levels in every):
                return True
            at_end = (at_ends[0] and low == 0) or (at_ends[1] and high == 1)
            may = any(min(levels) <= most and max(levels) >= least for levels in every)
            return None if at_end or may else False

        spans = tuple(spans_left(self.spans, judge))
        return replace(self, spans=spans) if spans else None

    def _is_dim_between(self, seen: Dim) -> bool:
        """Whether a load is too dark at one end to be called dim, and too bright at the other."""
        both = zip(self.a.levels(seen), self.b.levels(seen), strict=True)
        return any(min(one) <= DIM[0] and max(one) >= DIM[1] for one in both)

    def reading(self, red: str, black: str, withs: tuple[str, ...]) -> Reading:
        """The likeliest of what is possible, by what was read.  Raises Unsolvable."""
        low, high = max(self.spans, key=lambda span: span[1] - span[0])
        if low == 0:
            return self.a.reading(red, black, withs)
        first, last = (one.reading(red, black, withs) for one in (self.a, self.b))
        return _between(first, last, (low + high) / 2)

    @property
    def _is_wide(self) -> bool:
        return self.a is not self.b

    def _is_straight(self, withs: tuple[str, ...]) -> bool:
        """Whether relays stand alike at both ends."""
        return self._is_wide and self.a.positions(withs) == self.b.positions(withs)

    def _shown(
        self, red: str, black: str, withs: tuple[str, ...]
    ) -> Callable[[float, float], Sequence[Reading]]:
        """Of two shares those between which lies all that may be read from the one to the other."""
        first, last = (one.volts(red, black, withs) for one in (self.a, self.b))
        if first is not None and last is not None:
            return partial(along, first, last)
        begin, end = (one.reading(red, black, withs) for one in (self.a, self.b))
        return lambda low, high: [_between(begin, end, share) for share in (low, high)]


def _between(first: Reading, last: Reading, share: float) -> Reading:
    if first.floats or last.floats:
        return first if share < 0.5 else last
    return Reading(
        first.dc_v + share * (last.dc_v - first.dc_v), first.ac_v + share * (last.ac_v - first.ac_v)
    )


def what_is_left(way: Way | None, seen: Sequence[Observation]) -> Way | None:
    """Raises Unsolvable."""
    for one in seen:
        way = way.after(one) if way is not None else None
    return way


def floats_with(bench: Bench, seen: Sequence[Observation]) -> bool:
    """Whether with it something floats that was read."""
    try:
        reads = [one for one in seen if isinstance(one, Read)]
        return any(bench.reading(one.red, one.black, one.withs).floats for one in reads)
    except Unsolvable:
        return False


def _is_among(seen: Read, readings: Sequence[Reading]) -> bool:
    """Whether it may be read at one of these or between any two; between what floats is nothing."""
    firm = [one for one in readings if not one.floats]
    return any(map(seen.agrees, readings)) or seen.agrees_within(firm)


def may_be_between(low: Bench, high: Bench, seen: Sequence[Observation]) -> bool:
    """Whether all of it may be seen where some relays have moved from where they stand at the one
    and some have not yet: any reading then lies among those with all or none of them moved.  Next
    to where they do not come to rest they may stand in any way."""
    withs = list(dict.fromkeys(one.withs for one in seen))
    at_low, at_high = positions_of(low, withs), positions_of(high, withs)
    if at_low is None or at_high is None:
        return True
    if are_told_apart(low, high, seen):
        return False
    try:
        if _moved(at_low, at_high) == 1:
            # It stands as at the one or as at the other, whatever else is.
            ways = Way(low, high.standing_as(low)), Way(low.standing_as(high), high)
            return any(what_is_left(way, seen) is not None for way in ways)
    except Unsolvable:
        return True
    told = [one for one in seen if isinstance(one, Symptom)]
    if not all(low.looks(one) or high.looks(one) for one in told):
        return False
    try:
        for one in seen:
            if isinstance(one, Read):
                ends = [other.reading_as(at, one) for other in (low, high) for at in (low, high)]
                if not _is_among(one, ends):
                    return False
    except Unsolvable:
        return True
    return True


def are_told_apart(low: Bench, high: Bench, seen: Sequence[Observation]) -> bool:
    """Whether readings differ of points that are one place at both: then at all between."""
    try:
        return low.tells_apart(high, seen) and high.tells_apart(low, seen)
    except Unsolvable:
        return False


def is_none_between(whole: Bench, broken: Bench, seen: Sequence[Observation]) -> bool:
    """Whether at no ohms of a joint all of it is seen, where one relay or supply at most hangs on
    the joint: with that in everything stands as in the whole panel, with that out as with a break,
    and each time all volts lie on a straight line.  Where several hang on it any of them may be in
    by itself, and nothing is said."""
    for withs in dict.fromkeys(one.withs for one in seen):
        own = [one for one in seen if one.withs == withs]
        try:
            fed = whole.fed_otherwise(broken, withs) | broken.fed_otherwise(whole, withs)
            ways = Way(whole, broken.standing_as(whole)), Way(whole.standing_as(broken), broken)
            if len(fed) <= 1 and not any(_may_lie_on(way, own, fed) for way in ways):
                return True
        except Unsolvable:
            continue
    return False


def _may_lie_on(way: Way, seen: Sequence[Observation], fed: Collection[str]) -> bool:
    """Whether all may be seen between its ends, all in one state, but for what was read where a
    point floats at one of them: that may be anything.  Raises Unsolvable."""
    told = [one for one in seen if not (isinstance(one, Read) and _floats_at_one_end(way, one))]
    left = what_is_left(way, told)
    return left is not None and _is_fed_enough(left, seen[0].withs, fed)


def _floats_at_one_end(way: Way, seen: Read) -> bool:
    """Raises Unsolvable."""
    pair = seen.red, seen.black, seen.withs
    return way.a.reading(*pair).floats is not way.b.reading(*pair).floats


def _is_fed_enough(way: Way, withs: tuple[str, ...], fed: Collection[str]) -> bool:
    """Whether somewhere on it a supply that runs, and hangs on it, gets what it needs to run."""
    panel, (_, running) = way.a.standing(withs).panel, way.a.positions(withs)
    supplies = (panel.sources[index] for index in running)
    inputs = [i for one in supplies if one.device in fed for i in one.inputs]
    left: Way | None = way
    for load in (panel.parts[index] for index in inputs):
        if left is not None and load.load is not None and load.load.volts:
            least = load.load.low * (1 - FED_ALIKE)
            left = left.where_levels([load], withs, (least, inf))
    return left is not None


def _moved(low: Sequence[Positions], high: Sequence[Positions]) -> int:
    """How many relays, drives and supplies stand otherwise, in all states together."""
    return sum(
        sum(a != b for a, b in zip(relays, others, strict=True)) + len(live ^ lives)
        for (relays, live), (others, lives) in zip(low, high, strict=True)
    )
