"""Every state of one cone that can be reached, in each sense of reaching."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable
from functools import cached_property
from itertools import pairwise

from netcheck.states.answers import Answer, Instant, Never, OutOfBudget, Reached, may_chatter
from netcheck.states.cone import Cone
from netcheck.states.machine import Machine
from netcheck.states.question import Question
from netcheck.states.state_sets import NONE, StateSets
from netcheck.states.trace import Assignment, operated, race

Image = Callable[[int], int]
"""From a set of states to all that one step can make of them."""


class Layers:
    """Sets of states: first the start, then what each further step newly reaches.

    Found as far as they are asked for; OutOfBudget beyond `most` of them.
    """

    def __init__(self, sets: StateSets, start: int, image: Image, most: int) -> None:
        self._sets = sets
        self._layers = [start]
        self._seen = start
        self._image = image
        self._most = most

    def __len__(self) -> int:
        return len(self._layers)

    def ways_to(self, wanted: int) -> list[int] | None:
        """The layers up to the first that holds a wanted state; None if none does."""
        depth = 0
        while True:
            if depth == len(self._layers) and not self._extend():
                return None
            if self._sets.both(self._layers[depth], wanted):
                return self._layers[: depth + 1]
            depth += 1

    def _extend(self) -> bool:
        new = self._sets.without(self._image(self._layers[-1]), self._seen)
        if new:
            if len(self._layers) >= self._most:
                raise OutOfBudget
            self._seen = self._sets.either(self._seen, new)
            self._layers.append(new)
        return new != NONE


class Reachable:
    """The states of one cone that can be reached, a set at a time."""

    def __init__(
        self,
        machine: Machine,
        cone: Cone,
        chatterers: Callable[[], frozenset[str]],
        sets: StateSets,
        most_layers: int,
    ) -> None:
        self._machine = machine
        self.cone = cone
        self._find_chatterers = chatterers
        self._sets = sets
        self._most_layers = most_layers
        self._allowed = sets.all_of(cone.constraints)
        self._may = [sets.of(moving.may) for moving in cone.movers]
        self._must = [sets.of(moving.must) for moving in cone.movers]
        self._operated_layers: dict[bool, Layers] = {}

    @property
    def bits(self) -> int:
        """About how many bits it holds on to."""
        held = 4 * len(self._may) + sum(map(len, self._operated_layers.values()))
        return held * self._sets.bits

    def allow(self, steps: int) -> None:
        """Let so many steps more be taken, where they are counted."""
        self._sets.allow(steps)

    def is_ruled_out(self, bad: int) -> bool:
        """Whether nothing can make it happen, with switches anywhere at every instant."""
        sets = self._sets
        wanted = sets.of_movers(sets.both(sets.of(bad), self._allowed))
        sets.forget()
        return self._at_any_moment.ways_to(wanted) is None

    def answer(self, bad: int, at: Instant, same_instant: bool) -> Answer:
        """Whether a state in which `bad` holds can be reached."""
        sets = self._sets
        wanted = sets.both(sets.of(bad), self._allowed)
        sets.forget()
        if not sets.both(self._start_of_movers, self._allowed):
            return Never("assumptions contradict")
        if not wanted:
            return Never("logic alone")
        if at == "settled":
            wanted = sets.both(wanted, self._resting)
        loosely = self._settled_of(wanted, at, strict=False)
        in_movers = sets.of_movers(loosely)
        raced = self._in_same_instant if same_instant else self._at_any_moment
        if raced.ways_to(in_movers) is None:
            return Never("enumeration")
        return self._classified(bad, wanted, loosely, at, same_instant)

    def _classified(
        self, bad: int, wanted: int, loosely: int, at: Instant, same_instant: bool
    ) -> Answer:
        found = self._operated_trace(self._settled_of(wanted, at, strict=True), strict=True)
        if found is not None:
            return found
        if self._chatterers:
            found = self._operated_trace(loosely, strict=False)
            if found is not None:
                return may_chatter(self._chatterers, found)
        question = Question(self._machine, self.cone, bad, at, self._chatterers)
        literals = question.wanted(strict=False)
        trace = self._race_trace(loosely, literals, together=False)
        if trace is None and same_instant:
            trace = self._race_trace(loosely, literals, together=True)
        assert trace is not None, "a race was found, but not the way to it"
        return trace

    def _settled_of(self, states: int, at: Instant, strict: bool) -> int:
        if at != "settled":
            return states
        return self._sets.without(states, self._unsettled(strict))

    # What reaching means.

    @cached_property
    def _at_any_moment(self) -> Layers:
        """Movers' states reached when switches may be anywhere at every step."""
        sets = self._sets

        def image(states: int) -> int:
            after = NONE
            for place, may in enumerate(self._may_of_movers):
                after = sets.either(after, sets.flipped(sets.both(states, may), place))
            return after

        return self._layers(sets.of_movers(self._start_of_movers), image)

    @cached_property
    def _in_same_instant(self) -> Layers:
        """The same when, besides, any number of movers may move at once."""
        return self._layers(self._sets.of_movers(self._start_of_movers), self._sets.together)

    def _operated(self, strict: bool) -> Layers:
        """States reached by operating one switch at a time, after every mover has settled.

        Where that is not meant strictly, movers that may never settle are not waited for.
        """
        known = self._operated_layers.get(strict)
        if known is None:
            known = self._operated_layers[strict] = self._operated_anew(strict)
        return known

    def _operated_anew(self, strict: bool) -> Layers:
        sets = self._sets
        start = self._start_of_movers
        for place, switch in enumerate(self.cone.switches):
            start = sets.both(start, self._in_positions(place, switch.start))
        flips = self._flips(strict)
        unsettled = self._unsettled(strict)

        def image(states: int) -> int:
            after = NONE
            for place, where in enumerate(flips):
                after = sets.either(after, sets.flipped(sets.both(states, where), place))
            ready = sets.without(states, unsettled)
            for switch, before, there in self._operations if ready else ():
                after = sets.either(after, sets.moved(ready, switch, before, there))
            return sets.both(after, self._allowed)

        return self._layers(sets.both(start, self._allowed), image)

    def _layers(self, start: int, image: Image) -> Layers:
        return Layers(self._sets, start, image, self._most_layers)

    def _flips(self, strict: bool) -> list[int]:
        """For each mover, the states in which it can flip in settled operation."""
        sets, unsettled = self._sets, self._unsettled(strict)
        return [
            sets.without(may, sets.without(unsettled, must)) if moving.mover.timed else may
            for moving, may, must in zip(self.cone.movers, self._may, self._must, strict=True)
        ]

    @cached_property
    def _operations(self) -> list[tuple[int, int, int]]:
        """Each move of a switch: its number, and the positions before and after."""
        return [
            (place, before, after)
            for place, switch in enumerate(self.cone.switches)
            for before, after in sorted(switch.moves)
        ]

    # Sets of states.

    @cached_property
    def _chatterers(self) -> frozenset[str]:
        return self._find_chatterers()

    def _unsettled(self, strict: bool) -> int:
        return self._unsettled_strictly if strict else self._unsettled_loosely

    @cached_property
    def _unsettled_strictly(self) -> int:
        return self._any_of(self._must)

    @cached_property
    def _unsettled_loosely(self) -> int:
        movers = zip(self.cone.movers, self._must, strict=True)
        return self._any_of(must for m, must in movers if m.mover.name not in self._chatterers)

    def _any_of(self, sets: Iterable[int]) -> int:
        found = NONE
        for states in sets:
            found = self._sets.either(found, states)
        return found

    @cached_property
    def _resting(self) -> int:
        states = self._allowed
        for place, switch in enumerate(self.cone.switches):
            states = self._sets.both(states, self._in_positions(place, switch.resting))
        return states

    @cached_property
    def _start_of_movers(self) -> int:
        starts = {
            moving.mover.state: moving.mover.start
            for moving in self.cone.movers
            if moving.mover.start is not None
        }
        return self._sets.with_values(self._allowed, starts)

    def _in_positions(self, place: int, positions: Iterable[int]) -> int:
        return self._any_of(self._sets.at(place, position) for position in sorted(positions))

    @cached_property
    def _may_of_movers(self) -> list[int]:
        sets = self._sets
        return [sets.of_movers(sets.both(may, self._allowed)) for may in self._may]

    # Ways there.

    def _operated_trace(self, wanted: int, strict: bool) -> Reached | None:
        found = self._operated(strict).ways_to(wanted)
        if found is None:
            return None
        flips, unsettled = self._flips(strict), self._unsettled(strict)
        instants = [self._sets.example(self._sets.both(found[-1], wanted))]
        for layer in reversed(found[:-1]):
            instants.append(self._before(instants[-1], layer, flips, unsettled))
        return operated(self.cone, reversed(instants))

    def _before(
        self, after: Assignment, layer: int, flips: list[int], unsettled: int
    ) -> dict[int, bool]:
        """A state of the layer from which one step leads to this one."""
        sets = self._sets
        for moving, where in zip(self.cone.movers, flips, strict=True):
            state = moving.mover.state
            found = sets.with_values(sets.both(layer, where), {**after, state: not after[state]})
            if found:
                return sets.example(found)
        ready = sets.without(layer, unsettled)
        for number, before, there in self._operations:
            switch = self.cone.switches[number]
            if switch.values_in(there).items() <= after.items():
                found = sets.with_values(ready, {**after, **switch.values_in(before)})
                if found:
                    return sets.example(found)
        raise AssertionError("a state was reached from nowhere")

    def _race_trace(self, wanted: int, bad: list[int], *, together: bool) -> Reached | None:
        sets = self._sets
        layers = self._in_same_instant if together else self._at_any_moment
        found = layers.ways_to(sets.of_movers(wanted))
        if found is None:
            return None
        last = sets.both(found[-1], sets.of_movers(wanted))
        movers = [self._movers_of(sets.example(last))]
        for layer in reversed(found[:-1]):
            movers.append(self._before_race(movers[-1], layer, together))
        movers.reverse()
        instants = []
        for here, there in pairwise(movers):
            enabled = self._allowed
            for moving, may in zip(self.cone.movers, self._may, strict=True):
                if here[moving.mover.state] != there[moving.mover.state]:
                    enabled = sets.both(enabled, may)
            instants.append(sets.example(sets.with_values(enabled, here)))
        instants.append(sets.example(sets.with_values(wanted, movers[-1])))
        return race(self._machine.logic, self.cone, instants, bad)

    def _before_race(self, after: dict[int, bool], layer: int, together: bool) -> dict[int, bool]:
        """The movers in a state of the layer from which one step leads to this one."""
        sets = self._sets
        for moving, may in zip(self.cone.movers, self._may_of_movers, strict=True):
            state = moving.mover.state
            found = sets.with_values(sets.both(layer, may), {**after, state: not after[state]})
            if found:
                return self._movers_of(sets.example(found))
        found = sets.before_together(after, layer) if together else NONE
        if not found:
            raise AssertionError("a state was reached from nowhere")
        return self._movers_of(sets.example(found))

    def _movers_of(self, values: Assignment) -> dict[int, bool]:
        return {m.mover.state: values[m.mover.state] for m in self.cone.movers}


class KeptReachable:
    """Those used last, up to so many bits together."""

    def __init__(self, most_bits: int) -> None:
        self._most_bits = most_bits
        self._kept: OrderedDict[Cone, tuple[Reachable, int]] = OrderedDict()
        self._bits = 0

    def of(self, cone: Cone) -> Reachable | None:
        found = self._kept.get(cone)
        return found[0] if found else None

    def keep(self, known: Reachable) -> None:
        """Keep this one longest; call it again after each use, for it may have grown."""
        cone, bits = known.cone, known.bits
        _, counted = self._kept.pop(cone, (None, 0))
        self._kept[cone] = known, bits
        self._bits += bits - counted
        while self._bits > self._most_bits:
            self._bits -= self._kept.popitem(last=False)[1][1]
