"""Whether a way of feeding a wire can be closed, in which state, and by what path.

The path goes from the pole through the devices that let the current by to the terminal
where it comes into the section, and on to the wire.  Where its contacts are never closed
together, the paths that keep off one of them are tried.
"""

from __future__ import annotations

from collections import deque

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided
from netcheck.facts.protection import Ahead
from netcheck.facts.sections import Sections
from netcheck.model.devices import Part
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, walk
from netcheck.record import record
from netcheck.states.answers import Answer, Never, Undecided
from netcheck.states.behaviour import Behaviour as States

MOST_TRIES = 24
"""Paths tried before it is not decided whether any can be closed."""


@record
class FedBy:
    """The path that feeds a wire, the wire last, and whether it can be closed."""

    path: tuple[Passed, ...]
    answer: Answer


class FeedingWays:
    def __init__(self, wide: States, certain: States, sections: Sections) -> None:
        self._wide = wide
        self._certain = certain
        self._sections = sections
        self._inside = {part.index for part in sections.inner} | {
            part.index for _, _, part in sections.one_way
        }
        self._answers: dict[int, Answer] = {}
        self._nearest: dict[tuple[str, bool], dict[str, Passed | None]] = {}

    def to(self, ahead: Ahead, wire: Wire) -> FedBy:
        """How the pole of `ahead` feeds a wire through its entry; Never if it cannot."""
        tries: list[frozenset[int]] = [frozenset()]
        seen: set[frozenset[int]] = set()
        for _ in range(MOST_TRIES):
            if not tries:
                return FedBy((), Never("logic alone"))
            without = tries.pop(0)
            seen.add(without)
            path = self._path(ahead, wire, without)
            if path is None:
                continue
            answer = self._can_close(path, ahead.source)
            if not isinstance(answer, Never):
                return FedBy(path, answer)
            for part in self._contacts(path):
                more = without | {part.index}
                if more not in seen and more not in tries:
                    tries.append(more)
        return FedBy((), Undecided("more ways of feeding it than are followed"))

    def _path(self, ahead: Ahead, wire: Wire, without: frozenset[int]) -> tuple[Passed, ...] | None:
        def lets_by(part: Part, forwards: bool) -> bool:
            if part.index in without:
                return False
            pole = self._sections.pole_of.get(part.index)
            if pole is not None:
                return pole.rating_a is None or pole.rating_a >= ahead.amperes
            return self._inside_passable(part, forwards != ahead.takes_home)

        def inside(part: Part, forwards: bool) -> bool:
            return part.index not in without and self._inside_passable(
                part, forwards != ahead.takes_home
            )

        panel = self._wide.panel
        first = walk(panel, (ahead.pole,), (ahead.entry,), lets_by)
        if first is None:
            return None
        if without:
            second = walk(panel, (ahead.entry,), (wire.a, wire.b), inside)
        else:
            second = self._shortest(ahead, wire)
        if second is None:
            return None
        at = second[-1].end if second else ahead.entry
        if second and second[-1].by is wire:
            return (*first, *second)
        other = wire.b if at == wire.a else wire.a
        return (*first, *second, Passed(at, other, wire))

    def _inside_passable(self, part: Part, forwards: bool) -> bool:
        return part.index in self._inside and (forwards or not self._wide.one_way(part))

    def _shortest(self, ahead: Ahead, wire: Wire) -> list[Passed] | None:
        """Read off one search for all wires that the same entry feeds."""
        key = ahead.entry, ahead.takes_home
        if key not in self._nearest:
            self._nearest[key] = self._search(*key)
        came = self._nearest[key]
        met = [end for end in (wire.a, wire.b) if end in came]
        if not met:
            return None
        ways = [self._back(end, came) for end in met]
        return min(ways, key=len)

    def _search(self, entry: str, takes_home: bool) -> dict[str, Passed | None]:
        panel = self._wide.panel
        came: dict[str, Passed | None] = {entry: None}
        queue = deque([entry])
        while queue:
            at = queue.popleft()
            onwards = [
                Passed(at, wire.b if wire.a == at else wire.a, wire)
                for wire in panel.wires_at.get(at, ())
            ]
            for part in panel.parts_at.get(at, ()):
                forwards = part.a == at
                if self._inside_passable(part, forwards != takes_home):
                    onwards.append(Passed(at, part.b if forwards else part.a, part))
            for passed in onwards:
                if passed.end not in came:
                    came[passed.end] = passed
                    queue.append(passed.end)
        return came

    @staticmethod
    def _back(at: str, came: dict[str, Passed | None]) -> list[Passed]:
        path = []
        while (passed := came[at]) is not None:
            path.append(passed)
            at = passed.start
        return path[::-1]

    def _contacts(self, path: tuple[Passed, ...]) -> list[Part]:
        return [
            passed.by
            for passed in path
            if isinstance(passed.by, Part) and passed.by.mechanism and passed.by.load is None
        ]

    def _can_close(self, path: tuple[Passed, ...], source: int) -> Answer:
        literal = self._literal(self._wide, path, source)
        if literal not in self._answers:
            answer = self._certain.prover.can_happen(self._literal(self._certain, path, source))
            if self._certain is not self._wide:
                wide = self._wide.prover.can_happen(literal)
                answer = decided(answer, wide, self._wide.uncertain_coils)
            self._answers[literal] = answer
        return self._answers[literal]

    def _literal(self, states: States, path: tuple[Passed, ...], source: int) -> int:
        closed = [states.closed(part) for part in self._contacts(path)]
        return states.logic.all_of([*closed, states.live(source)])


@concludes(Behaviour, CertainBehaviour, Sections)
def find_feeding_ways(view: View) -> FeedingWays:
    return FeedingWays(view[Behaviour], view[CertainBehaviour].behaviour, view[Sections])
