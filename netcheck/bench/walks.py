"""The ways of feeding a load as they are drawn: from a pole, through the load, and home.

Contacts are passed whether they are open or closed; what counts is that the way exists on
the drawing.  Two ways differ in a contact that they pass.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence, Set
from functools import lru_cache
from itertools import combinations

from netcheck.bench.standing import Standing
from netcheck.bench.whereabouts import grounded_poles
from netcheck.model.devices import Conducts, Part, SourcePart, device_of, is_inside, mark_of
from netcheck.model.faults import moves_with_poles
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, walk
from netcheck.record import record
from netcheck.states.behaviour import Behaviour, Feed, dc_volts, in_band, turns_in_star
from netcheck.states.expressions import FALSE
from netcheck.states.feed_path import poles_at
from netcheck.states.volts import Volts

MOST_WAYS = 32
MOST_STEPS = 20_000
"""Places looked at for one side of one load, so that a mesh of contacts comes to an end."""


@record
class Walk:
    """One way, place by place: `out` to the load, through it, `home` again."""

    load: Part
    out: tuple[Passed, ...]
    home: tuple[Passed, ...]
    volts: Volts
    """Of the pole it leaves against the one it comes home to."""

    @property
    def start(self) -> str:
        return self.out[0].start if self.out else self.entered

    @property
    def end(self) -> str:
        return self.home[-1].end if self.home else self.left

    @property
    def entered(self) -> str:
        return self.out[-1].end if self.out else self._ends()[0]

    @property
    def left(self) -> str:
        return self.home[0].start if self.home else self._ends()[1]

    @property
    def passed(self) -> tuple[Passed, ...]:
        return (*self.out, Passed(self.entered, self.left, self.load), *self.home)

    def _ends(self) -> tuple[str, str]:
        """Where one side is only the terminal itself, a pole of the load's own device."""
        if self.out:
            entered = self.out[-1].end
            return entered, self.load.b if entered == self.load.a else self.load.a
        left = self.home[0].start if self.home else self.load.b
        return (self.load.a if left == self.load.b else self.load.b), left


@record
class Walks:
    """All ways of one load part.  `more`: there are others that were not followed."""

    load: Part
    ways: tuple[Walk, ...]
    more: bool = False


def walks_of(states: Behaviour, load: Part) -> Walks:
    """At the voltage the load is made for; where there is none of those, at any."""
    feeds = states.feeds(load)
    fit = [f for f in feeds if load.load is not None and in_band(f.volts, load.load)]
    found: list[Walk] = []
    more = False
    seen: set[tuple[tuple[Passed, ...], tuple[Passed, ...]]] = set()
    for feed in fit or feeds:
        sides = []
        for terminal, rail in ((load.a, feed.rail_a), (load.b, feed.rail_b)):
            sought = _Sought(states, load, rail)
            sides.append(list(sought.from_terminal(terminal)))
            more = more or sought.gave_up
        for one in sides[0]:
            for other in sides[1]:
                way = _walk(states, load, feed, one, other)
                if way is None or (way.out, way.home) in seen:
                    continue
                if len(found) == MOST_WAYS:
                    return Walks(load, tuple(found), True)
                seen.add((way.out, way.home))
                found.append(way)
    if not found:
        found = list(_others(states, load))
    return Walks(load, tuple(found), more)


def _others(states: Behaviour, load: Part) -> Iterator[Walk]:
    """The shortest way of a load that only has others in its way; of an alarm, which is on only
    once a breaker has opened, the shortest by each breaker's contact."""
    barred: set[int] = set()
    while True:
        way = next(_through_loads(states, load, barred), None)
        if way is None:
            return
        yield way
        alarms = {
            one.by.index
            for one in way.passed
            if isinstance(one.by, Part) and moves_with_poles(states.panel, one.by)
        }
        if not alarms:
            return
        barred |= alarms


def _through_loads(states: Behaviour, load: Part, barred: Set[int]) -> Iterator[Walk]:
    """The shortest way of a load that only has others in its way, such as one in series.  Current
    passes a diode the way it conducts, and no place twice."""

    def one_side(start: str, pole: str, taken: Set[int], onwards: bool) -> list[Passed] | None:
        """Walked as current flows, or else against it."""
        if states.node(start) in taken:
            return None

        def free(part: Part, forwards: bool) -> bool:
            if part.index == load.index or part.index in barred or taken & _nodes(states, part):
                return False
            if part.conducts in (Conducts.NOTHING, Conducts.BOND):
                return False
            return forwards == onwards or not states.one_way(part)

        return walk(states.panel, [start], [pole], free)

    for source, high, low in _pole_pairs(states):
        volts = source.poles[mark_of(high)] - source.poles[mark_of(low)]
        for near, far in ((load.a, load.b), (load.b, load.a)):
            out = one_side(near, high, {states.node(far), states.node(low)}, onwards=False)
            if out is None:
                continue
            passed = {states.node(end) for end in (near, *(one.end for one in out))}
            home = one_side(far, low, passed, onwards=True)
            if home is not None:
                yield Walk(load, _turned(out), tuple(home), ((source.basis, volts),))
                return


def _pole_pairs(states: Behaviour) -> Iterator[tuple[SourcePart, str, str]]:
    """Two poles of each source, those of the most volts first; home is at ground, if one is."""
    grounded = set(grounded_poles(states.panel))
    for source in states.panel.sources:
        poles = sorted(source.poles, key=lambda pole: -source.poles[pole].real)
        pairs = combinations([f"{source.device}:{pole}" for pole in poles], 2)
        for high, low in sorted(pairs, key=lambda pair: -_apart(source, *pair)):
            turned = source.kind == "AC" and high in grounded
            yield (source, low, high) if turned else (source, high, low)


def _apart(source: SourcePart, one: str, other: str) -> float:
    return round(abs(source.poles[mark_of(one)] - source.poles[mark_of(other)]), 3)


def star_walk(standing: Standing, load: Part) -> Walk | None:
    """Of a winding of a motor that turns in star the way through another of its windings, by what
    is closed now."""
    panel = standing.panel
    if load.role != "winding" or not turns_in_star(panel.devices[load.device]):
        return None
    barred = {
        part.index
        for part in panel.parts
        if not standing.closed(part) and (part.device, part.role) != (load.device, "winding")
    }
    return next(_through_loads(standing.states, load, barred), None)


def _nodes(states: Behaviour, part: Part) -> Set[int]:
    return {states.node(part.a), states.node(part.b)}


class _Sought:
    """The contacts of each simple way from a load's terminal to a rail."""

    def __init__(self, states: Behaviour, load: Part, rail: int) -> None:
        self._states = states
        self._load = load
        self._rail = rail
        self._left = MOST_STEPS
        self.gave_up = False
        self._at = _contacts_at(states)

    def from_terminal(self, terminal: str) -> Iterator[tuple[Part, ...]]:
        start = self._states.node(terminal)
        other = self._load.b if terminal == self._load.a else self._load.a
        yield from self._on(start, {start, self._states.node(other)}, ())

    def _on(self, at: int, seen: set[int], passed: tuple[Part, ...]) -> Iterator[tuple[Part, ...]]:
        if at == self._rail:
            yield passed
            return
        if at in self._states.rails and passed:
            return
        for part in self._at.get(at, ()):
            self._left -= 1
            if self._left < 0:
                self.gave_up = True
                return
            there = self._states.node(part.b if self._states.node(part.a) == at else part.a)
            if there not in seen and self._can_close(part, passed):
                yield from self._on(there, seen | {there}, (*passed, part))

    def _can_close(self, part: Part, passed: Sequence[Part]) -> bool:
        """Not with the contacts before it, where one mechanism can never close both."""
        if part.mechanism:
            both = part.closed
            for other in passed:
                if other.mechanism == part.mechanism:
                    both &= other.closed
            if not both and part.closed:
                return False
        return self._states.closed(part) != FALSE or not part.closed


@lru_cache(maxsize=1)
def _contacts_at(states: Behaviour) -> dict[int, list[Part]]:
    """What moves, or conducts one way, at each node: the same for all loads of a panel."""
    at: dict[int, list[Part]] = {}
    for part in states.panel.parts:
        moves = part.conducts is Conducts.CONTACT or part.conducts is Conducts.ONE_WAY
        varies = part.conducts is Conducts.JOINS and bool(part.mechanism)
        a, b = states.node(part.a), states.node(part.b)
        if (moves or varies) and a != b and part.load is None:
            at.setdefault(a, []).append(part)
            at.setdefault(b, []).append(part)
    return at


def _walk(
    states: Behaviour, load: Part, feed: Feed, one: Sequence[Part], other: Sequence[Part]
) -> Walk | None:
    """Both sides walked over terminals, beginning at the pole that current is told to leave, and
    home to the same source where that has a pole there."""
    poles = poles_at(states, feed.rail_a), poles_at(states, feed.rail_b)
    direct = dc_volts(feed.volts)
    outward = direct > 0 if direct else set(poles[0]).isdisjoint(grounded_poles(states.panel))
    sides = ((load.a, poles[0], one), (load.b, poles[1], other))
    (entered, starts, ahead), (left, homes, back) = sides if outward else sides[::-1]
    out = walk(states.panel, [entered], starts, _through(states, load, ahead))
    if out is None:
        return None
    source = device_of(out[-1].end if out else entered)
    own = [pole for pole in homes if device_of(pole) == source]
    home = walk(states.panel, [left], own or homes, _through(states, load, back))
    if home is None:
        return None
    volts = feed.volts if outward else tuple((basis, -volts) for basis, volts in feed.volts)
    return Walk(load, _turned(out), tuple(home), volts)


def _turned(side: Sequence[Passed]) -> tuple[Passed, ...]:
    return tuple(Passed(one.end, one.start, one.by) for one in reversed(side))


def _through(
    states: Behaviour, load: Part, contacts: Sequence[Part]
) -> Callable[[Part, bool], bool]:
    """Wire, what always joins, and these contacts."""
    chosen = {part.index for part in contacts}

    def passable(part: Part, forwards: bool) -> bool:
        if part.index in chosen:
            return True
        if part.load is not None or part.conducts is not Conducts.JOINS:
            return False
        return states.node(part.a) == states.node(part.b)

    return passable


@record
class Step:
    """From one terminal that a lead gets to, to the next: what is passed between them."""

    start: str
    end: str
    passed: tuple[Passed, ...]

    @property
    def first(self) -> Wire | Part:
        return self.passed[0].by


def folded(passed: Sequence[Passed]) -> list[Step]:
    """Bridges of one strip in a row are one step, and so is what follows inside of a device."""
    found: list[Step] = []
    for one in passed:
        if found and _is_one_step(found[-1], one):
            before = found[-1]
            found[-1] = Step(before.start, one.end, (*before.passed, one))
        else:
            found.append(Step(one.start, one.end, (one,)))
    return found


def _is_one_step(before: Step, one: Passed) -> bool:
    if is_inside(one.start):
        return True
    bridges = _is_bridge(one) and _is_bridge(before.passed[-1])
    return bridges and device_of(before.start) == device_of(one.end)


def _is_bridge(passed: Passed) -> bool:
    by = passed.by
    return isinstance(by, Part) and by.conducts is Conducts.JOINS and not by.mechanism
