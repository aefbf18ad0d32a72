"""Loads that run on while a stop is held that should stop them.

An emergency stop must stop every motor and all that is marked hazardous.  Any other stop
must stop the loads it has a say in: what it stops in one state, and not in another, has a
path around it.  One that is said to be for stopping, and stops nothing in any state, must stop
all that moves or heats and hangs on it through relays.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import Condition, LoadFeed, LoadFeeds, Verdict, ask, energised
from netcheck.facts.seen_states import SeenStates
from netcheck.facts.stop_devices import StopDevice, StopDevices
from netcheck.model.devices import Load
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.aftermath import Aftermath
from netcheck.states.answers import Answer, Reached, Step, Undecided
from netcheck.states.expressions import FALSE
from netcheck.states.feed_path import path_in
from netcheck.states.settled import where_settled
from netcheck.states.truth_table import Tables
from netcheck.states.witness import assignment

MOST_VARIABLES = 12
"""Up to so many, whether a load can do without a relay is seen from a truth table."""
MEANT = frozenset(("always on", "not hazardous"))


@record
class UnstoppedLoad:
    """One load and the stop that is held, and how it comes to that."""

    load: LoadFeed
    stop: StopDevice
    answer: Reached | Undecided

    def path(self, certain: Behaviour) -> tuple[Passed, ...]:
        """How the load is fed then; empty where that is not decided."""
        if isinstance(self.answer, Undecided):
            return ()
        return path_in(certain, self.load.parts[0], assignment(certain, self.answer))


@record
class StoppedLoads:
    """What a stop was proved to stop."""

    stop: StopDevice
    loads: tuple[LoadFeed, ...]


@record
class UnstoppedLoads:
    """Loads that run on, and by stop the others, which it stops."""

    loads: tuple[UnstoppedLoad, ...]
    stopped: tuple[StoppedLoads, ...]


@concludes(Behaviour, CertainBehaviour, SeenStates, LoadFeeds, StopDevices)
def find_unstopped_loads(view: View) -> UnstoppedLoads:
    finder = _Finder(view)
    found = tuple(finder.find())
    return UnstoppedLoads(found, tuple(finder.stopped))


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.wide = view[Behaviour]
        self.certain = view[CertainBehaviour].behaviour
        self.stops = view[StopDevices].stops
        self.seen = view[SeenStates]
        self.loads = [load for load in view[LoadFeeds].loads if load.verdict is Verdict.ENERGISED]
        self.stopped: list[StoppedLoads] = []
        self._aftermaths: dict[tuple[int, str], Aftermath] = {}

    def find(self) -> Iterator[UnstoppedLoad]:
        for stop in self.stops:
            if stop.mechanism.name not in self.wide.machine.switches:
                continue
            loads = self._to_be_stopped(stop)
            unstopped: list[UnstoppedLoad] = []
            doubtful = [load for load in loads if not self._plainly_stops(stop, load)]
            if doubtful and self._one_happens(stop, doubtful):
                for load in doubtful:
                    told = any(isinstance(one.answer, Reached) for one in unstopped)
                    unstopped += self._judged(stop, load, told=told)
            yield from unstopped
            running = {one.load.name for one in unstopped}
            stopped = tuple(load for load in loads if load.name not in running)
            if stopped:
                self.stopped.append(StoppedLoads(stop, stopped))

    def _to_be_stopped(self, stop: StopDevice) -> list[LoadFeed]:
        dependent = self._dependent.get(stop.mechanism.name, [])
        wanted = [number for number in dependent if self._has_a_say(stop, self.loads[number])]
        if not wanted and stop.device.values.get("purpose") == "stopping":
            wanted = [*dependent]  # one of them it is surely meant to stop
        if stop.emergency:
            wanted += self._dangerous
        return [self.loads[number] for number in sorted(set(wanted))]

    @cached_property
    def _judged_loads(self) -> list[tuple[int, Load, frozenset[str]]]:
        """By number, with what they are made for and how they are marked."""
        found = []
        for number, load in enumerate(self.loads):
            made, marks = load.parts[0].load, self.panel.devices[load.device].marks
            if made is not None and not marks & MEANT:
                found.append((number, made, marks))
        return found

    @cached_property
    def _say(self) -> dict[str, frozenset[str]]:
        """By load, what has a say in it, by name."""
        depends_on = self.wide.prover.depends_on
        return {
            load.name: frozenset(depends_on(energised(load.parts)(self.wide)))
            for load in (self.loads[number] for number, _, _ in self._judged_loads)
        }

    @cached_property
    def _dangerous(self) -> list[int]:
        """The loads that every emergency stop is to stop, by number."""
        return [
            number
            for number, made, marks in self._judged_loads
            if "hazardous" in marks or made.works == "motor"
        ]

    @cached_property
    def _dependent(self) -> dict[str, list[int]]:
        """By switch the loads that move, heat or are hazardous and on which it has a say."""
        found: dict[str, list[int]] = {}
        for number, made, marks in self._judged_loads:
            if made.moves_or_heats or "hazardous" in marks:
                for name in self._say[self.loads[number].name]:
                    found.setdefault(name, []).append(number)
        return found

    def _has_a_say(self, stop: StopDevice, load: LoadFeed) -> bool:
        """Whether the load, or a relay it cannot do without, is wired through the stop; or
        whether pressing the stop, no more, stops it in some state."""
        on = energised(load.parts)(self.wide)
        return self._wired_through(stop.mechanism.name, on) or self._stops(stop, load)

    def _wired_through(self, name: str, on: int) -> bool:
        machine, logic = self.wide.machine, self.wide.logic
        bits = frozenset(machine.switches[name].bits)
        if bits & logic.support(on):
            return True
        return any(
            bits & logic.support(machine.motions[mover.name].may_rise)
            for mover in machine.movers.values()
            if mover.state in logic.support(on) and self._needs(on, mover.state)
        )

    def _needs(self, on: int, state: int) -> bool:
        without = self.wide.logic.both(on, state ^ 1)
        variables = sorted(self.wide.logic.support(without))
        if without == FALSE or len(variables) > MOST_VARIABLES:
            return without == FALSE
        return not Tables(self.wide.logic, variables).of(without)

    def _stops(self, stop: StopDevice, load: LoadFeed) -> bool:
        name = stop.mechanism.name

        def stops(behaviour: Behaviour) -> int:
            on = energised(load.parts)(behaviour)
            aftermath = self._aftermath(behaviour, stop)
            at_rest = behaviour.in_positions(name, frozenset((0,)))
            return behaviour.logic.all_of([on, at_rest, aftermath.of(on) ^ 1])

        return self.seen.happen(stops(self.certain)) or self._happens(stops)

    def _aftermath(self, behaviour: Behaviour, stop: StopDevice) -> Aftermath:
        """What follows as the stop is pressed."""
        name = stop.mechanism.name
        key = id(behaviour), name
        if key not in self._aftermaths:
            may_move = behaviour.prover.may_move_after([name])
            pressed = {name: stop.stopping}
            self._aftermaths[key] = Aftermath(behaviour.machine, pressed, may_move)
        return self._aftermaths[key]

    def _plainly_stops(self, stop: StopDevice, load: LoadFeed) -> bool:
        if stop.mechanism.name not in self._say[load.name]:
            return False
        on = energised(load.parts)(self.wide)
        held = {stop.mechanism.name: stop.stopping}
        return where_settled(self.wide.machine, on, held) == FALSE

    def _runs(self, stop: StopDevice, loads: list[LoadFeed]) -> Condition:
        def condition(behaviour: Behaviour) -> int:
            on = [energised(load.parts)(behaviour) for load in loads]
            held = behaviour.in_positions(stop.mechanism.name, frozenset((stop.stopping,)))
            return behaviour.logic.both(held, behaviour.logic.any_of(on))

        return condition

    def _happens(self, condition: Condition) -> bool:
        answer = ask(self.wide, self.certain, condition, "settled")
        return isinstance(answer, (Reached, Undecided))

    def _one_happens(self, stop: StopDevice, loads: list[LoadFeed]) -> bool:
        """Whether one of the loads runs while the stop is held."""
        if any(self._runs_anyhow(stop, load) is not None for load in loads):
            return True
        return self._happens(self._runs(stop, loads))

    def _runs_anyhow(self, stop: StopDevice, load: LoadFeed) -> Reached | None:
        """How a load comes to run while a stop is held that has no say in it at all; None of any
        other.  Asked once of each load, however many stops there are."""
        name = stop.mechanism.name
        switch = self.wide.machine.switches[name]
        if name in self._say[load.name] or stop.stopping not in switch.start & switch.resting:
            return None
        answer = ask(self.wide, self.certain, energised(load.parts), "settled")
        if not isinstance(answer, Reached) or answer.kind != "settled operation":
            return None
        held = {name: switch.positions[stop.stopping]}
        steps = tuple(Step(step.changes, {**step.state, **held}) for step in answer.steps)
        return Reached(answer.kind, {**answer.start, **held}, steps)

    def _judged(self, stop: StopDevice, load: LoadFeed, *, told: bool) -> Iterator[UnstoppedLoad]:
        """`told`: another load's way is told already, and any way of this one will do."""
        answer: Answer | None = self._runs_anyhow(stop, load) if told else None
        if answer is None:
            answer = ask(self.wide, self.certain, self._runs(stop, [load]), "settled")
        if isinstance(answer, Undecided) or (
            isinstance(answer, Reached) and answer.kind == "settled operation"
        ):
            yield UnstoppedLoad(load, stop, answer)
