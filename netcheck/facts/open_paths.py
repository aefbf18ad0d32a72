"""Where the path of each load that is never energised ends, one break for each cause.

Current is followed from the source's side as far as it can come if every contact that
can close is closed, and back from home in the same way.  What stands between the two
is the break.  Loads cut off by the same break are one cause, and so are all loads that
wait for a coil or a supply which such a break keeps dead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.freed import Freed
from netcheck.facts.improper_returns import ImproperReturns
from netcheck.facts.load_feeds import (
    LoadFeed,
    LoadFeeds,
    Verdict,
    ask,
    energised,
    fed_wrongly,
    is_made_for_series,
    never,
)
from netcheck.facts.open_ends import OpenEnds
from netcheck.facts.trip_alarms import TripAlarms
from netcheck.record import record, replace
from netcheck.states.answers import Answer, Reached, Undecided
from netcheck.states.feeds_through_loads import Neighbourhoods
from netcheck.states.witness import assignment

if TYPE_CHECKING:
    from netcheck.facts.break_finder import BreakFinder
    from netcheck.facts.breaks import Break


@record
class OpenPath:
    """One break, the loads it cuts off, and those that wait for what these would move or feed.

    `beside` are the terminals that are cut off, or always joined to an end of such a load.
    """

    broken: Break
    loads: tuple[LoadFeed, ...]
    waiting: tuple[LoadFeed, ...] = ()
    beside: frozenset[str] = frozenset()


@record
class OpenQuestion:
    """Loads of which it was not decided whether anything energises them."""

    loads: tuple[LoadFeed, ...]
    reason: str


@record
class OpenPaths:
    """`held_up` pairs each load that waits for one told elsewhere (fed wrongly, by ground, in
    series) with the one it waits for."""

    found: tuple[OpenPath, ...]
    undecided: tuple[OpenQuestion, ...]
    held_up: tuple[tuple[LoadFeed, LoadFeed], ...]


@concludes(LoadFeeds, Freed, ImproperReturns, OpenEnds, TripAlarms)
def find_open_paths(view: View) -> OpenPaths:
    return _Search(view).conclude()


class _Search:
    def __init__(self, view: View) -> None:
        self.loads = view[LoadFeeds].loads
        self.freed = view[Freed]
        self.by_ground = view[ImproperReturns]
        self.open_ends = view[OpenEnds]
        self.alarms = view[TripAlarms]
        self.waits: dict[str, list[LoadFeed]] = {}
        self.found: dict[object, OpenPath] = {}
        self.questions: list[OpenQuestion] = []

    def conclude(self) -> OpenPaths:
        own = []
        for load in self.loads:
            if load.verdict is Verdict.UNDECIDED and load.reason:
                self._leave_open(load, load.reason)
            elif self.alarms.of(load) or not load.dead or self.by_ground.of(load) is not None:
                continue
            elif not self._waits(load):
                own.append(load)
        if own or self.waits:
            from netcheck.facts.break_finder import BreakFinder

            finder = BreakFinder(self.freed.behaviour, self.freed.certain, self.open_ends)
            self._have_causes_of_their_own(finder, own)
            self._circles(finder)
        held_up = tuple(self._attach_waiting())
        found = (replace(path, beside=self._beside(path)) for path in self.found.values())
        return OpenPaths(tuple(found), tuple(self.questions), held_up)

    def _leave_open(self, load: LoadFeed, reason: str) -> None:
        """One question for all loads with the same reason."""
        for place, known in enumerate(self.questions):
            if known.reason == reason:
                self.questions[place] = replace(known, loads=(*known.loads, load))
                return
        self.questions.append(OpenQuestion((load,), reason))

    # ---- who waits for whom --------------------------------------------------------------

    def _waits(self, load: LoadFeed) -> bool:
        """Whether it would be fed if dead coils moved and dead supplies ran; then, for which."""
        if not self.freed.waits_for:
            return False
        answer = self._fed_in_freed(load)
        if never(answer):
            return False
        if isinstance(answer, Reached):
            self.waits[load.name] = self._needed(load, answer)
            return bool(self.waits[load.name])
        assert isinstance(answer, Undecided), "a contradiction would have shown before"
        self._leave_open(load, answer.reason)
        return True

    def _fed_in_freed(self, load: LoadFeed) -> Answer:
        either = [energised(load.parts), fed_wrongly(load.parts)]
        return ask(
            self.freed.behaviour,
            self.freed.certain,
            lambda behaviour: behaviour.logic.any_of([one(behaviour) for one in either]),
            load.at,
        )

    def _needed(self, load: LoadFeed, answer: Reached) -> list[LoadFeed]:
        """The dead loads without whose relay or supply this one is not fed, in the state shown."""
        behaviour = self.freed.behaviour
        values = assignment(behaviour, answer)
        fed = behaviour.logic.any_of(
            [energised(load.parts)(behaviour), fed_wrongly(load.parts)(behaviour)]
        )
        needed: dict[str, LoadFeed] = {}
        for name, waited_for in self.freed.waits_for.items():
            moved = behaviour.machine.switches[name].bits[0]
            if not values.get(moved):
                continue
            if not behaviour.logic.evaluate(fed, {**values, moved: False}):
                needed[waited_for.name] = waited_for
            else:
                values[moved] = False
        return list(needed.values())

    def _reach(self, load: LoadFeed) -> Iterator[LoadFeed]:
        """Everything a load waits for, directly or through others, nearest first."""
        seen = {load.name}
        todo = list(self.waits.get(load.name, ()))
        for waited_for in todo:
            if waited_for.name not in seen:
                seen.add(waited_for.name)
                yield waited_for
                todo += self.waits.get(waited_for.name, ())

    # ---- causes --------------------------------------------------------------------------

    def _have_causes_of_their_own(self, finder: BreakFinder, own: list[LoadFeed]) -> None:
        """Missing wires first, for they explain other breaks; what stands in series last."""
        later: list[tuple[LoadFeed, Break]] = []
        for load in own:
            key = finder.cut_off(load)
            if key is not None and key in self.found:
                self._join(key, load)
            elif not is_made_for_series(load.parts[0]):
                broken = finder.find(load)
                if broken.also:
                    later.append((load, broken))
                else:
                    self._add(load, broken)
        for load, broken in later:
            self._add(load, broken)
        for load in own:
            if is_made_for_series(load.parts[0]) and not self._has_a_cause(load):
                partner = self._partner(load)
                if partner is None:
                    self._add(load, finder.find(load))
                else:
                    known = self.found[partner]
                    self.found[partner] = replace(known, waiting=(*known.waiting, load))

    def _add(self, load: LoadFeed, broken: Break) -> None:
        for key in (broken.key, *broken.also):
            if key in self.found:
                self._join(key, load)
                return
        self.found[broken.key] = OpenPath(broken, (load,))

    def _join(self, key: object, load: LoadFeed) -> None:
        known = self.found[key]
        self.found[key] = replace(known, loads=(*known.loads, load))

    def _has_a_cause(self, load: LoadFeed) -> bool:
        return any(load in path.loads for path in self.found.values())

    def _partner(self, load: LoadFeed) -> object | None:
        """The cause that keeps dead what a resistor stands in series with, by its key."""
        around = Neighbourhoods(self.freed.behaviour).around(load.parts[0])
        near = {other.index for other in around}
        for key, path in self.found.items():
            if any(own.index in near for other in path.loads for own in other.parts):
                return key
        return None

    def _beside(self, path: OpenPath) -> frozenset[str]:
        node, rails = self.freed.behaviour.node, self.freed.behaviour.rails
        ends = {node(end) for load in path.loads for one in load.parts for end in (one.a, one.b)}
        beside = (end for place in ends - rails for end in self._standing_at[place])
        return path.broken.cut_off.union(beside)

    @cached_property
    def _standing_at(self) -> dict[int, list[str]]:
        """The terminals of each place."""
        found: dict[int, list[str]] = {}
        for terminal in self.freed.behaviour.panel.terminals:
            found.setdefault(self.freed.behaviour.node(terminal), []).append(terminal)
        return found

    def _circles(self, finder: BreakFinder) -> None:
        """Loads that wait for one another, or themselves, with nothing else dead behind them."""
        waiting = {load.name: load for load in self.loads if load.name in self.waits}
        done: set[str] = set()
        for load in waiting.values():
            behind = {one.name for one in self._reach(load)}
            if load.name in done or not behind <= waiting.keys() or not self._in_circle(load):
                continue
            circle = [waiting[name] for name in waiting if name in behind | {load.name}]
            circle = [one for one in circle if load.name in {o.name for o in self._reach(one)}
                      or one is load]  # fmt: skip
            done.update(one.name for one in circle)
            names = {one.name for one in circle}
            moved = [name for name, coil in self.freed.waits_for.items() if coil.name in names]
            broken = finder.find_waiting(circle[0], frozenset(moved))
            if broken.key in self.found:
                known = self.found[broken.key]
                self.found[broken.key] = replace(known, loads=(*known.loads, *circle))
            else:
                self.found[broken.key] = OpenPath(broken, tuple(circle))
            for name in names:
                del self.waits[name]

    def _in_circle(self, load: LoadFeed) -> bool:
        return any(
            load.name in {one.name for one in (waited_for, *self._reach(waited_for))}
            for waited_for in self.waits[load.name]
        )

    def _attach_waiting(self) -> Iterator[tuple[LoadFeed, LoadFeed]]:
        """Each load that waits goes with the first cause behind it."""
        cause_of = {load.name: key for key, path in self.found.items() for load in path.loads}
        question_of = {
            load.name: place for place, one in enumerate(self.questions) for load in one.loads
        }
        for load in self.loads:
            if load.name not in self.waits:
                continue
            for behind in self._reach(load):
                if behind.name in cause_of:
                    known = self.found[cause_of[behind.name]]
                    self.found[cause_of[behind.name]] = replace(
                        known, waiting=(*known.waiting, load)
                    )
                    break
                if behind.name in question_of:
                    question = self.questions[question_of[behind.name]]
                    self.questions[question_of[behind.name]] = replace(
                        question, loads=(*question.loads, load)
                    )
                    break
                if behind.name not in self.waits:
                    yield load, behind
                    break


def names_of(loads: Iterable[LoadFeed]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(load.name for load in loads))


def devices_of(loads: Iterable[LoadFeed]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(load.device for load in loads))
