"""Which wires must carry more than they may, with the loads and the state that ask for it.

First the loads that may draw through a wire are added up.  Where that sum is too much,
it is asked which of them can be on at once, and on a rail their currents are added as
phasors: two legs of one neutral take from each other, and the worst is one leg alone.
Continuous loads count 125 % against what the wire carries before corrections (NEC
210.19(A)(1)); all loads as they are, motors as NEC 430.24 counts them, after them.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided
from netcheck.facts.conductor_network import loops
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort
from netcheck.facts.wire_limits import SMALL_CIRCUIT_A, WireLimit, WireLimits
from netcheck.model.wires import Wire
from netcheck.record import record, replace
from netcheck.states.answers import Answer, Never, Reached, Undecided
from netcheck.states.behaviour import Behaviour as States

if TYPE_CHECKING:
    from netcheck.tables.conditions import Conditions
    from netcheck.tables.lookup import CurrentLimit

SHARE = 1.25
"""Of continuous loads and of the largest motor: NEC 210.19(A)(1), 430.22, 430.24."""
MOST_QUESTIONS = 60
"""Asked of one set of loads before it is not decided which can be on at once."""
MOST_DIRECTIONS = 6


@record
class Overload:
    """One wire, the loads that are on together, what they ask for and what it may carry, in A.

    `continuous` says that it is 125 % of continuous loads that is too much.  `answer` is
    Reached with the state, or Undecided.
    """

    wire: Wire
    limit: WireLimit
    loads: tuple[LoadCurrent, ...]
    needed_a: float
    allowed: CurrentLimit
    continuous: bool
    answer: Answer

    @property
    def excess(self) -> float:
        return self.needed_a / self.allowed.current_a

    @property
    def demands(self) -> tuple[tuple[float, Conditions], ...]:
        """What the wire must be good for, A, counted in both ways, each with its conditions."""
        limit = self.limit
        share = SHARE if limit.conditions.practice == "NEC" else 1.0
        steady_a, continuous_a = (
            _counted_a(self.loads, share, continuous) for continuous in (False, True)
        )
        own_a = continuous_a if self.continuous else steady_a
        part = self.needed_a / own_a if own_a else 1.0
        return (steady_a * part, limit.conditions), (continuous_a * part, limit.plain)


def _counted_a(loads: Sequence[LoadCurrent], share: float, continuous: bool) -> float:
    """The sum of currents, with the largest motor's part on top (NEC 430.24)."""
    motors = [load.current_a for load in loads if load.sort is Sort.MOTOR]
    total_a = max(motors, default=0.0) * (share - 1)
    for load in loads:
        raised = continuous and load.sort is Sort.CONTINUOUS
        total_a += load.current_a * (share if raised else 1.0)
    return total_a


@record
class WireCurrents:
    """`missing` gives for wires that carry current, and could not be judged, the reason."""

    overloads: tuple[Overload, ...]
    missing: tuple[tuple[Wire, str], ...]
    unknown: tuple[LoadCurrent, ...]
    """Loads whose current is not known: wires that feed them are not judged in full."""


@concludes(Behaviour, CertainBehaviour, LoadCurrents, CurrentPaths, WireLimits)
def find_wire_currents(view: View) -> WireCurrents:
    return _Finder(view).find()


class _Finder:
    def __init__(self, view: View) -> None:
        self.wide, self.certain = view[Behaviour], view[CertainBehaviour].behaviour
        self.loads = view[LoadCurrents].loads
        self.share = 1.0 if view[LoadCurrents].iec else SHARE
        self.paths = view[CurrentPaths]
        self.limits = view[WireLimits]
        self._worst: dict[tuple[tuple[int, ...], int, bool, float], _Worst | None] = {}

    def find(self) -> WireCurrents:
        bounds_a = self.paths.bounds_a([self._most_a(load) for load in self.loads])
        overloads: list[Overload] = []
        missing: list[tuple[Wire, str]] = []
        for wire in self.wide.panel.wires:
            bound_a = bounds_a.get(wire.index)
            if bound_a is None:
                continue
            limit = self.limits.of(wire)
            if isinstance(limit, str):
                if not wire.properties.class_2:
                    missing.append((wire, limit))
                continue
            if bound_a > min(limit.steady.current_a, limit.continuous.current_a):
                overloads += self._found(wire, limit)
        unknown = [
            load for number, load in enumerate(self.loads)
            if load.unknown and number in self.paths.fed
        ]  # fmt: skip
        return WireCurrents(tuple(overloads), tuple(missing), tuple(unknown))

    def _most_a(self, load: LoadCurrent) -> float:
        counted = load.sort in (Sort.MOTOR, Sort.CONTINUOUS)
        return load.current_a * (self.share if counted else 1.0)

    def _found(self, wire: Wire, limit: WireLimit) -> Iterator[Overload]:
        """Judged anew where so much current makes its terminals those of a large circuit."""
        for overload in self._overload(wire, limit):
            if overload.needed_a > SMALL_CIRCUIT_A:
                larger = self.limits.of(wire, overload.needed_a)
                assert not isinstance(larger, str)
                yield from self._overload(wire, larger)
            else:
                yield overload

    def _overload(self, wire: Wire, limit: WireLimit) -> Iterator[Overload]:
        """The worse of the two ways of counting, where either is too much."""
        numbers = self.paths.loads_on(wire.index)
        found = []
        for continuous in (False, True):
            allowed = limit.continuous if continuous else limit.steady
            worst = self._worst_of(numbers, wire, continuous, allowed.current_a)
            if worst is not None:
                loads = tuple(self.loads[number] for number in sorted(worst.loads))
                found.append(
                    Overload(wire, limit, loads, worst.needed_a, allowed, continuous, worst.answer)
                )
        if not found:
            return
        worst_of_both = max(found, key=lambda one: (isinstance(one.answer, Reached), one.excess))
        if wire.index in self._divided:
            divides = Undecided("its current divides between this wire and others beside it")
            worst_of_both = replace(worst_of_both, answer=divides)
        yield worst_of_both

    @cached_property
    def _divided(self) -> frozenset[int]:
        """Wires that lie in a loop of what is always joined."""
        return frozenset(
            by.index for loop in loops(self.wide) for by in loop if isinstance(by, Wire)
        )

    def _worst_of(
        self, numbers: tuple[int, ...], wire: Wire, continuous: bool, allowed_a: float
    ) -> _Worst | None:
        place = self.wide.node(wire.a)
        rail = place if place in self.wide.rails else -1
        key = numbers, rail, continuous, allowed_a
        if key not in self._worst:
            search = _Search(self, numbers, rail, continuous, allowed_a)
            self._worst[key] = search.run()
        return self._worst[key]


@record
class _Worst:
    loads: tuple[int, ...]
    needed_a: float
    answer: Answer


class _Search:
    """Looks for loads that can be on at once and together ask for more than allowed."""

    def __init__(
        self,
        finder: _Finder,
        numbers: Sequence[int],
        rail: int,
        continuous: bool,
        allowed_a: float,
    ) -> None:
        self.finder = finder
        self.allowed_a = allowed_a * (1 + 1e-9)
        self.numbers = numbers
        self.weight = {number: self._weight(number, continuous) for number in numbers}
        self.direction = {number: self._direction(number, rail) for number in numbers}
        self.questions = 0
        self.open: Undecided | None = None
        self.open_loads: tuple[int, ...] = ()

    def run(self) -> _Worst | None:
        for group, heading in self._groups():
            weight = {
                number: self.weight[number] * _along(self.direction[number], heading)
                for number in group
            }
            found = self._heaviest(weight)
            if found is not None:
                return found
        if self.open is not None:
            return _Worst(self.open_loads, self._sum(self.weight, self.open_loads), self.open)
        return None

    def _heaviest(self, weight: dict[int, float]) -> _Worst | None:
        """All at once if that can be; else set by set, dropping what cannot be on together."""
        ordered = tuple(sorted(weight, key=lambda number: (-weight[number], number)))
        if self._sum(weight, ordered) <= self.allowed_a:
            return None
        if isinstance(self._together(ordered), Reached):
            return _Worst(ordered, self._sum(weight, ordered), self._together(ordered))
        return self._grow(weight, ordered, ())

    def _grow(
        self, weight: dict[int, float], rest: tuple[int, ...], chosen: tuple[int, ...]
    ) -> _Worst | None:
        if chosen and self._sum(weight, chosen) > self.allowed_a:
            answer = self._together(chosen)
            return _Worst(chosen, self._sum(weight, chosen), answer)
        if self._sum(weight, (*chosen, *rest)) <= self.allowed_a:
            return None
        first, others = rest[0], rest[1:]
        answer = self._together((*chosen, first))
        if isinstance(answer, Reached):
            found = self._grow(weight, others, (*chosen, first))
            if found is not None:
                return found
        elif isinstance(answer, Undecided) and self.open is None:
            self.open, self.open_loads = answer, (*chosen, *rest)
        return self._grow(weight, others, chosen)

    def _sum(self, weight: dict[int, float], numbers: Sequence[int]) -> float:
        """With the largest motor's part on top (NEC 430.24)."""
        largest_a = max(
            (weight[n] for n in numbers if self.finder.loads[n].sort is Sort.MOTOR), default=0.0
        )
        return sum(weight[n] for n in numbers) + largest_a * (self.finder.share - 1)

    def _weight(self, number: int, continuous: bool) -> float:
        load = self.finder.loads[number]
        raised = continuous and load.sort is Sort.CONTINUOUS
        return load.current_a * (self.finder.share if raised else 1.0)

    # ---- which can be on at once ---------------------------------------------------------------

    def _together(self, numbers: Sequence[int]) -> Answer:
        finder = self.finder
        if any(number not in finder.paths.fed for number in numbers):
            return Undecided("some of its loads stand in series with others")
        self.questions += 1
        if self.questions > MOST_QUESTIONS:
            return Undecided("more sets of loads than are looked at")
        answer = self._ask(finder.certain, numbers)
        if finder.certain is not finder.wide and not isinstance(answer, Reached):
            answer = decided(answer, self._ask(finder.wide, numbers), finder.wide.uncertain_coils)
        if isinstance(answer, Reached) and answer.kind == "race":
            return Never("logic alone")
        return answer

    def _ask(self, states: States, numbers: Sequence[int]) -> Answer:
        return states.prover.can_happen(
            states.logic.all_of([self._draws(states, number) for number in numbers])
        )

    def _draws(self, states: States, number: int) -> int:
        """While a load is fed at any voltage at all, in every winding it has."""
        return states.logic.all_of(
            [
                states.logic.any_of([feed.condition for feed in states.feeds(part)])
                for part in self.finder.loads[number].parts
            ]
        )

    # ---- phases ----------------------------------------------------------------------------------

    def _groups(self) -> Iterator[tuple[tuple[int, ...], complex]]:
        """Sets of loads whose currents point one way, the most first, and where it is.

        Loads of unknown direction are in every set.
        """
        found: dict[complex, list[int]] = {}
        free = []
        for number in self.numbers:
            direction = self.direction[number]
            if direction is None:
                free.append(number)
            else:
                found.setdefault(direction, []).append(number)
        if len(found) < 2 or len(found) > MOST_DIRECTIONS:
            yield tuple(self.numbers), 0j
            return
        sets: list[tuple[float, tuple[int, ...], complex]] = []
        for count in range(1, len(found) + 1):
            for chosen in combinations(found, count):
                members = [number for direction in chosen for number in found[direction]]
                total = sum(self.weight[n] * (self.direction[n] or 0j) for n in members)
                if total:
                    sets.append((abs(total), (*members, *free), total / abs(total)))
        for _, group, heading in sorted(sets, key=lambda one: -one[0]):
            yield group, heading

    def _direction(self, number: int, rail: int) -> complex | None:
        """Of a load's current on a rail against the voltages there; None if it may vary."""
        if rail < 0:
            return None
        total = 0j
        for part in self.finder.loads[number].parts:
            here = set()
            for feed in self.finder.wide.feeds(part):
                between = self.finder.paths.volts.get((feed.rail_a, feed.rail_b), ())
                if rail not in (feed.rail_a, feed.rail_b) or feed.volts not in between:
                    continue
                if len(feed.volts) != 1:
                    return None
                _, volts = feed.volts[0]
                here.add(volts if feed.rail_a == rail else -volts)
            if len(here) > 1:
                return None
            total += sum(here)
        if abs(total) < 1:
            return None
        degrees = round(cmath.phase(total) / cmath.pi * 180)
        return cmath.rect(1.0, (degrees % 360) / 180 * cmath.pi)


def _along(direction: complex | None, heading: complex) -> float:
    if direction is None or not heading:
        return 1.0
    return max(0.0, (direction * heading.conjugate()).real)
