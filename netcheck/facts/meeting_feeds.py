"""Where one point is fed, or goes home, by two devices that isolate, or by one and around it.

Breakers, fuses and disconnects are taken out: what contacts and wires still join is an
*area*.  An area begins where a source has a pole or a device that isolates has its load
end, the one that lies further from the source.  Where two such feeds of one source's pole
lie in one area, each is asked about: are they ever joined, so that opening one leaves
what hangs on it to the other?  Or do contacts give a load now to the one, now to the other?

Feeds of different poles or sources are another matter (a missing load, paralleled
sources, a change-over from one to the other).  The poles of one device and of devices with
their handles tied are one; devices that are mechanically interlocked are meant to take turns.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from itertools import combinations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import ask, is_settled
from netcheck.facts.seen_states import SeenStates
from netcheck.model.devices import Conducts, Drive, Part, device_of
from netcheck.model.wires import Wire
from netcheck.network.conduction import Conduction, Edge
from netcheck.network.traces import Passable, Passed, reached, walk
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.answers import Answer, Reached, Undecided
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.witness import Witness, assignment, tell_path

Pole = tuple[int, str]
"""The number of a source and the mark of its pole."""

_CARRIES = frozenset((Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY))


@record
class Feed:
    """Where an area begins: at a terminal, behind a pole that isolates (None: at a source)."""

    terminal: str
    part: Part | None
    poles: frozenset[Pole]
    """The poles of sources that it leads from."""

    @property
    def device(self) -> str:
        return device_of(self.terminal)


@record
class Meeting:
    """Two feeds that are joined in some state: by what path, what on it is one too many, and
    the loads that hang on both.  `home`: they lead home."""

    one: Feed
    other: Feed
    home: bool
    path: tuple[Passed, ...]
    cause: Wire | Part
    loads: tuple[str, ...]
    witness: Witness


@record
class InTurn:
    """Two feeds of the same loads that are never joined, with a path and a state of either.

    `cause` is what of the two paths apart is drawn last; the path of `other` passes it.
    """

    one: Feed
    other: Feed
    loads: tuple[Part, ...]
    path_one: tuple[Passed, ...]
    path_other: tuple[Passed, ...]
    witness_one: Witness
    witness_other: Witness
    cause: Wire | Part


@record
class MeetingFeeds:
    """`undecided` are feeds of which it is open whether they meet, with the reason."""

    found: tuple[Meeting, ...]
    in_turn: tuple[InTurn, ...]
    undecided: tuple[tuple[Feed, Feed, bool, str], ...]


@concludes(Behaviour, CertainBehaviour, SeenStates)
def find_meeting_feeds(view: View) -> MeetingFeeds:
    pairs = _pairs(view[Behaviour])
    if not pairs:
        return MeetingFeeds((), (), ())
    return _Judge(view, pairs).find()


# ---- which feeds lie in one area -------------------------------------------------------------


def _pairs(states: Behaviour) -> list[tuple[Feed, Feed]]:
    """Pairs of feeds of one pole in one area, of devices that do not open together."""
    isolating = [part for part in states.panel.parts if isolates(states, part)]
    if not isolating:
        return []
    areas = _areas(states, isolating)
    found: list[tuple[Feed, Feed]] = []
    for feeds in _feeds(states, isolating, areas).values():
        found += [
            (one, other)
            for one, other in combinations(feeds, 2)
            if (one.part or other.part)
            and one.poles & other.poles
            and not _belong_together(states, one, other)
        ]
    return found


def isolates(states: Behaviour, part: Part) -> bool:
    """Whether a part is a pole of a breaker, fuse or disconnect."""
    if part.conducts is not Conducts.JOINS or not part.mechanism:
        return False
    return states.panel.mechanisms[part.mechanism].drive is Drive.PROTECTION


def _areas(states: Behaviour, isolating: list[Part]) -> Unions[int]:
    """Nodes joined by what may ever conduct without opening for isolation."""
    areas: Unions[int] = Unions()
    taken_out = {part.index for part in isolating}
    of = states.nodes.of
    across_loads = {
        frozenset((of[part.a], of[part.b])) for part in states.panel.parts if part.load is not None
    }
    for part in states.panel.parts:
        carries = part.conducts in _CARRIES and part.index not in taken_out
        if carries and states.closed(part) != FALSE:
            ends = of[part.a], of[part.b]
            # A diode across a coil leads nowhere that the coil's feed would go.
            if not (frozenset(ends) in across_loads and states.one_way(part)):
                areas.join(*ends)
    return areas


def _feeds(states: Behaviour, isolating: list[Part], areas: Unions[int]) -> dict[int, list[Feed]]:
    """The feeds of each area, sources first, then in the order of the text."""
    of, sources = states.nodes.of, states.panel.sources
    poles: dict[int, set[Pole]] = {}
    feeds: dict[int, list[Feed]] = {}
    for index, source in enumerate(sources):
        for mark in source.poles:
            terminal = f"{source.device}:{mark}"
            area = areas.find(of[terminal])
            poles.setdefault(area, set()).add((index, mark))
            feeds.setdefault(area, []).append(Feed(terminal, None, frozenset({(index, mark)})))
    rank = _ranks(states, isolating, areas, set(poles))
    ends = [_line_and_load(states, part, areas, rank) for part in isolating]
    known = [(rank[areas.find(of[line])], line, load, part) for line, load, part in ends if line]
    for _, line, load, part in sorted(known, key=lambda end: end[0]):
        line_area, area = areas.find(of[line]), areas.find(of[load])
        ahead = poles.setdefault(line_area, set())
        feeds.setdefault(area, []).append(Feed(load, part, frozenset(ahead)))
        poles.setdefault(area, set()).update(ahead)
    return feeds


def _ranks(
    states: Behaviour, isolating: list[Part], areas: Unions[int], start: set[int]
) -> dict[int, int]:
    """How many devices that isolate lie between an area and the nearest source."""
    of = states.nodes.of
    beyond: dict[int, list[int]] = {}
    for part in isolating:
        a, b = areas.find(of[part.a]), areas.find(of[part.b])
        beyond.setdefault(a, []).append(b)
        beyond.setdefault(b, []).append(a)
    rank = dict.fromkeys(start, 0)
    queue = deque(start)
    while queue:
        area = queue.popleft()
        for other in beyond.get(area, ()):
            if other not in rank:
                rank[other] = rank[area] + 1
                queue.append(other)
    return rank


def _line_and_load(
    states: Behaviour, part: Part, areas: Unions[int], rank: dict[int, int]
) -> tuple[str, str, Part]:
    """The ends of a pole, the one towards the source first; empty if no source leads to it."""
    of = states.nodes.of
    a, b = areas.find(of[part.a]), areas.find(of[part.b])
    if a not in rank:
        return "", "", part
    if a == b:
        backwards = _nearer(states, part) == part.b
    else:
        backwards = rank[b] < rank[a]
    return (part.b, part.a, part) if backwards else (part.a, part.b, part)


def _nearer(states: Behaviour, part: Part) -> str:
    """Of a pole with a way around it, the end that fewer steps lead to from a source."""
    starts = [f"{source.device}:{mark}" for source in states.panel.sources for mark in source.poles]

    def passable(other: Part, forwards: bool) -> bool:
        return other is not part and other.conducts in _CARRIES and states.closed(other) != FALSE

    ways = {end: walk(states.panel, starts, (end,), passable) for end in (part.a, part.b)}
    return min(ways, key=lambda end: len(ways[end] or ()))


def _belong_together(states: Behaviour, one: Feed, other: Feed) -> bool:
    """Whether they open together, or a declared interlock lets only one be closed."""
    if one.device == other.device:
        return True
    if any({one.device, other.device} <= set(group) for group in states.panel.interlocks):
        return True
    tied = (states.panel.devices[feed.device].values.get("tied") for feed in (one, other))
    return other.device == next(tied) or one.device == next(tied)


# ---- what becomes of them ----------------------------------------------------------------------


class _Judge:
    def __init__(self, view: View, pairs: list[tuple[Feed, Feed]]) -> None:
        self.wide, self.certain = view[Behaviour], view[CertainBehaviour].behaviour
        self.seen = view[SeenStates]
        self.panel = self.wide.panel
        self.pairs = pairs
        self._conductions: dict[int, Conduction] = {}

    def find(self) -> MeetingFeeds:
        found: list[Meeting] = []
        in_turn: list[InTurn] = []
        undecided: list[tuple[Feed, Feed, bool, str]] = []
        spoken_of: set[frozenset[str]] = set()
        apart: list[tuple[Feed, Feed]] = []
        for one, other in self.pairs:
            devices = frozenset((one.device, other.device))
            if devices in spoken_of:
                continue
            home = self._home(one, other)
            answer = self._ask_meeting(one, other)
            if isinstance(answer, Reached) and is_settled(answer):
                spoken_of.add(devices)
                meeting = self._meeting(one, other, home, answer)
                if meeting.loads:
                    found.append(meeting)
            elif isinstance(answer, Undecided):
                spoken_of.add(devices)
                undecided.append((one, other, home, answer.reason))
            elif not home:
                apart.append((one, other))
        for one, other in apart:
            devices = frozenset((one.device, other.device))
            if devices not in spoken_of and (pair := self._in_turn(one, other)) is not None:
                spoken_of.add(devices)
                in_turn.append(pair)
        return MeetingFeeds(tuple(found), tuple(in_turn), tuple(undecided))

    def _home(self, one: Feed, other: Feed) -> bool:
        """Whether what they share is the pole of a source that current comes home to."""
        return all(
            self.panel.sources[index].poles[mark] == 0 for index, mark in one.poles & other.poles
        )

    # ---- feeds that meet -----------------------------------------------------------------------

    def _ask_meeting(self, one: Feed, other: Feed) -> Answer:
        def condition(states: Behaviour) -> int:
            return self._meet(states, one, other)

        return ask(self.wide, self.certain, condition, "settled")

    def _meet(self, states: Behaviour, one: Feed, other: Feed) -> int:
        logic, of = states.logic, states.nodes.of
        here, there = of[one.terminal], of[other.terminal]
        joined = TRUE
        if here != there:
            conduction = self._conduction(states)
            joined = logic.either(
                conduction.rail_join(here, there), conduction.rail_join(there, here)
            )
        if joined == FALSE:
            return FALSE
        return logic.both(joined, self._both_led(states, one, other))

    def _both_led(self, states: Behaviour, one: Feed, other: Feed) -> int:
        """While both lead from one pole: of its source there, and their devices closed."""
        ways = []
        for index, mark in sorted(one.poles & other.poles):
            led = [self._led(states, feed, (index, mark)) for feed in (one, other)]
            ways.append(states.logic.all_of([*led, states.live(index)]))
        return states.logic.any_of(ways)

    def _led(self, states: Behaviour, feed: Feed, pole: Pole) -> int:
        """While a feed is joined to a pole by what lies ahead of it; interlocks may forbid it."""
        if feed.part is None:
            return TRUE
        rail, line = states.pole_node(*pole), states.node(self._line(feed))
        if line == rail:
            return states.closed(feed.part)
        circuit, logic = states.circuit, states.logic
        led = logic.either(circuit.from_rail(line, rail), circuit.to_rail(line, rail))
        return logic.both(led, states.closed(feed.part))

    @staticmethod
    def _line(feed: Feed) -> str:
        """The end of its pole that lies towards the source."""
        assert feed.part is not None
        return feed.part.a if feed.part.b == feed.terminal else feed.part.b

    def _conduction(self, states: Behaviour) -> Conduction:
        """Over all but what isolates, cut at every feed that is asked about."""
        if id(states) not in self._conductions:
            of = states.nodes.of
            edges = []
            for part in states.panel.parts:
                a, b, closed = of[part.a], of[part.b], states.closed(part)
                if part.conducts in _CARRIES and a != b and not isolates(states, part):
                    back = FALSE if states.one_way(part) else closed
                    edges.append(Edge(a, b, closed, back, part.index))
            rails = {of[feed.terminal] for pair in self.pairs for feed in pair}
            self._conductions[id(states)] = Conduction(
                len(states.nodes), edges, rails, states.logic
            )
        return self._conductions[id(states)]

    def _meeting(self, one: Feed, other: Feed, home: bool, answer: Reached) -> Meeting:
        values = assignment(self.wide, answer)
        between = self._walk(one.terminal, other.terminal, values)
        path = (*self._through(one), *between, *(self._through(other, out=True)))
        cause, loads = self._cause_and_loads(one, other, between, values)
        witness = tell_path(self.panel, answer, path)
        return Meeting(one, other, home, path, cause, loads, witness)

    def _walk(self, start: str, end: str, values: Mapping[int, bool]) -> list[Passed]:
        """The way between two feeds, whichever way its diodes let it be walked."""

        def passable(part: Part, forwards: bool) -> bool:
            return not isolates(self.wide, part) and self._passes(part, forwards, values)

        way = walk(self.panel, (start,), (end,), passable)
        if way is None:
            back = walk(self.panel, (end,), (start,), passable) or []
            way = [Passed(passed.end, passed.start, passed.by) for passed in reversed(back)]
        return way

    def _passes(self, part: Part, forwards: bool, values: Mapping[int, bool]) -> bool:
        if part.conducts not in _CARRIES or (not forwards and self.wide.one_way(part)):
            return False
        return self.wide.logic.evaluate(self.wide.closed(part), values)

    def _through(self, feed: Feed, *, out: bool = False) -> Iterator[Passed]:
        if feed.part is not None:
            ends = (self._line(feed), feed.terminal)
            yield Passed(*(ends[::-1] if out else ends), feed.part)

    def _cause(self, between: list[Passed], other: Feed) -> Wire | Part:
        """What joins them: of their way from one to the other what is drawn last, in one line a
        device rather than a wire."""
        if not between:
            assert other.part is not None
            return other.part
        return max((passed.by for passed in between), key=self._drawn)

    def _drawn(self, by: Wire | Part) -> tuple[int, bool, int]:
        if isinstance(by, Wire):
            return by.span.line, False, by.span.column
        span = self.panel.chain_spans.get(by.index, self.panel.devices[by.device].span)
        return span.line, True, span.column

    def _cause_and_loads(
        self, one: Feed, other: Feed, between: list[Passed], values: Mapping[int, bool]
    ) -> tuple[Wire | Part, tuple[str, ...]]:
        """What joins two feeds, and the devices that hang on both, beyond further devices that
        isolate too: those that do in the state, or else those that may.

        Of a feed that is a source's own pole, what hangs on the other hangs on both: what is left
        to that where their way is cut as near to it as leaves it a load, whatever is drawn first.
        """

        def in_the_state(part: Part, forwards: bool) -> bool:
            return self._passes(part, forwards, values)

        cause = self._cause(between, other)
        alone = one.part is None or other.part is None
        way = between if one.part else between[::-1]
        cuts: list[Wire | Part | None] = [passed.by for passed in way] if alone else []
        for passable in (in_the_state, self._may_pass):
            cut = [(by, self._hanging(one, other, passable, by)) for by in cuts or [None]]
            loads = next((hanging for _, hanging in cut if hanging), ())
            if loads:
                nearest = [by for by, hanging in cut if by is not None and hanging == loads]
                return max(nearest, key=self._drawn, default=cause), loads
        return cause, ()

    def _hanging(
        self, one: Feed, other: Feed, passable: Passable, without: Wire | Part | None
    ) -> tuple[str, ...]:
        ahead = (one.part, other.part)
        there = reached(
            self.panel,
            [feed.terminal for feed in (one, other) if feed.part is not None],
            lambda part, forwards: part not in ahead and passable(part, forwards),
            without=without,
        )
        loads = [part for part in self.panel.parts if part.load is not None]
        return tuple(dict.fromkeys(part.device for part in loads if there & {part.a, part.b}))

    def _may_pass(self, part: Part, forwards: bool) -> bool:
        one_way = not forwards and self.wide.one_way(part)
        return part.conducts in _CARRIES and not one_way and self.wide.closed(part) != FALSE

    # ---- feeds in turn -------------------------------------------------------------------------

    def _in_turn(self, one: Feed, other: Feed) -> InTurn | None:
        loads = [
            (part, end)
            for part in self.panel.parts
            if part.load is not None and not part.spare
            for end in (part.a, part.b)
            if self._may_feed(one, end) and self._may_feed(other, end)
        ]
        told: list[tuple[Part, Reached, Reached]] = []
        for part, end in loads:
            if self._ask_feeding(part, end, one, other, at_once=True) is not None:
                continue  # each through a diode of its own
            first = self._ask_feeding(part, end, one, other)
            second = None if first is None else self._ask_feeding(part, end, other, one)
            if first is not None and second is not None:
                told.append((part, first, second))
        if not told:
            return None
        part, *answers = told[0]
        ways = [
            (feed, self._path_to(feed, dict(loads)[part], answer), answer)
            for feed, answer in zip((one, other), answers, strict=True)
        ]
        shared = {id(passed.by) for passed in ways[0][1]} & {id(p.by) for p in ways[1][1]}
        last = [
            max((p.by for p in path if id(p.by) not in shared), key=self._drawn)
            for _, path, _ in ways
        ]
        if self._drawn(last[0]) > self._drawn(last[1]):
            ways.reverse()
            last.reverse()
        (one, path_one, first), (other, path_other, second) = ways
        return InTurn(
            one,
            other,
            tuple(part for part, _, _ in told),
            path_one,
            path_other,
            tell_path(self.panel, first, path_one),
            tell_path(self.panel, second, path_other),
            last[1],
        )

    def _path_to(self, feed: Feed, end: str, answer: Reached) -> tuple[Passed, ...]:
        return (
            *self._through(feed),
            *self._walk(feed.terminal, end, assignment(self.wide, answer)),
        )

    def _may_feed(self, feed: Feed, end: str) -> bool:
        return self._leads(self.wide, feed, end) != FALSE

    def _leads(self, states: Behaviour, feed: Feed, end: str) -> int:
        here, rail = states.nodes.of[end], states.nodes.of[feed.terminal]
        conduction = self._conduction(states)
        if rail not in conduction.rails_at(here):
            return FALSE
        return conduction.from_rail(here, rail)

    def _ask_feeding(
        self, part: Part, end: str, feed: Feed, other: Feed, *, at_once: bool = False
    ) -> Reached | None:
        """A settled state in which a feed energises a load by one of its ends, as the other
        feed of the same pole could, or does `at_once`."""

        def condition(states: Behaviour) -> int:
            leads = [
                self._leads(states, one, end) for one in ((feed, other) if at_once else (feed,))
            ]
            both = self._both_led(states, feed, other)
            return states.logic.all_of([*leads, both, states.energised(part)])

        answer = ask(self.wide, self.certain, condition, "settled")
        return answer if isinstance(answer, Reached) and is_settled(answer) else None
