"""What stands ahead of every section, in each way of feeding it.

Along one way from a pole of a source the lowest rating counts; of several ways the one
that holds the least.  Back-feed is a way like any other: sources feed each other's
sections wherever contacts can join them, and a transformer fed on its secondary feeds its
primary.  A supply's current limit counts like a rating, but opens nothing.
"""

from __future__ import annotations

import heapq
from collections.abc import Container, Iterator
from enum import StrEnum

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.sections import NO_SECTION, ProtectivePole, Sections
from netcheck.model.devices import Device, SourcePart
from netcheck.model.panel import Panel
from netcheck.record import draft, record, replace

NO_LIMIT_A = float("inf")


class Holds(StrEnum):
    """What limits the current into a section."""

    DEVICE = "a device opens"
    UPSTREAM = "a device ahead of the source opens"
    RATIO = "a device on the other side of a transformer opens"
    LIMIT = "the supply gives no more"
    CLASS_2 = "class 2"
    UNRATED = "a device of unknown rating"
    UNKNOWN = "the text does not say"
    NOTHING = "nothing"


_RANK = {Holds.UNRATED: 1, Holds.UNKNOWN: 2, Holds.NOTHING: 3}


@record
class Ahead:
    """What holds the current of one way of feeding: how, at how many amperes, and who.

    `by` is the device that holds it (the source, where it does so itself), `source` the
    number of the source whose pole feeds it, `pole` that pole's terminal, `entry` the
    terminal at which it comes into the section.
    """

    holds: Holds
    amperes: float
    by: str
    source: int
    pole: str
    entry: str
    takes_home: bool = False
    """Whether current comes home to that pole: the lower one on DC."""

    @property
    def slackness(self) -> tuple[int, float]:
        """Orders ways of feeding: the higher, the less they hold."""
        return _RANK.get(self.holds, 0), self.amperes


@record
class Protection:
    """Ways of feeding by section, the one that holds least first; none for a dead section."""

    ways: dict[int, tuple[Ahead, ...]]
    sections: Sections

    def worst(self, terminal: str) -> Ahead | None:
        ways = self.ways.get(self.sections.of.get(terminal, NO_SECTION), ())
        return ways[0] if ways else None


@concludes(Behaviour, Sections)
def find_protection(view: View) -> Protection:
    return _Finder(view.panel, view[Sections]).find()


def protection_without(panel: Panel, sections: Sections, left_out: Container[str]) -> Protection:
    """What would stand ahead of every section if the devices named were wire."""
    return _Finder(panel, sections, left_out).find()


@draft
class _Fed:
    """The least held way found for a section, and the sections it came through."""

    ahead: Ahead
    through: tuple[int, ...] = ()


class _Finder:
    def __init__(self, panel: Panel, sections: Sections, left_out: Container[str] = ()) -> None:
        self.panel = panel
        self.sections = sections
        self.left_out = left_out
        self._one_way = {False: self._steps(False), True: self._steps(True)}
        self.steps = self._one_way[False]

    def _steps(self, backwards: bool) -> dict[int, list[tuple[int, str, ProtectivePole | None]]]:
        steps: dict[int, list[tuple[int, str, ProtectivePole | None]]] = {}
        for pole in self.sections.poles:
            a, b = pole.section_a, pole.section_b
            if a != NO_SECTION and b != NO_SECTION and a != b:
                holds = None if pole.device.name in self.left_out else pole
                steps.setdefault(a, []).append((b, pole.part.b, holds))
                steps.setdefault(b, []).append((a, pole.part.a, holds))
        for start, end, part in self.sections.one_way:
            if start != end and backwards:
                steps.setdefault(end, []).append((start, part.a, None))
            elif start != end:
                steps.setdefault(start, []).append((end, part.b, None))
        return steps

    def find(self) -> Protection:
        """One-way parts let a DC pole feed what lies ahead of them, or draw from behind them."""
        ways: dict[int, list[Ahead]] = {}
        for takes_home in (False, True):
            for section, found in self._ways(takes_home).items():
                ways.setdefault(section, []).extend(found)
        ordered = {
            section: tuple(sorted(found, key=lambda one: one.slackness, reverse=True))
            for section, found in ways.items()
        }
        return Protection(ordered, self.sections)

    def _ways(self, takes_home: bool) -> dict[int, list[Ahead]]:
        """First what sources say of themselves, then transformers by what is ahead of them."""
        self.steps = self._one_way[takes_home]
        seeds = [ahead for ahead in self._own_seeds() if ahead.takes_home == takes_home]
        derived: dict[str, Ahead] = {}
        for _ in range(1 + len(self.panel.sources)):
            fed = self._spread([*seeds, *derived.values()])
            found = {ahead.pole: ahead for ahead in self._transformed(fed, seeds, derived)}
            if {k: v.slackness for k, v in found.items()} == {
                k: v.slackness for k, v in derived.items()
            }:
                break
            derived = found
        ways: dict[int, list[Ahead]] = {}
        for ahead in [*seeds, *derived.values()]:
            ways.setdefault(self.sections.of[ahead.entry], []).append(ahead)
        for start, way in fed.items():
            for end, entry, pole in self.steps.get(start, ()):
                if end not in way.through:
                    ways.setdefault(end, []).append(_held(way.ahead, pole, entry))
        return ways

    def _spread(self, seeds: list[Ahead]) -> dict[int, _Fed]:
        """For each section the way that holds least, worst ones first."""
        fed: dict[int, _Fed] = {}
        queue: list[tuple[tuple[int, float], int, Ahead, tuple[int, ...]]] = []
        for number, ahead in enumerate(seeds):
            rank, amperes = ahead.slackness
            heapq.heappush(queue, ((-rank, -amperes), number, ahead, ()))
        count = len(seeds)
        while queue:
            _, _, ahead, through = heapq.heappop(queue)
            section = self.sections.of[ahead.entry]
            if section in fed:
                continue
            fed[section] = _Fed(ahead, (*through, section))
            for end, entry, pole in self.steps.get(section, ()):
                if end not in fed:
                    held = _held(ahead, pole, entry)
                    rank, amperes = held.slackness
                    count += 1
                    item = (-rank, -amperes), count, held, fed[section].through
                    heapq.heappush(queue, item)
        return fed

    # ---- sources ---------------------------------------------------------------------------

    def _own_seeds(self) -> Iterator[Ahead]:
        for index, source in enumerate(self.panel.sources):
            device = self.panel.devices[source.device]
            if device.kind == "transformer":
                continue
            holds, amperes = _of_source(device, source)
            yield from self._at_poles(index, source, holds, amperes, source.device)

    def _at_poles(
        self, index: int, source: SourcePart, holds: Holds, amperes: float, by: str
    ) -> Iterator[Ahead]:
        lowest_v = min(potential.real for potential in source.poles.values())
        for mark in source.poles:
            pole = f"{source.device}:{mark}"
            if pole in self.sections.of:
                lowest = source.kind == "DC" and source.poles[mark].real == lowest_v
                yield Ahead(holds, amperes, by, index, pole, pole, lowest)

    # ---- transformers ----------------------------------------------------------------------

    def _transformed(
        self, fed: dict[int, _Fed], seeds: list[Ahead], derived: dict[str, Ahead]
    ) -> Iterator[Ahead]:
        for index, source in enumerate(self.panel.sources):
            device = self.panel.devices[source.device]
            if device.kind != "transformer":
                continue
            inputs = [self.panel.parts[part] for part in source.inputs]
            primary = dict.fromkeys(end for part in inputs for end in (part.a, part.b))
            yield from self._forwards(device, index, source, list(primary), fed)
            own = {f"{device.name}:{mark}" for mark in source.poles}
            others = [*seeds, *(a for pole, a in derived.items() if pole not in own)]
            if self._fed_from_outside(own, others):
                outside = self._spread([a for a in others if a.pole not in primary])
                yield from self._backwards(device, index, list(own), list(primary), outside)

    def _forwards(
        self,
        device: Device,
        index: int,
        source: SourcePart,
        primary: list[str],
        fed: dict[int, _Fed],
    ) -> Iterator[Ahead]:
        ahead = self._least_held(primary, fed)
        if ahead is None:
            return
        if source.class_2:
            yield from self._at_poles(index, source, Holds.CLASS_2, 0.0, device.name)
            return
        for turned in self._turned(ahead, device, source, primary):
            yield from self._at_poles(index, source, turned.holds, turned.amperes, turned.by)

    def _turned(
        self, ahead: Ahead, device: Device, source: SourcePart, primary: list[str]
    ) -> Iterator[Ahead]:
        """A device protects across a transformer only two wires to two wires (NEC 240.4(F))."""
        ratio = (device.number("primary_v") or 0) / (device.number("secondary_v") or 1)
        if len(source.poles) > 2 or len(primary) > 2:
            yield replace(ahead, holds=Holds.NOTHING, amperes=NO_LIMIT_A, by=device.name)
        elif ahead.slackness[0]:
            yield ahead
        else:
            yield replace(ahead, holds=Holds.RATIO, amperes=ahead.amperes * ratio)

    def _backwards(
        self,
        device: Device,
        index: int,
        own: list[str],
        primary: list[str],
        outside: dict[int, _Fed],
    ) -> Iterator[Ahead]:
        ahead = self._least_held(own, outside)
        if ahead is None:
            return
        ratio = (device.number("secondary_v") or 0) / (device.number("primary_v") or 1)
        known = not ahead.slackness[0]
        two_wire = len(own) == 2 and len(primary) == 2
        for terminal in primary:
            if terminal in self.sections.of:
                if known and two_wire:
                    yield Ahead(
                        Holds.RATIO, ahead.amperes * ratio, ahead.by, index, terminal, terminal
                    )
                else:
                    holds = Holds.NOTHING if known else ahead.holds
                    yield Ahead(holds, NO_LIMIT_A, device.name, index, terminal, terminal)

    def _fed_from_outside(self, own: set[str], others: list[Ahead]) -> bool:
        reached = {self.sections.of[name] for name in own if name in self.sections.of}
        todo = [self.sections.of[ahead.entry] for ahead in others]
        seen = set(todo)
        while todo:
            section = todo.pop()
            if section in reached:
                return True
            for end, _, _ in self.steps.get(section, ()):
                if end not in seen:
                    seen.add(end)
                    todo.append(end)
        return False

    def _least_held(self, terminals: list[str], fed: dict[int, _Fed]) -> Ahead | None:
        """Of a winding's ungrounded ends the best held: opening either stops its current."""
        found = [
            fed[self.sections.of[name]].ahead
            for name in terminals
            if name in self.sections.of and self.sections.of[name] in fed
        ]
        return min(found, key=lambda one: one.slackness, default=None)


def _held(ahead: Ahead, pole: ProtectivePole | None, entry: str) -> Ahead:
    """A way that goes on through a protective pole, or through a one-way part.  Of two that open
    at as much it is the nearer that is named."""
    if pole is None:
        return replace(ahead, entry=entry)
    if pole.rating_a is None:
        beyond = replace(
            ahead, holds=Holds.UNRATED, amperes=NO_LIMIT_A, by=pole.device.name, entry=entry
        )
    else:
        beyond = replace(
            ahead, holds=Holds.DEVICE, amperes=pole.rating_a, by=pole.device.name, entry=entry
        )
    here = replace(ahead, entry=entry)
    opens = ahead.holds in (Holds.DEVICE, Holds.UPSTREAM, Holds.RATIO)
    return min((beyond, here) if opens else (here, beyond), key=lambda one: one.slackness)


def _of_source(device: Device, source: SourcePart) -> tuple[Holds, float]:
    if source.class_2:
        return Holds.CLASS_2, 0.0
    if source.fused_a is not None:
        return Holds.UPSTREAM, source.fused_a
    if source.current_limited:
        limit_a = device.number("limit_a") or source.current_a
        if limit_a is None:
            return Holds.UNKNOWN, NO_LIMIT_A
        return Holds.LIMIT, limit_a
    if device.kind == "edge":
        return Holds.UNKNOWN, NO_LIMIT_A
    return Holds.NOTHING, NO_LIMIT_A
