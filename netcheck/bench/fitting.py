"""One panel with something wrong in it, and whether it then looks as it was seen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from math import sqrt

from netcheck.bench.at_places import AtPlaces
from netcheck.bench.candidates import Candidate
from netcheck.bench.circles import may_be_in_a_circle
from netcheck.bench.faults_at_once import Played
from netcheck.bench.hands import Hands, Moves
from netcheck.bench.in_numbers import stand_in_numbers
from netcheck.bench.observations import Dim, Observation, Read, Symptom, Trips
from netcheck.bench.one_place import by_state, told_apart
from netcheck.bench.readings import Reading, Volts, along
from netcheck.bench.sound import Sound
from netcheck.bench.standing import Standing, stand
from netcheck.bench.trial import Trial, left_alone, troubled_standing
from netcheck.bench.troubles import Edit, troubled
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.record import record, replace
from netcheck.states.answers import Undecided

DIM = (0.05, 0.9)
"""Between these shares of its volts a load is dim: it does something, and too little."""
CELLS = 10
SOFT_OFF, SOFT_ON = 0.9, 0.5
"""Where a load gets some of its volts: at this share and less it may be called off, at that and
more on."""
TELLING_V = 1.0
"""A reading that is less apart at two ohms of a joint tells nothing of those in between."""

LIKE_ENDS = 0.1
"""Two pairs read alike where their ends differ by less than this share of what lies between."""

HALVINGS = 6
"""Of what lies between two benches, to find where a relay changes."""

NEARLY_OPEN = 0.999
"""So much of a joint is all but a break, at which a point behind it floats: between volts and none
lies nothing, between many and few everything."""

DOWN = 32.0
"""Below the least share tried, so much less is tried next: on a wire of many loads a lamp is dim at
a ten-thousandth of its own ohms."""

Positions = tuple[tuple[str, ...], frozenset[int]]
Change = Callable[[Panel], Panel]
Known = Callable[[tuple[str, ...], Panel], Standing | None]


class Unsolvable(Exception):
    """With this fault there are no numbers to compare."""


class Bench:
    """A panel with one change in it, in each of the states that something was seen in.

    Not `operated`, everything is put where it was seen at once and nothing ever trips: quick.
    Operated, power comes on and what is shorted opens its fuse.  `soft`: loads are judged by
    their volts.  `known` gives a state that was worked out together with others, None where
    there is none; `sound` is the panel without the change.  `several`: it may hold more than one
    short.
    """

    def __init__(
        self,
        sound: Sound,
        change: Change,
        *,
        operated: bool = False,
        soft: bool = False,
        known: Known | None = None,
        hands: Hands | None = None,
        several: bool = False,
    ) -> None:
        self._sound = sound
        self._hands = hands or Hands(sound)
        self._several = several
        self._change = change
        self._operated = operated
        self._soft = soft
        self._known = known
        self._standing: dict[tuple[str, ...], Standing] = {}
        self._solved: dict[tuple[str, ...], AtPlaces] = {}
        self._positions: dict[tuple[str, ...], Positions] = {}
        self._as_others: dict[int, tuple[Bench, Bench]] = {}
        self._tripped: dict[Trips, bool] = {}

    def standing(self, withs: tuple[str, ...]) -> Standing:
        """Raises Unsolvable where relays do not come to rest, or nothing clears a short."""
        if withs not in self._standing:
            changed = self._changed(withs)
            known = self._known(withs, changed) if self._known is not None else None
            self._standing[withs] = known or self._worked_out(changed, withs)
        if self._standing[withs].restless:
            raise Unsolvable
        return self._standing[withs]

    def positions(self, withs: tuple[str, ...]) -> Positions:
        """Of all relays, and the supplies and drives that run.  Raises Unsolvable."""
        if withs not in self._positions:
            standing, steady = self.standing(withs), self._numbers(withs).steady
            if isinstance(steady, Undecided):
                raise Unsolvable
            relays = tuple(standing.position(name) for name in standing.states.machine.movers)
            self._positions[withs] = relays, steady.live
        return self._positions[withs]

    def _worked_out(self, changed: Panel, withs: tuple[str, ...]) -> Standing:
        if self._soft:
            found = stand_in_numbers(self._sound, withs, changed)
            if found is None:
                raise Unsolvable
            standing, self._solved[withs] = found
            return standing
        if changed is self._sound.put(withs):
            return self._sound.standing(withs)
        return self._run(changed, withs) if self._operated else self._stood(changed)

    def _run(self, changed: Panel, withs: tuple[str, ...]) -> Standing:
        trial = self._hands.operated(withs, changed, (), _powered, several=self._several)
        if not trial.stands:
            raise Unsolvable
        return trial.standing

    def _stood(self, changed: Panel) -> Standing:
        return replace(stand(left_alone(changed, changed, ())), rated=self._sound.rated)

    def _changed(self, withs: tuple[str, ...]) -> Panel:
        return self._change(self._sound.put(withs))

    def reading(self, red: str, black: str, withs: tuple[str, ...]) -> Reading:
        """What a meter shows, wires taken as ideal."""
        reading = self._numbers(withs).reading(red, black)
        if reading is None:
            raise Unsolvable
        return reading

    def volts(self, red: str, black: str, withs: tuple[str, ...]) -> Volts | None:
        """By system; None where it floats.  Raises Unsolvable."""
        numbers = self._numbers(withs)
        if not numbers.solved:
            raise Unsolvable
        return numbers.volts(red, black)

    def _numbers(self, withs: tuple[str, ...]) -> AtPlaces:
        """Raises Unsolvable."""
        standing = self.standing(withs)
        if withs not in self._solved:
            self._solved[withs] = AtPlaces(standing, self._sound.solved)
        return self._solved[withs]

    def reading_as(self, other: Bench, seen: Read) -> Reading:
        """What is read with relays as they stand at another bench.  Raises Unsolvable."""
        return self.standing_as(other).reading(seen.red, seen.black, seen.withs)

    def standing_as(self, other: Bench) -> Bench:
        """With relays, drives and supplies as they stand at another bench, whatever they get; loads
        by their volts."""
        if other is self:
            return self
        if id(other) not in self._as_others:

            def stood(withs: tuple[str, ...], changed: Panel) -> Standing:
                there, (_, running) = other.standing(withs), other.positions(withs)
                values, rated = dict(there.values), self._sound.rated
                stood = troubled_standing(changed, there.states, values, rated)
                return replace(stood, running=running)

            bench = Bench(self._sound, self._change, soft=True, known=stood)
            self._as_others[id(other)] = other, bench
        return self._as_others[id(other)][1]

    def tells_apart(self, other: Bench, seen: Sequence[Observation]) -> bool:
        """Whether readings differ of points that are one place here, with contacts that are closed
        at the other bench as well, or from what a source gives here and there.  Raises
        Unsolvable."""
        return any(self._tells_apart(other, withs, reads) for withs, reads in by_state(seen))

    def _tells_apart(self, other: Bench, withs: tuple[str, ...], reads: Sequence[Read]) -> bool:
        place_of = self._numbers(withs).place_however(other.standing(withs))
        poles = [
            {place_of(f"{one.device}:{pole}") for pole in one.poles}
            for one in self._sound.panel.sources
            if self._sound.panel.devices[one.device].kind != "transformer"  # gives as it gets
        ]
        given = (one for one in reads if _are_poles(poles, place_of(one.red), place_of(one.black)))
        return told_apart(reads, place_of) or not all(
            any(one.agrees(at.reading(one.red, one.black, withs)) for at in (self, other))
            for one in given
        )

    # ---- symptoms ----------------------------------------------------------------------------

    def looks(self, seen: Symptom | Dim | Trips) -> bool:
        if isinstance(seen, Trips):
            if seen not in self._tripped:
                self._tripped[seen] = self._operated and self._trips(seen)
            return self._tripped[seen]
        standing = self.standing(seen.withs)
        if isinstance(seen, Dim):
            return any(DIM[0] < level < DIM[1] for level in self._levels(standing, seen))
        for name in standing.panel.devices[seen.device].mechanisms:
            if standing.panel.mechanisms[name].moved_by_coil:
                states = standing.states
                return seen.on == standing.holds(states.in_positions(name, frozenset((1,))))
        if self._soft:
            levels = self._levels(standing, seen)
            return any(level >= SOFT_ON if seen.on else level <= SOFT_OFF for level in levels)
        loads = _loads(standing.panel, seen.device)
        on = [standing.is_energised(one) for one in loads]
        return any(on) if seen.on else not any(on) or (_is_three_phase(loads) and not all(on))

    def levels(self, seen: Dim) -> list[float]:
        """The share of its volts that each load of a device gets.  Raises Unsolvable."""
        return self._levels(self.standing(seen.withs), seen)

    def _levels(self, standing: Standing, seen: Symptom | Dim) -> list[float]:
        """The share of its volts that each load of a device gets."""
        found = []
        for part in _loads(standing.panel, seen.device):
            if part.load is not None and part.load.volts and part.a != part.b:
                reading = self.reading(part.a, part.b, seen.withs)
                fits = not part.load.kind or reading.kind in ("", part.load.kind)
                found.append(reading.size_v / part.load.volts if fits else 0.0)
        return found or [0.0]

    def _trips(self, seen: Trips) -> bool:
        """Whether it opens: as power comes, or with the relay in that it waits for and not before.

        What moves that relay may move others first, on whose account it opens already: then it is
        closed again once the relay is in.
        """
        changed = self._changed(seen.withs)
        if not may_be_in_a_circle(changed, seen.device):
            return False
        moves = self._hands.moves_for(seen)
        moved = [name for name, _ in moves]

        def operate(trial: Trial) -> bool:
            return self._opens(trial, seen, moves)

        return self._hands.operated(seen.withs, changed, moved, operate, several=self._several)

    def _opens(self, trial: Trial, seen: Trips, moves: Moves) -> bool:
        mechanisms = self._sound.panel.devices[seen.device].mechanisms
        opened = {f"{name} opens: a short" for name in mechanisms}
        at_power = not opened.isdisjoint(trial.powered())
        if not seen.when or at_power:
            return at_power and not seen.when
        said: list[str] = []
        for name, position in moves:
            said += trial.put_if_it_moves(name, position)
        pulled = self._sound.panel.mechanisms[seen.when].steps[1]
        if pulled not in said:
            return False
        if not opened.isdisjoint(said[said.index(pulled) :]):
            return True
        if trial.position(seen.when) != 1 or opened.isdisjoint(said):
            return False
        return any(not opened.isdisjoint(trial.put_if_it_moves(name, 1)) for name in mechanisms)


def _are_poles(poles: Sequence[set[int]], red: int, black: int) -> bool:
    """Whether these are two poles of one source."""
    return red != black and any({red, black} <= one for one in poles)


def _powered(trial: Trial) -> Trial:
    trial.powered()
    return trial


def _loads(panel: Panel, device: str) -> list[Part]:
    """Of a controller what it runs on: an input that is lit does not mean that it works."""
    parts = [panel.parts[index] for index in panel.devices[device].parts]
    loads = [part for part in parts if part.load is not None]
    return [part for part in loads if part.role != "input"] or loads


def _is_three_phase(loads: Sequence[Part]) -> bool:
    """Whether these are one load on three lines: on two of them a motor hums and does not start,
    and one that ran runs on."""
    return len(loads) == 3 and all(one.load is not None and one.load.phases == 3 for one in loads)


# ---- a candidate in all the ways it may be -----------------------------------------------------


@record
class Told:
    """The volts of a pair at both ends of what is possible, and those that were read."""

    first_v: float
    last_v: float
    read_v: float

    @property
    def span_v(self) -> float:
        return abs(self.last_v - self.first_v)

    @property
    def share(self) -> float:
        """Of the way from the first to the last."""
        return min(max((self.read_v - self.first_v) / (self.last_v - self.first_v), 0.0), 1.0)

    def apart_v(self, first: Reading, last: Reading) -> float:
        """By how much another pair differs at the ends."""
        return abs(abs(self.first_v) - first.size_v) + abs(abs(self.last_v) - last.size_v)


@record
class Way:
    """What nobody knows of a candidate, such as the ohms of a joint, at one of the benches `a` and
    `b` or between them: `cells` are the tenths of what lies between that are still possible.

    With one resistance unknown every voltage of a linear circuit is a straight line over its
    current, so that all readings are the same share of the way between those of the two.
    """

    a: Bench
    b: Bench
    cells: tuple[int, ...] = tuple(range(CELLS))
    sides: tuple[tuple[tuple[str, ...], bool, bool], ...] = ()
    """Where relays stand otherwise at `b` than at `a`: whether they may stand as at each."""

    told: tuple[Told, ...] = ()
    """What was read where it hangs on the ohms."""

    def after(self, seen: Observation) -> Way | None:
        """What is left of it once this was seen too.  Raises Unsolvable."""
        if not isinstance(seen, Read):
            return self._looking(seen)
        pair = (seen.red, seen.black, seen.withs)
        cells = tuple(
            cell for cell in self.cells if seen.agrees_within(self._shown_in(cell, *pair))
        )
        if not cells and not self._is_straight(seen.withs):
            ends = [self.a.reading(*pair), self.b.reading(*pair)]
            cells = self.cells if seen.agrees_within(ends) else ()
        return replace(self, cells=cells, told=self._told_by(seen)) if cells else None

    def _told_by(self, seen: Read) -> tuple[Told, ...]:
        if seen.floats or seen.within_v is not None or not self._is_straight(seen.withs):
            return self.told
        first, last = (one.reading(seen.red, seen.black, seen.withs) for one in (self.a, self.b))
        one = Told(seen.volts_of(first), seen.volts_of(last), seen.volts)
        return (*self.told, one) if one.span_v >= TELLING_V else self.told

    def _looking(self, seen: Symptom | Dim | Trips) -> Way | None:
        """Of two loads one may look as at one end and one as at the other, but no relay is both in
        and out."""
        if not self._is_wide:
            return self if self.a.looks(seen) else None
        looks = self.a.looks(seen), self.b.looks(seen)
        if not any(looks):
            return self if isinstance(seen, Dim) and self._is_dim_between(seen) else None
        if isinstance(seen, Trips) or self._is_straight(seen.withs):
            return self
        known = {withs: (at_a, at_b) for withs, at_a, at_b in self.sides}
        at_a, at_b = known.get(seen.withs, (True, True))
        at_a, at_b = known[seen.withs] = at_a and looks[0], at_b and looks[1]
        sides = tuple((withs, *both) for withs, both in known.items())
        return replace(self, sides=sides) if at_a or at_b else None

    def _is_dim_between(self, seen: Dim) -> bool:
        """Whether a load is too dark at one end to be called dim, and too bright at the other."""
        both = zip(self.a.levels(seen), self.b.levels(seen), strict=True)
        return any(min(one) <= DIM[0] and max(one) >= DIM[1] for one in both)

    def reading(self, red: str, black: str, withs: tuple[str, ...]) -> Reading:
        """The likeliest of what is possible, by what was read.  Raises Unsolvable."""
        if self.told:
            first, last = (one.reading(red, black, withs) for one in (self.a, self.b))
            return _between(first, last, self._told_most_like(first, last).share)
        if 0 in self.cells:
            return self.a.reading(red, black, withs)
        first, second = self._ends_of(self.cells[len(self.cells) // 2], red, black, withs)
        return _between(first, second, 0.5)

    def _told_most_like(self, first: Reading, last: Reading) -> Told:
        """Of volts AC only the size is read, which is no straight line: what was read where it is
        alike at both ends tells more than what differs most."""
        like = min(self.told, key=lambda one: one.apart_v(first, last))
        if like.apart_v(first, last) < LIKE_ENDS * like.span_v:
            return like
        return max(self.told, key=lambda one: one.span_v)

    @property
    def _is_wide(self) -> bool:
        return self.a is not self.b

    def _is_straight(self, withs: tuple[str, ...]) -> bool:
        """Whether relays stand alike at both ends."""
        return self._is_wide and self.a.positions(withs) == self.b.positions(withs)

    def _shown_in(self, cell: int, red: str, black: str, withs: tuple[str, ...]) -> list[Reading]:
        first, last = (one.volts(red, black, withs) for one in (self.a, self.b))
        if first is None or last is None:
            return [*self._ends_of(cell, red, black, withs)]
        return along(first, last, cell / CELLS, (cell + 1) / CELLS)

    def _ends_of(
        self, cell: int, red: str, black: str, withs: tuple[str, ...]
    ) -> tuple[Reading, Reading]:
        first, last = (one.reading(red, black, withs) for one in (self.a, self.b))
        return _between(first, last, cell / CELLS), _between(first, last, (cell + 1) / CELLS)


def _between(first: Reading, last: Reading, share: float) -> Reading:
    if first.floats or last.floats:
        return first if share < 0.5 else last
    return Reading(
        first.dc_v + share * (last.dc_v - first.dc_v), first.ac_v + share * (last.ac_v - first.ac_v)
    )


def _what_is_left(way: Way | None, seen: Sequence[Observation]) -> Way | None:
    """Raises Unsolvable."""
    for one in seen:
        way = way.after(one) if way is not None else None
    return way


class AnyValue:
    """A joint at any ohms or a supply at any volts, each worked out once.

    Of a joint a share of 0 is a whole wire, 1 a break, and at a half it is as its first bench has
    it; of a supply it is that of its volts.  `tried` are the shares of the benches.
    """

    def __init__(self, tried: Sequence[float], bench: Callable[[float], Bench]) -> None:
        self.tried = tuple(tried)
        self._bench = bench
        self._known: dict[float, Bench] = {}

    def straight(self, ends: dict[float, Bench], seen: Sequence[Observation]) -> Iterator[Way]:
        """What lies between two benches at these shares, cut where a relay changes: one reading
        on either side of that says nothing of the other.  Of what cannot be all of that which was
        `seen` not everything."""
        withs = list(dict.fromkeys(one.withs for one in seen))
        points = dict(ends)
        if 1.0 in points and _floats(points[1.0], seen):
            points[NEARLY_OPEN] = self._at(NEARLY_OPEN)
        # A panel that never rests when nothing is wrong with it may rest anywhere.
        flashes = any(_positions(ends[s], withs) is None for s in ends if s not in self.tried)
        met: set[float] = set()
        todo = [(low, high, HALVINGS) for low, high in pairwise(sorted(points))]
        todo.sort(key=lambda one: max(abs(share - self.tried[0]) for share in one[:2]))
        for low, high, halvings in todo:
            both = points[low], points[high]
            if _positions(both[0], withs) == _positions(both[1], withs):
                met |= {low, high}
                yield Way(*both)
            elif halvings and (flashes or _may_be_between(*both, seen)):
                middle = sqrt(low * high) if low else high / DOWN
                points[middle] = self._at(middle)
                todo += [(low, middle, halvings - 1), (middle, high, halvings - 1)]
        for share in sorted(points.keys() - met):
            yield Way(points[share], points[share])

    def _at(self, share: float) -> Bench:
        if share not in self._known:
            self._known[share] = self._bench(share)
        return self._known[share]


def _floats(bench: Bench, seen: Sequence[Observation]) -> bool:
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


def _may_be_between(low: Bench, high: Bench, seen: Sequence[Observation]) -> bool:
    """Whether all of it may be seen where some relays have moved from where they stand at the one
    and some have not yet: any reading then lies among those with all or none of them moved.  Next
    to where they do not come to rest they may stand in any way."""
    withs = list(dict.fromkeys(one.withs for one in seen))
    at_low, at_high = _positions(low, withs), _positions(high, withs)
    if at_low is None or at_high is None:
        return True
    if _are_told_apart(low, high, seen):
        return False
    try:
        if _moved(at_low, at_high) == 1:
            # It stands as at the one or as at the other, whatever else is.
            ways = Way(low, high.standing_as(low)), Way(low.standing_as(high), high)
            return any(_what_is_left(way, seen) is not None for way in ways)
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


def _are_told_apart(low: Bench, high: Bench, seen: Sequence[Observation]) -> bool:
    """Whether readings differ of points that are one place at both: then at all between."""
    try:
        return low.tells_apart(high, seen) and high.tells_apart(low, seen)
    except Unsolvable:
        return False


def _moved(low: Sequence[Positions], high: Sequence[Positions]) -> int:
    """How many relays, drives and supplies stand otherwise, in all states together."""
    return sum(
        sum(a != b for a, b in zip(relays, others, strict=True)) + len(live ^ lives)
        for (relays, live), (others, lives) in zip(low, high, strict=True)
    )


def _positions(bench: Bench, withs: Sequence[tuple[str, ...]]) -> tuple[Positions, ...] | None:
    """None where relays do not come to rest, or there are no numbers."""
    try:
        return tuple(bench.positions(one) for one in withs)
    except Unsolvable:
        return None


@record
class Tried:
    """A candidate and its benches, one for each of the ways it may be, the middle one first.

    `beyond` are benches that it may lie between as well, and the share of the second: of a joint
    the least ohms and none, the most and a break.  `any_value` has all between."""

    candidate: Candidate | None
    benches: tuple[Bench, ...]
    beyond: tuple[tuple[Bench, Bench, float], ...] = ()
    any_value: AnyValue | None = None

    def shows(self, seen: Observation) -> bool:
        """Whether this can be seen with it.  Raises Unsolvable."""
        return self.fits([seen])

    def fits(self, seen: Sequence[Observation]) -> bool:
        """Whether all this can be seen with it.  Raises Unsolvable."""
        if len(self.beyond) == 2:
            (_, whole, _), (_, broken, _) = self.beyond
            if _are_told_apart(whole, broken, seen):
                return False
        return self._fits_as_likeliest(seen) or next(self.ways(seen), None) is not None

    def _fits_as_likeliest(self, seen: Sequence[Observation]) -> bool:
        """Whether the first way it may be explains all: then the others need not be solved."""
        try:
            return _what_is_left(Way(self.benches[0], self.benches[0]), seen) is not None
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

    def _rests_whole_and_broken(self, seen: Sequence[Observation]) -> bool:
        withs = list(dict.fromkeys(one.withs for one in seen))
        return all(_positions(bench, withs) is not None for _, bench, _ in self.beyond)

    def _left_of(self, ways: Iterator[Way], seen: Sequence[Observation]) -> Iterator[Way]:
        """Raises Unsolvable where nothing is left, and one way that cannot be solved."""
        found, unsolved = False, None
        for one in ways:
            try:
                way = _what_is_left(one, seen)
            except Unsolvable as error:
                way, unsolved = None, error
            if way is not None:
                found = True
                yield way
        if unsolved is not None and not found:
            raise unsolved

    def _between(self, seen: Sequence[Observation]) -> Iterator[Way]:
        assert self.any_value is not None
        known = dict(zip(self.any_value.tried, self.benches, strict=True))
        known |= {share: bench for _, bench, share in self.beyond}
        return self.any_value.straight(known, seen)

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
            several=bool(candidate.both),
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
