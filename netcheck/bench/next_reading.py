"""Which two points to meter next: those whose readings part the suspects best, with the least
moving, covers to open and live work."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Sequence

from netcheck.bench.between import Way
from netcheck.bench.broken_panel import Bench, Unsolvable
from netcheck.bench.chains import Chains
from netcheck.bench.fitting import Tried
from netcheck.bench.likelihoods import Sort
from netcheck.bench.observations import Observation, Read
from netcheck.bench.poles_apart import poles_apart
from netcheck.bench.readings import SHOCK_V, Reading
from netcheck.bench.unsaid_grounds import unsaid_grounds
from netcheck.bench.walks import Walk
from netcheck.bench.whereabouts import (
    ENCLOSED,
    GroundAtHand,
    grounded_poles,
    place_in_words,
    within_reach,
)
from netcheck.model.devices import device_of, is_inside
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.record import record, replace

LIKE = 0.15
"""A share that readings must differ by to be told apart."""
ALIKE_SPLITS = 1.1
"""A split worse by no more than this factor is as good, if it costs less."""

Weighed = tuple[Tried, float]
Exposed = Callable[[str, str], float]
"""The highest volts at two points, between conductors or to ground."""


@record
class Outcome:
    """One reading of the next pair, and the faults that it leaves."""

    reading: Reading
    faults: tuple[str, ...]


@record
class Next:
    """Red on `red`, black on `black`, with these things put somewhere.

    `exposed_v` is the highest voltage at the two points, between conductors or to ground: two
    points that read 0 V may both be live.
    """

    red: str
    black: str
    location: str
    withs: tuple[str, ...]
    outcomes: tuple[Outcome, ...]
    exposed_v: float
    apart: tuple[str, ...] = ()
    """Where each lead goes, if that is two places: nothing within reach parts the suspects."""
    ground_instead: str = ""
    """What does for the black lead beside the red one, where its own point is elsewhere."""
    unsaid: tuple[str, ...] = ()
    """Of which sources of these ways no ground is said, a sentence each."""
    exposed_between: str = ""
    """The poles of these ways that are `exposed_v` apart, `MAINS:L1 to MAINS:L2`."""


def next_reading(
    panel: Panel,
    ways: Sequence[Walk],
    chains: Chains,
    seen: Sequence[Observation],
    left: Sequence[Weighed],
    skipped: Collection[tuple[str, str]],
    exposed: Exposed,
) -> Next | None:
    """None where nothing but the `skipped` pairs parts the suspects, or there is only one.  No lead
    gets inside of a device.

    Between the members of a chain is metered only once nothing else parts what is left; and between
    two places only once nothing within reach does.
    """
    if len(left) < 2:
        return None
    ground = GroundAtHand(panel)
    choice = _Choice(panel, chains, seen, left, exposed)
    found = (*_pairs(ways), *_across(panel, ways, seen, left), *_at_hand(panel, ways, ground))
    every = [pair for pair in dict.fromkeys(found) if pair not in skipped]
    every = [pair for pair in every if not any(map(is_inside, pair))]
    near: list[tuple[str, str]] = []
    far: list[tuple[str, str]] = []
    for red, black in every:
        (near if ground.is_met(red, black) else far).append((red, black))
    for pairs in (near, far):
        ends = [pair for pair in pairs if chains.between.isdisjoint(pair)]
        step = choice.best(ends) or choice.best(pairs, inside=True)
        if step is not None:
            return _at_its_place(panel, ways, ground, step)
    return None


def _at_its_place(panel: Panel, ways: Iterable[Walk], ground: GroundAtHand, step: Next) -> Next:
    """With what whoever stands there has to know."""
    poles = _sources_at(ways, step)
    places = (place_in_words(panel, device_of(end)) for end in (step.red, step.black))
    return replace(
        step,
        apart=() if ground.is_met(step.red, step.black) else tuple(places),
        ground_instead=ground.instead_of(step.black, step.red),
        unsaid=unsaid_grounds(panel, poles),
        exposed_between=poles_apart(panel, poles, step.exposed_v),
    )


def _sources_at(ways: Iterable[Walk], step: Next) -> set[str]:
    """The sources of the ways that pass a pair of points."""
    pair = {step.red, step.black}
    passing = [way for way in ways if any(pair & {one.start, one.end} for one in way.passed)]
    return {device_of(end) for way in passing for end in (way.start, way.end)}


class _Choice:
    """Compares pairs by what their readings leave, and by what they cost."""

    def __init__(
        self,
        panel: Panel,
        chains: Chains,
        seen: Sequence[Observation],
        left: Sequence[Weighed],
        exposed: Exposed,
    ) -> None:
        self._panel = panel
        self._exposed = exposed
        self._chains = chains
        self._left = left
        self._total = sum(weight for _, weight in left)
        self._states = list(dict.fromkeys(one.withs for one in seen))
        reads = [one for one in seen if isinstance(one, Read)]
        self._done = {(one.red, one.black, one.withs) for one in reads}
        self._lead = reads[-1].black if reads else ""
        self._representative: dict[Hashable, Tried] = {}
        # Before anything is read the likeliest ohms stand for all.
        self._soft = [each for each in left if reads and _is_soft(each[0])]
        self._ways = {id(one): one.likely_ways(seen) for one, _ in self._soft}

    def best(self, pairs: Sequence[tuple[str, str]], *, inside: bool = False) -> Next | None:
        found: list[tuple[float, tuple[int, ...], Next]] = []
        for withs in self._states:
            for place, (red, black) in enumerate(pairs):
                if {(red, black, withs), (black, red, withs)} & self._done:
                    continue
                groups = self._groups(red, black, withs, inside=inside)
                if all(len(one.left) == len(self._left) for one in groups):
                    continue
                step = self._step(red, black, withs, groups)
                left = sum(one.likely * one.weight for one in groups)
                found.append((left / self._total, (*self._cost(step), place), step))
        if not found:
            return None
        least = min(left for left, _, _ in found)
        good = [(cost, left, step) for left, cost, step in found if left <= least * ALIKE_SPLITS]
        return min(good, key=lambda one: (one[0][:-1], one[1], one[0][-1]))[2]

    def _cost(self, step: Next) -> tuple[int, ...]:
        """Walking first, then live work, then another switch to hold, then the other lead."""
        places = [self._panel.devices[device_of(end)].location for end in (step.red, step.black)]
        outside = sum(place not in ENCLOSED for place in places)
        covers = sum(place == "door" for place in places)
        live = int(step.exposed_v >= SHOCK_V)
        return outside, covers, live, self._states.index(step.withs), int(step.black != self._lead)

    def _step(self, red: str, black: str, withs: tuple[str, ...], groups: Sequence[_Group]) -> Next:
        location = self._panel.devices[device_of(red)].location
        outcomes = [
            Outcome(one.reading, tuple(other.words for other, _ in one.left)) for one in groups
        ]
        outcomes.sort(key=lambda outcome: -outcome.reading.size_v)
        return Next(red, black, location, withs, tuple(outcomes), self._exposed(red, black))

    def _groups(
        self, red: str, black: str, withs: tuple[str, ...], *, inside: bool
    ) -> list[_Group]:
        """Readings a meter tells apart; what floats goes with 0 V, for it may show that."""
        groups: list[_Group] = []
        anything: list[Weighed] = []
        for one, weight in self._left:
            try:
                reading = self._expected(one, inside=inside).reading(red, black, withs)
            except Unsolvable:
                anything.append((one, weight))
                continue
            shown = Reading() if reading.floats else reading
            group = next((g for g in groups if g.reading.like(shown, within=LIKE)), None)
            if group is None:
                groups.append(group := _Group(shown))
            group.add(one, weight)
        for group in groups:
            read = _as_read(group.reading, red, black, withs)
            others = [each for each in self._soft if self._may_show(each[0], read)]
            group.may_be([*anything, *others])
        return groups

    def _may_show(self, one: Tried, read: Read) -> bool:
        try:
            return any(way.shows(read) for way in self._ways[id(one)])
        except Unsolvable:
            return True

    def _expected(self, one: Tried, *, inside: bool) -> Bench | Way:
        """Of a joint of which something was read already, the ohms that explain it."""
        ways = self._ways.get(id(one))
        return ways[0] if ways else self._reader(one, inside=inside).benches[0]

    def _reader(self, one: Tried, *, inside: bool) -> Tried:
        """The first of its chain, which reads the same but for the places between."""
        assert one.candidate is not None
        chain = None if inside else self._chains.of(one.candidate)
        return one if chain is None else self._representative.setdefault(chain, one)


class _Group:
    """What one reading would leave: those that show it, of weight `likely`, and those that may
    show it too, for of them nobody knows how many ohms they are."""

    def __init__(self, reading: Reading) -> None:
        self.reading = reading
        self.left: list[Weighed] = []
        self.likely = 0.0
        self.weight = 0.0

    def add(self, one: Tried, weight: float) -> None:
        self.left.append((one, weight))
        self.likely += weight
        self.weight += weight

    def may_be(self, others: Iterable[Weighed]) -> None:
        known = {id(one) for one, _ in self.left}
        for one, weight in others:
            if id(one) not in known:
                self.left.append((one, weight))
                self.weight += weight


def _as_read(reading: Reading, red: str, black: str, withs: tuple[str, ...]) -> Read:
    kind = reading.kind if reading.kind in ("AC", "DC") else ""
    volts = reading.dc_v if kind == "DC" else reading.size_v
    return Read("", red, black, volts, kind, False, withs)


def _is_soft(one: Tried) -> bool:
    return one.candidate is not None and one.candidate.is_soft


def _across(
    panel: Panel, ways: Sequence[Walk], seen: Iterable[Observation], left: Iterable[Weighed]
) -> Iterator[tuple[str, str]]:
    """The ends of wires whose joints are suspected: under load only a bad one has volts across.

    Where something was read, also from the pole to each: a few volts less at a point are lost in
    what a meter may be off by, and as many between two points are not."""
    joints = [one.candidate for one, _ in left if one.candidate is not None]
    wires = {wire for one in joints if one.sort is Sort.JOINT for wire in one.wires}
    for index in sorted(wires):
        yield panel.wires[index].a, panel.wires[index].b
    if any(isinstance(one, Read) for one in seen):
        for way in ways:
            ahead = way.passed[: [step.by for step in way.passed].index(way.load)]
            for step in ahead:
                if isinstance(step.by, Wire) and step.by.index in wires and step.end != way.start:
                    yield way.start, step.end


def _at_hand(panel: Panel, ways: Iterable[Walk], ground: GroundAtHand) -> Iterator[tuple[str, str]]:
    """From each point that is in another place than the end of its way, to what is within reach
    there: the last point of the way in that place, and ground."""
    poles = {device_of(pole): pole for pole in grounded_poles(panel)}
    for way in ways:
        pole = poles.get(device_of(way.start), "")
        passed = [one.start for one in way.passed]
        far = [point for point in passed if not within_reach(panel, point, way.end)]
        for point in far:
            last = next(one for one in reversed(far) if within_reach(panel, point, one))
            if last != point:
                yield point, last
            if pole and ground.instead_of(pole, point):
                yield point, pole


def _pairs(ways: Iterable[Walk]) -> Iterator[tuple[str, str]]:
    ways = list(ways)
    pairs = [(step.start, way.end) for way in ways for step in way.passed if step.start != way.end]
    pairs += [(way.entered, way.left) for way in ways]
    yield from dict.fromkeys(pairs)
