"""Loads that start by themselves when a stop is let go, power returns, or a trip is reset.

Before it everything has settled, the load is off and every button and whatever else springs
back is let go, but for the stop itself; afterwards nothing is touched.  Loads that move or
heat are asked about, after power and trips only motors and what is said to be hazardous; and
none that is said to start by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import StrEnum

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import Condition, LoadFeed, LoadFeeds, Verdict, ask, energised
from netcheck.facts.stop_devices import StopDevices
from netcheck.model.devices import Drive
from netcheck.model.let_go import let_go
from netcheck.model.panel import Panel
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.aftermath import Aftermath, played
from netcheck.states.answers import Reached, Undecided
from netcheck.states.expressions import FALSE
from netcheck.states.feed_path import path_in
from netcheck.states.settled import where_settled
from netcheck.states.witness import assignment

ALLOWED = frozenset(("restart allowed", "always on", "not hazardous"))


class Trigger(StrEnum):
    """The one operation after which nothing is touched."""

    STOP = "a stop is let go"
    POWER = "power returns"
    TRIP = "a trip is reset"


@record
class Restart:
    """One load and what it starts at: the mechanisms that move, and to which position.

    `follows` are the relays that pull in or drop out after it, in order, `path` is how the
    load is then fed.  `answer` is Reached with the state before, or Undecided.
    """

    load: LoadFeed
    trigger: Trigger
    moved: tuple[tuple[str, int], ...]
    follows: tuple[str, ...]
    answer: Reached | Undecided
    path: tuple[Passed, ...] = ()


@record
class Restarts:
    restarts: tuple[Restart, ...]


@concludes(Behaviour, CertainBehaviour, LoadFeeds, StopDevices)
def find_restarts(view: View) -> Restarts:
    return Restarts(tuple(_Finder(view).find()))


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.wide = view[Behaviour]
        self.certain = view[CertainBehaviour].behaviour
        self.stops = view[StopDevices].stops
        loads = [load for load in view[LoadFeeds].loads if _may_hurt(self.panel, load)]
        self._loads = _Loads(self.wide, loads)
        self._movers = _Loads(self.wide, [load for load in loads if _moves(self.panel, load)])

    def find(self) -> Iterator[Restart]:
        """A load that starts at one operation is not asked about at the next: one cause."""
        told: set[str] = set()
        for trigger, before, moved in self._operations():
            operation = _Operation(self.panel, before, moved)
            asked = self._loads if trigger is Trigger.STOP else self._movers
            loads = [
                load
                for load in asked.moved_by(operation.moving(self.wide))
                if load.name not in told and operation.concerns(self.wide, load)
            ]
            if not loads:
                continue
            together = ask(self.wide, self.certain, operation.any_starts(loads), "settled")
            if not isinstance(together, (Reached, Undecided)):
                continue
            for load in loads:
                answer = ask(self.wide, self.certain, operation.starts(load), "settled")
                if isinstance(answer, Undecided):
                    yield Restart(load, trigger, moved, (), answer)
                elif isinstance(answer, Reached) and answer.kind == "settled operation":
                    for restart in self._played(load, trigger, moved, answer):
                        told.add(load.name)
                        yield restart

    def _operations(
        self,
    ) -> Iterator[tuple[Trigger, tuple[tuple[str, int], ...], tuple[tuple[str, int], ...]]]:
        """Trigger, where the mechanisms stand before it, and where they go."""
        for stop in self.stops:
            name = stop.mechanism.name
            if name in self.wide.machine.switches:
                yield Trigger.STOP, ((name, stop.stopping),), ((name, 0),)
        names = [
            one.name
            for one in self.panel.mechanisms.values()
            if one.drive is Drive.SOURCE and one.name in self.wide.machine.switches
        ]
        if names:
            gone, back = (tuple((name, position) for name in names) for position in (0, 1))
            yield Trigger.POWER, gone, back
        for mechanism in self.panel.mechanisms.values():
            name = mechanism.name
            kind = self.panel.devices[mechanism.device].kind
            if kind == "overload" and name in self.wide.machine.switches:
                yield Trigger.TRIP, ((name, 1),), ((name, 0),)

    def _played(
        self,
        load: LoadFeed,
        trigger: Trigger,
        moved: tuple[tuple[str, int], ...],
        answer: Reached,
    ) -> Iterator[Restart]:
        """Believed only if it happens one relay at a time too."""
        behaviour = self.certain
        found = played(behaviour.machine, assignment(behaviour, answer), dict(moved))
        if found is None:
            return
        values, order = found
        if behaviour.logic.evaluate(energised(load.parts)(behaviour), values):
            path = path_in(behaviour, load.parts[0], values)
            yield Restart(load, trigger, moved, order, answer, path)


class _Loads:
    """Loads, by the variables in the condition on which each is on."""

    def __init__(self, behaviour: Behaviour, loads: list[LoadFeed]) -> None:
        self._loads = loads
        self._with: dict[int, list[int]] = {}
        for number, load in enumerate(loads):
            for variable in behaviour.logic.support(energised(load.parts)(behaviour)):
                self._with.setdefault(variable, []).append(number)

    def moved_by(self, variables: Iterable[int]) -> list[LoadFeed]:
        """Those in whose condition any of the variables stands, in their order."""
        numbers = {number for one in variables for number in self._with.get(one, ())}
        return [self._loads[number] for number in sorted(numbers)]


class _Operation:
    """One operation, put to a behaviour."""

    def __init__(
        self,
        panel: Panel,
        before: tuple[tuple[str, int], ...],
        moved: tuple[tuple[str, int], ...],
    ) -> None:
        self._panel = panel
        self._before = before
        self._moved = dict(moved)
        self._aftermaths: dict[int, Aftermath] = {}

    def moving(self, behaviour: Behaviour) -> frozenset[int]:
        """The variables that it may change."""
        return self._aftermath(behaviour).moving

    def concerns(self, behaviour: Behaviour, load: LoadFeed) -> bool:
        """Whether the load can be on after it at all where it was off before."""
        starts = self.starts(load)(behaviour)
        if starts == FALSE:
            return False
        standing = {**dict(self._before), **self._at_rest(behaviour, starts)}
        return where_settled(behaviour.machine, starts, standing) != FALSE

    def starts(self, load: LoadFeed) -> Condition:
        return self._asked([load])

    def any_starts(self, loads: list[LoadFeed]) -> Condition:
        return self._asked(loads)

    def _asked(self, loads: list[LoadFeed]) -> Condition:
        def condition(behaviour: Behaviour) -> int:
            logic = behaviour.logic
            after = self._aftermath(behaviour)
            starting = []
            for load in loads:
                on = energised(load.parts)(behaviour)
                starting.append(logic.both(on ^ 1, after.of(on)))
            starts = logic.any_of(starting)
            if starts == FALSE:
                return FALSE
            return logic.all_of([starts, *self._standing(behaviour, starts)])

        return condition

    def _aftermath(self, behaviour: Behaviour) -> Aftermath:
        key = id(behaviour)
        if key not in self._aftermaths:
            may_move = behaviour.prover.may_move_after(self._moved)
            self._aftermaths[key] = Aftermath(behaviour.machine, self._moved, may_move)
        return self._aftermaths[key]

    def _standing(self, behaviour: Behaviour, starts: int) -> Iterator[int]:
        """Where the mechanisms stand before it: what springs back is let go."""
        for name, position in self._before:
            yield behaviour.in_positions(name, frozenset((position,)))
        for name, position in self._at_rest(behaviour, starts).items():
            yield behaviour.in_positions(name, frozenset((position,)))

    def _at_rest(self, behaviour: Behaviour, starts: int) -> dict[str, int]:
        """What springs back and has a say in it, but for the stop itself, and where to."""
        found: dict[str, int] = {}
        for name in behaviour.prover.depends_on(starts):
            position = let_go(self._panel, self._panel.mechanisms[name])
            if position is not None and name not in self._moved:
                found[name] = position
        return found


def _may_hurt(panel: Panel, load: LoadFeed) -> bool:
    part, marks = load.parts[0], panel.devices[load.device].marks
    if load.verdict is not Verdict.ENERGISED or marks & ALLOWED:
        return False
    return "hazardous" in marks or (part.load is not None and part.load.moves_or_heats)


def _moves(panel: Panel, load: LoadFeed) -> bool:
    made = load.parts[0].load
    return "hazardous" in panel.devices[load.device].marks or (
        made is not None and made.works == "motor"
    )
