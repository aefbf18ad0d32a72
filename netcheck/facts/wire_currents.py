"""Which wires must carry more than they may, with the loads and the state that ask for it.

First the loads that may draw through a wire are added up.  Where that sum is too much,
it is asked which of them can be on at once, and on a rail their currents are added as
phasors: two legs of one neutral take from each other, and the worst is one leg alone.
Continuous loads count 125 % against what the wire carries before corrections (NEC
210.19(A)(1)); all loads as they are, motors as NEC 430.24 counts them, after them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.conductor_network import loops
from netcheck.facts.current_directions import CurrentDirections
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.heaviest_set import heaviest_set
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort
from netcheck.facts.loads_at_once import MOST_LOADS, LoadsAtOnce
from netcheck.facts.wire_limits import SMALL_CIRCUIT_A, WireLimit, WireLimits
from netcheck.model.wires import Wire
from netcheck.record import record, replace
from netcheck.rounding import exceeds, with_slack
from netcheck.states.answers import Answer, Reached, Undecided

if TYPE_CHECKING:
    from netcheck.tables.conditions import Conditions
    from netcheck.tables.lookup import CurrentLimit

SHARE = 1.25
"""Of continuous loads and of the largest motor: NEC 210.19(A)(1), 430.22, 430.24."""
MOST_OVERLOADS = 200
"""Looking stops after so many: a panel with as many thin wires is not read for the next."""
MOST_SEARCHES = 100
"""Of one panel for loads that can be on at once; then wires are not decided."""


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
    def by_angle(self) -> bool:
        """Whether its loads' currents do not all point one way, so that it carries less than
        their sum."""
        return exceeds(counted_a(self.loads, self._share, self.continuous), self.needed_a)

    @property
    def _share(self) -> float:
        return SHARE if self.limit.conditions.practice == "NEC" else 1.0

    @property
    def demands(self) -> tuple[tuple[float, Conditions], ...]:
        """What the wire must be good for, A, counted in both ways, each with its conditions."""
        limit = self.limit
        share = self._share
        steady_a, continuous_a = (
            counted_a(self.loads, share, continuous) for continuous in (False, True)
        )
        own_a = continuous_a if self.continuous else steady_a
        part = self.needed_a / own_a if own_a else 1.0
        return (steady_a * part, limit.conditions), (continuous_a * part, limit.plain)


def counted_a(loads: Sequence[LoadCurrent], share: float, continuous: bool) -> float:
    """The sum of currents, with the largest motor's part on top (NEC 430.24); `continuous` also
    raises continuous loads by `share`."""
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
    left: tuple[Wire, ...]
    """Wires in doubt that were not looked at, after so many that carry too much."""


@concludes(Behaviour, LoadCurrents, CurrentPaths, CurrentDirections, LoadsAtOnce, WireLimits)
def find_wire_currents(view: View) -> WireCurrents:
    return _Finder(view).find()


class _Finder:
    def __init__(self, view: View) -> None:
        self.states = view[Behaviour]
        self.loads = view[LoadCurrents].loads
        self.share = 1.0 if view[LoadCurrents].iec else SHARE
        self.paths = view[CurrentPaths]
        self.directions = view[CurrentDirections]
        self.at_once = view[LoadsAtOnce]
        self.limits = view[WireLimits]
        self.searches = 0
        self.on_together: list[_Worst] = []
        """What was found on at once: any part of it can be on too."""

    def find(self) -> WireCurrents:
        bounds_a = self.paths.bounds_a([self._most_a(load) for load in self.loads])
        overloads: list[Overload] = []
        missing: list[tuple[Wire, str]] = []
        left: list[Wire] = []
        for wire in self.states.panel.wires:
            bound_a = bounds_a.get(wire.index)
            if bound_a is None:
                continue
            limit = self.limits.of(wire)
            if isinstance(limit, str):
                if not wire.properties.class_2:
                    missing.append((wire, limit))
                continue
            too_much: list[Overload] = []
            if bound_a > min(limit.steady.current_a, limit.continuous.current_a):
                if len(overloads) < MOST_OVERLOADS:
                    too_much = list(self._found(wire, limit))
                else:
                    left.append(wire)
            if limit.only_above and not too_much and not wire.properties.class_2:
                missing.append((wire, limit.only_above))
            overloads += too_much
        unknown = [
            load
            for number, load in enumerate(self.loads)
            if load.unknown and number in self.paths.fed
        ]
        return WireCurrents(tuple(overloads), tuple(missing), tuple(unknown), tuple(left))

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
        found = []
        for continuous in (False, True):
            allowed = limit.continuous if continuous else limit.steady
            worst = self._worst(wire, continuous, with_slack(allowed.current_a))
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
            by.index for loop in loops(self.states) for by in loop if isinstance(by, Wire)
        )

    def _worst(self, wire: Wire, continuous: bool, allowed_a: float) -> _Worst | None:
        place = self.states.node(wire.a)
        rail = place if place in self.states.rails else None
        own_a = {
            number: self._counted_a(number, continuous)
            for number in self.paths.loads_on(wire.index)
        }
        found = self._worst_of(self.directions.groups(own_a, rail), allowed_a)
        if found is not None or rail is None or not (unsaid := self.directions.unsaid(own_a)):
            return found
        ranges = self.directions.groups(own_a, rail, ranges=True)
        found = self._worst_of(ranges, allowed_a)
        lagging = [self.loads[n].name for n in unsaid if found is not None and n in found.loads]
        if found is None or not lagging:
            return found
        names = ", ".join(f"`{name}`" for name in lagging)
        depends = f"it depends on the power factor of {names}, which is not said"
        return replace(found, answer=Undecided(depends))

    def _worst_of(self, groups: Iterable[Mapping[int, float]], allowed_a: float) -> _Worst | None:
        for currents_a in groups:
            if self._sum_a(currents_a, currents_a) > allowed_a:
                found = self._heaviest(currents_a, allowed_a)
                if found is not None:
                    return found
        return None

    def _counted_a(self, number: int, continuous: bool) -> float:
        load = self.loads[number]
        raised = continuous and load.sort is Sort.CONTINUOUS
        return load.current_a * (self.share if raised else 1.0)

    def _sum_a(self, currents_a: Mapping[int, float], numbers: Iterable[int]) -> float:
        """With the largest motor's part on top (NEC 430.24)."""
        known = list(numbers)
        motors = [currents_a[n] for n in known if self.loads[n].sort is Sort.MOTOR]
        return sum(currents_a[n] for n in known) + max(motors, default=0.0) * (self.share - 1)

    # ---- which of them can be on at once -------------------------------------------------------

    def _heaviest(self, currents_a: Mapping[int, float], allowed_a: float) -> _Worst | None:
        """All of them, if that can be; else what was seen or found on at once before; else set
        by set, the heaviest first.  Too many for a proof are taken to be on, all but the
        heaviest: what is too little even so is enough."""
        ordered = sorted(currents_a, key=lambda number: (-currents_a[number], number))
        answer = self.at_once.together(ordered)
        if isinstance(answer, Reached):
            return self._keep(currents_a, ordered, answer)
        for known in self.on_together:
            both = [number for number in ordered if number in known.loads]
            if self._sum_a(currents_a, both) > allowed_a:
                return _Worst(frozenset(both), self._sum_a(currents_a, both), known.answer)
        self.searches += 1
        if self.searches > MOST_SEARCHES:
            open_one = Undecided("more wires in doubt than are looked at")
            return _Worst(frozenset(ordered), self._sum_a(currents_a, ordered), open_one)
        seen = self.at_once.seen_together(currents_a)
        if len(ordered) > MOST_LOADS and self._sum_a(currents_a, seen) > allowed_a:
            return self._keep(currents_a, seen, Reached("settled operation", {}, ()))
        heavy, light = ordered[:MOST_LOADS], ordered[MOST_LOADS:]
        light_a = sum(currents_a[number] for number in light)
        found = heaviest_set(
            heavy, self.at_once, lambda some: self._sum_a(currents_a, some), allowed_a - light_a
        )
        if found is None:
            return None
        if light:
            many = Undecided(f"which of its {len(ordered)} loads can be on at once is not proved")
            return _Worst(frozenset(ordered), self._sum_a(currents_a, ordered), many)
        worst = _Worst(frozenset(found.loads), found.total, found.answer)
        if isinstance(found.answer, Reached):
            self.on_together.append(worst)
        return worst

    def _keep(
        self, currents_a: Mapping[int, float], numbers: Sequence[int], answer: Answer
    ) -> _Worst:
        worst = _Worst(frozenset(numbers), self._sum_a(currents_a, numbers), answer)
        self.on_together.append(worst)
        return worst


@record
class _Worst:
    loads: frozenset[int]
    needed_a: float
    answer: Answer
