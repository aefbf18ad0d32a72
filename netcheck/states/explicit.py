"""Small questions: every state of the cone enumerated, a set of states being one truth table.

State numbers have the movers in the low bits and the switches' bits above.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable
from functools import cached_property
from itertools import pairwise

from netcheck.states.answers import Answer, Instant, Never, OutOfBudget, Reached, may_chatter
from netcheck.states.cone import Cone
from netcheck.states.machine import Machine
from netcheck.states.question import Question
from netcheck.states.trace import operated, race
from netcheck.states.truth_table import Tables, lowest

Image = Callable[[int], int]
"""From a set of states to all that one step can make of them."""


class Layers:
    """Sets of states: first the start, then what each further step newly reaches.

    Found as far as they are asked for; OutOfBudget beyond `most` of them.
    """

    def __init__(self, start: int, image: Image, most: int) -> None:
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
            if self._layers[depth] & wanted:
                return self._layers[: depth + 1]
            depth += 1

    def _extend(self) -> bool:
        new = self._image(self._layers[-1]) & ~self._seen
        if new:
            if len(self._layers) >= self._most:
                raise OutOfBudget
            self._seen |= new
            self._layers.append(new)
        return new != 0


class Enumeration:
    """Every state of one cone that can be reached, in each sense of reaching."""

    def __init__(
        self,
        machine: Machine,
        cone: Cone,
        chatterers: Callable[[], frozenset[str]],
        table_bits: int,
    ) -> None:
        self._machine = machine
        self.cone = cone
        self._table_bits = table_bits
        self._find_chatterers = chatterers
        self._tables = Tables(machine.logic, cone.variables)
        self._wide_tables = Tables(machine.logic, cone.variables[: len(cone.movers)])
        self._allowed = self._tables.all_of(cone.constraints)
        self._may = [self._tables.of(moving.may) for moving in cone.movers]
        self._must = [self._tables.of(moving.must) for moving in cone.movers]
        self._position_tables: dict[tuple[int, int], int] = {}
        self._operated_layers: dict[bool, Layers] = {}
        self._first_bit: list[int] = []
        place = len(cone.movers)
        for switch in cone.switches:
            self._first_bit.append(place)
            place += len(switch.bits)

    @property
    def bits(self) -> int:
        """About how many bits it holds on to."""
        tables = 4 * len(self._may) + len(self._position_tables)
        return (tables + sum(map(len, self._operated_layers.values()))) << self._tables.count

    def is_ruled_out(self, bad: int) -> bool:
        """Whether nothing can make it happen, with switches anywhere at every instant."""
        wanted = self._projected(self._tables.of(bad) & self._allowed)
        self._tables.forget()
        return self._at_any_moment.ways_to(wanted) is None

    def answer(self, bad: int, at: Instant, same_instant: bool) -> Answer:
        """Whether a state in which `bad` holds can be reached."""
        wanted = self._tables.of(bad) & self._allowed
        self._tables.forget()
        if not self._start_of_movers & self._allowed:
            return Never("assumptions contradict")
        if not wanted:
            return Never("logic alone")
        if at == "settled":
            wanted &= self._resting
        loosely = wanted & self._settled(strict=False) if at == "settled" else wanted
        in_movers = self._projected(loosely)
        race = self._in_same_instant if same_instant else self._at_any_moment
        if race.ways_to(in_movers) is None:
            return Never("enumeration")
        return self._classified(bad, wanted, loosely, at, same_instant)

    def _classified(
        self, bad: int, wanted: int, loosely: int, at: Instant, same_instant: bool
    ) -> Answer:
        strictly = wanted & self._settled(strict=True) if at == "settled" else wanted
        found = self._operated_trace(strictly, strict=True)
        if found is not None:
            return found
        if self._chatterers:
            found = self._operated_trace(loosely, strict=False)
            if found is not None:
                return may_chatter(self._chatterers, found)
        question = Question(self._machine, self.cone, bad, at, self._chatterers)
        literals = question.wanted(strict=False)
        trace = self._race_trace(self._at_any_moment, loosely, literals)
        if trace is None and same_instant:
            trace = self._race_trace(self._in_same_instant, loosely, literals)
        assert trace is not None, "a race was found, but not the way to it"
        return trace

    # What reaching means.

    @cached_property
    def _at_any_moment(self) -> Layers:
        """Movers' states reached when switches may be anywhere at every step."""
        flip = self._wide_tables.flipped

        def image(states: int) -> int:
            after = 0
            for place, may in enumerate(self._may_projected):
                after |= flip(states & may, place)
            return after

        return self._layers(self._projected(self._start_of_movers), image, len(self._may))

    @cached_property
    def _in_same_instant(self) -> Layers:
        """The same when, besides, any number of movers may move at once."""

        def image(states: int) -> int:
            after = 0
            for flips, where in self._groups:
                after |= self._spread(states & where, flips)
            return after

        return self._layers(self._projected(self._start_of_movers), image, len(self._may))

    def _operated(self, strict: bool) -> Layers:
        """States reached by operating one switch at a time, after every mover has settled.

        Where that is not meant strictly, movers that may never settle are not waited for.
        """
        known = self._operated_layers.get(strict)
        if known is None:
            known = self._operated_layers[strict] = self._operated_anew(strict)
        return known

    def _operated_anew(self, strict: bool) -> Layers:
        start = self._start_of_movers
        for place, switch in enumerate(self.cone.switches):
            start &= self._in_positions(place, switch.start)
        flips = self._flips(strict)
        settled = self._settled(strict)

        def image(states: int) -> int:
            after = 0
            for place, where in enumerate(flips):
                after |= self._tables.flipped(states & where, place)
            ready = states & settled
            for there, shift in self._operations:
                moved = ready & there
                after |= moved << shift if shift > 0 else moved >> -shift
            return after & self._allowed

        return self._layers(start & self._allowed, image, self._tables.count)

    def _layers(self, start: int, image: Image, variables: int) -> Layers:
        return Layers(start, image, max(self._table_bits >> variables, 1))

    # One step of settled operation: the states it is taken in, and how the number changes.

    def _flips(self, strict: bool) -> list[int]:
        """For each mover, the states in which it can flip."""
        settled = self._settled(strict)
        return [
            may & (settled | must) if moving.mover.timed else may
            for moving, may, must in zip(self.cone.movers, self._may, self._must, strict=True)
        ]

    @cached_property
    def _operations(self) -> list[tuple[int, int]]:
        """For each move of a switch, the states it starts from, and what it adds to a number."""
        return [
            (self._in_position(place, before), (after - before) << self._first_bit[place])
            for place, switch in enumerate(self.cone.switches)
            for before, after in sorted(switch.moves)
        ]

    # Sets of states.

    @cached_property
    def _chatterers(self) -> frozenset[str]:
        return self._find_chatterers()

    def _settled(self, strict: bool) -> int:
        return self._settled_strictly if strict else self._settled_loosely

    @cached_property
    def _settled_strictly(self) -> int:
        unsettled = 0
        for must in self._must:
            unsettled |= must
        return self._tables.full & ~unsettled

    @cached_property
    def _settled_loosely(self) -> int:
        unsettled = 0
        for moving, must in zip(self.cone.movers, self._must, strict=True):
            if moving.mover.name not in self._chatterers:
                unsettled |= must
        return self._tables.full & ~unsettled

    @cached_property
    def _resting(self) -> int:
        states = self._tables.full
        for place, switch in enumerate(self.cone.switches):
            states &= self._in_positions(place, switch.resting)
        return states

    @cached_property
    def _start_of_movers(self) -> int:
        states = self._allowed
        for moving, mask in zip(self.cone.movers, self._tables.masks, strict=False):
            if moving.mover.start is not None:
                states &= mask if moving.mover.start else ~mask
        return states

    def _in_positions(self, place: int, positions: Iterable[int]) -> int:
        states = 0
        for position in positions:
            states |= self._in_position(place, position)
        return states

    def _in_position(self, place: int, position: int) -> int:
        """The states with switch number `place` in this position."""
        states = self._position_tables.get((place, position))
        if states is None:
            states = self._tables.full
            for bit in range(len(self.cone.switches[place].bits)):
                mask = self._tables.masks[self._first_bit[place] + bit]
                states &= mask if position >> bit & 1 else ~mask
            self._position_tables[place, position] = states
        return states

    @cached_property
    def _may_projected(self) -> list[int]:
        return [self._projected(may & self._allowed) for may in self._may]

    def _projected(self, states: int) -> int:
        """The movers' parts of the states."""
        return self._tables.projected(states, len(self._may))

    @cached_property
    def _groups(self) -> list[tuple[tuple[int, ...], int]]:
        """Which movers may move together, and in which movers' states."""
        groups: list[tuple[tuple[int, ...], int]] = [((), self._allowed)]
        for place, may in enumerate(self._may):
            split = [(flips, states & ~may) for flips, states in groups]
            split += [((*flips, place), states & may) for flips, states in groups]
            groups = [(flips, states) for flips, states in split if states]
        allowed = self._projected(self._allowed)
        return [(flips, self._projected(states) & allowed) for flips, states in groups]

    def _spread(self, states: int, flips: Iterable[int]) -> int:
        for place in flips:
            states |= self._wide_tables.flipped(states, place)
        return states

    # Ways there.

    def _operated_trace(self, wanted: int, strict: bool) -> Reached | None:
        found = self._operated(strict).ways_to(wanted)
        if found is None:
            return None
        numbers = [lowest(found[-1] & wanted)]
        flips, settled = self._flips(strict), self._settled(strict)
        for layer in reversed(found[:-1]):
            numbers.append(self._before(numbers[-1], layer, flips, settled))
        return operated(self.cone, [self._assignment(number) for number in reversed(numbers)])

    def _before(self, number: int, layer: int, flips: list[int], settled: int) -> int:
        """A state of the layer from which one step leads to this one."""
        for place, where in enumerate(flips):
            before = number ^ (1 << place)
            if layer & where & (1 << before):
                return before
        ready = layer & settled
        for there, shift in self._operations:
            before = number - shift
            if before >= 0 and ready & there & (1 << before):
                return before
        raise AssertionError("a state was reached from nowhere")

    def _race_trace(self, layers: Layers, wanted: int, bad: list[int]) -> Reached | None:
        in_movers = self._projected(wanted)
        found = layers.ways_to(in_movers)
        if found is None:
            return None
        movers = [lowest(found[-1] & in_movers)]
        for layer in reversed(found[:-1]):
            movers.append(self._before_race(movers[-1], layer))
        movers.reverse()
        instants = []
        for here, there in pairwise(movers):
            enabled = self._allowed
            for place, may in enumerate(self._may):
                if (here ^ there) >> place & 1:
                    enabled &= may
            instants.append(self._with_movers(enabled, here))
        instants.append(self._with_movers(wanted, movers[-1]))
        return race(self._machine.logic, self.cone, instants, bad)

    def _before_race(self, after: int, layer: int) -> int:
        for place, may in enumerate(self._may_projected):
            before = after ^ (1 << place)
            if layer & may & (1 << before):
                return before
        for flips, where in self._groups:
            found = self._spread(1 << after, flips) & layer & where
            if found:
                return lowest(found)
        raise AssertionError("a state was reached from nowhere")

    def _with_movers(self, states: int, movers: int) -> dict[int, bool]:
        """The first of the states in which the movers are so."""
        like = self._tables.full
        for place in range(len(self._may)):
            mask = self._tables.masks[place]
            like &= mask if movers >> place & 1 else ~mask
        return self._assignment(lowest(states & like))

    def _assignment(self, number: int) -> dict[int, bool]:
        variables = enumerate(self.cone.variables)
        return {variable: bool(number >> place & 1) for place, variable in variables}


class KeptEnumerations:
    """The enumerations used last, up to so many bits together."""

    def __init__(self, most_bits: int) -> None:
        self._most_bits = most_bits
        self._kept: OrderedDict[Cone, tuple[Enumeration, int]] = OrderedDict()
        self._bits = 0

    def of(self, cone: Cone) -> Enumeration | None:
        found = self._kept.get(cone)
        return found[0] if found else None

    def keep(self, enumeration: Enumeration) -> None:
        """Keep this one longest; call it again after each use, for it may have grown."""
        cone, bits = enumeration.cone, enumeration.bits
        _, counted = self._kept.pop(cone, (None, 0))
        self._kept[cone] = enumeration, bits
        self._bits += bits - counted
        while self._bits > self._most_bits:
            self._bits -= self._kept.popitem(last=False)[1][1]
