"""How many volts the conductors take from each load, source to load and home again.

First a bound: every load that may draw through a wire is taken to do so at its rated
current, and magnitudes are added.  Where that is too much, the loads that a reachable
state has on together are looked for, the ones that cost this load most first, and the
panel is solved in that state: currents as the loads then draw them, each lagging by its
power factor, neutrals as the legs leave them.  Loads that take from what this one loses,
those of another leg on its neutral, are off where they can be.  A motor or magnet that says
no power factor has the one of its range that loses most, that at which its current lags as
the conductors' own impedance does.  Sources and transformers are taken to hold their voltage.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.component_values import ComponentValues
from netcheck.facts.current_directions import CurrentDirections
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.heaviest_set import LoadSet, heaviest_set
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.solved_states import SolvedStates, volts_across
from netcheck.model.devices import SourcePart
from netcheck.model.wires import Wire
from netcheck.record import record, replace
from netcheck.rounding import exceeds, with_slack
from netcheck.solve.lags import STARTING, effective_ohm
from netcheck.solve.ratings import Ratings
from netcheck.states.answers import Answer, Reached, Undecided
from netcheck.states.volts import magnitude

if TYPE_CHECKING:
    from netcheck.solve.steady import Steady


@record
class ConductorDrop:
    """What one wire takes: amperes through it, the volts lost for this load, and what they are
    of each other: in a solved state R cos + X sin at the load's power factor, else |R + jX|."""

    wire: Wire
    current_a: float
    ohm: float

    @property
    def volts(self) -> float:
        return self.current_a * self.ohm


@record
class VoltageDrop:
    """One load whose conductors take more than `limit` (a share of `supplied_v`).

    `exact` says that the panel was solved in the state of `answer`; else `volts` is what
    rated currents come to, no less than what is lost.  `conductors`, the worst first, are
    those of one way out and home.
    """

    load: LoadCurrent
    supplied_v: float
    volts: float
    limit: float
    exact: bool
    others: tuple[LoadCurrent, ...]
    answer: Answer
    conductors: tuple[ConductorDrop, ...]
    ahead_v: float = 0.0
    """Lost ahead of the transformer that feeds it, as it comes through; nought without one."""
    lag: float = 0.0
    """Radians by which its current lags where it is solved."""
    unsaid: tuple[LoadCurrent, ...] = ()
    """Those of it and the others whose power factor is not said."""

    @property
    def share(self) -> float:
        return self.volts / self.supplied_v


@record
class Asked:
    """Whether the load of a number, that takes `own_a` (as rated, if None), can lose more than
    `limit`, a share of its voltage.  `bound` is the load's of `bounds`."""

    number: int
    bound: float
    limit: float
    own_a: float | None = None


@record
class Judged:
    """Drops above their limits, or in doubt; `left` were not looked at after so many."""

    drops: tuple[tuple[Asked, VoltageDrop], ...]
    left: tuple[LoadCurrent, ...]


Counts = Callable[[int, int], bool]
"""Whether what a load (the second) sends through a wire counts, by their numbers."""

OPPOSING = -0.1
"""Cosine between currents, below which one takes from what the other loses."""
MOST_COSTS = 100_000
"""Loads on the wires of one load, wire by wire; with more it is not decided."""
MOST_SPENT = 2_000_000
"""The same of all loads of a panel; the others are not looked at."""
MOST_JUDGED = 40
"""Loads of one panel that lose too much by their bounds and have so much on their wires."""
MOST_SOLVED = 60_000
"""Wires and parts of the states that are solved, state by state."""


class DropFinder:
    """Looks, load by load, for the state in which its conductors take too much."""

    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.states = view[Behaviour]
        self.paths = view[CurrentPaths]
        self.at_once = view[LoadsAtOnce]
        self.directions = view[CurrentDirections]
        self.lags = view[ComponentValues].lags
        self.loads = self.paths.loads
        self.solved = view[SolvedStates]
        self.wire_ohm = self.solved.stiff.wire_ohm
        self.ohm = {index: abs(ohm) for index, ohm in self.wire_ohm.items()}
        self._ahead: dict[int, float] = {}
        self._ahead_at: dict[frozenset[int], list[int]] = {}
        self._solved = 0

    def bounds(self) -> dict[int, float]:
        """By load that is fed, no less than the share of its voltage that it can lose."""
        own = self._own_shares
        return {number: own[number] + self._share_ahead(number) for number in sorted(own)}

    # ---- a bound -------------------------------------------------------------------------

    @cached_property
    def _bounds_a(self) -> dict[int, float]:
        found = self.paths.bounds_a([load.current_a for load in self.loads])
        turned = {wire for number in self.paths.turned for wire in self.paths.wires_of(number)}
        for wire in turned:  # either way round it is one current
            found[wire] = sum(self.loads[n].current_a for n in self.paths.loads_on(wire))
        return found

    @cached_property
    def _own_shares(self) -> dict[int, float]:
        """What a load can lose on its own side of transformers, as a share of its voltage."""
        volts = {
            index: self.ohm.get(index, 0.0) * amperes for index, amperes in self._bounds_a.items()
        }
        sums_v = self.paths.along(volts)
        return {number: sums_v[number] / self.supplied_v(number) for number in self.paths.fed}

    @cached_property
    def _ohm_of(self) -> list[float]:
        return self.paths.along(self.ohm)

    def taken(self, number: int) -> list[ConductorDrop]:
        """What each conductor of a load takes at most, the worst first: its part of `bounds`."""
        found = [
            ConductorDrop(self.panel.wires[index], self._bounds_a[index], self.ohm[index])
            for index in self.paths.wires_of(number)
            if index in self.ohm and index in self._bounds_a
        ]
        return sorted(found, key=lambda one: (-one.volts, one.wire.index))

    def more_lost(self, number: int, own_a: float) -> float:
        """Volts that a load loses beyond its bound where it takes `own_a` itself."""
        return (own_a - self.loads[number].current_a) * self._ohm_of[number]

    def supplied_v(self, number: int) -> float:
        """The most that stands between the poles that feed a load."""
        part = self.loads[number].parts[0]
        volts = [magnitude(feed.volts) for feed in self.states.feeds(part)]
        rated = part.load.volts if part.load is not None else None
        return max(volts, default=rated or 1.0)

    def _share_ahead(self, number: int) -> float:
        """What is lost ahead of the transformers that may feed the load."""
        part = self.loads[number].parts[0]
        rails = frozenset(
            rail for feed in self.states.feeds(part) for rail in (feed.rail_a, feed.rail_b)
        )
        if rails not in self._ahead_at:
            self._ahead_at[rails] = list(self._transformers(rails))
        ahead = [self._transformer_share(index) for index in self._ahead_at[rails]]
        return max(ahead, default=0.0)

    def _transformers(self, rails: frozenset[int]) -> Iterator[int]:
        for index, source in enumerate(self.panel.sources):
            if (
                source.inputs
                and not source.current_limited
                and self._stands_at(index, source, rails)
            ):
                yield index

    def _stands_at(self, index: int, source: SourcePart, rails: frozenset[int]) -> bool:
        return any(self.states.pole_node(index, pole) in rails for pole in source.poles)

    def _transformer_share(self, index: int) -> float:
        if index not in self._ahead:
            self._ahead[index] = 0.0  # of transformers that feed each other
            inputs, own = self.panel.sources[index].inputs, self._own_shares
            numbers = {number for part in inputs for number in self._fed_of_part.get(part, ())}
            self._ahead[index] = max(
                (own[number] + self._share_ahead(number) for number in numbers), default=0.0
            )
        return self._ahead[index]

    @cached_property
    def _fed_of_part(self) -> dict[int, list[int]]:
        """The loads that are fed, by the index of each of their parts."""
        found: dict[int, list[int]] = {}
        for number in self.paths.fed:
            for part in self.loads[number].parts:
                found.setdefault(part.index, []).append(number)
        return found

    def costs(
        self, number: int, amperes: Mapping[int, float], counts: Counts = lambda wire, other: True
    ) -> dict[int, float]:
        """By load (its own number too) the volts that its current costs this load, in the wires
        in which it counts."""
        costs: dict[int, float] = {number: 0.0}
        for index in self.paths.wires_of(number):
            ohm = self.ohm.get(index, 0.0)
            for other in self.paths.loads_on(index):
                if counts(index, other):
                    costs[other] = costs.get(other, 0.0) + ohm * amperes[other]
        return costs

    def opposing(self, number: int, index: int, other: int) -> bool:
        """Whether what another load sends through a wire of this one gives it volts back."""
        node = self.states.node(self.panel.wire_numbered[index].a)
        rail = node if node in self.states.rails else None
        own, theirs = (self.directions.heading(load, rail) for load in (number, other))
        if own is None or theirs is None or other == number:
            return False
        lag = self.directions.lag(other)
        turn = theirs - own + cmath.phase(self.wire_ohm.get(index, 0.0))
        return all(math.cos(turn - angle) < OPPOSING for angle in (lag.least, lag.most))

    def judge(self, asked: Iterable[Asked]) -> Judged:
        """The drops that are above their limits, or in doubt."""
        drops: list[tuple[Asked, VoltageDrop]] = []
        left: list[LoadCurrent] = []
        costly, spent = 0, 0.0
        for one in asked:
            drop: VoltageDrop | None
            cost = self._cost(one.number)
            if cost <= MOST_COSTS and spent <= MOST_SPENT:
                spent += cost
                drop = _Question(self, one).answered()
            elif cost > MOST_COSTS and costly < MOST_JUDGED:
                costly += 1
                drop = self._in_doubt(one)
            else:
                left.append(self.loads[one.number])
                continue
            if drop is not None:
                drops.append((one, drop))
        return Judged(tuple(drops), tuple(left))

    def _cost(self, number: int) -> float:
        """No less than how many loads are on its wires, wire by wire."""
        return self.paths.most_wires[number] * len(self.loads)

    def _in_doubt(self, asked: Asked) -> VoltageDrop:
        """Not decided, its wires told as they are if all loads are on."""
        number, supplied_v = asked.number, self.supplied_v(asked.number)
        reason = "more loads draw through its conductors than are looked at together"
        conductors = self.conductors(number, lambda index: self._bounds_a.get(index, 0.0), None)
        return VoltageDrop(
            self.loads[number], supplied_v, asked.bound * supplied_v, asked.limit, False, (),
            Undecided(reason), conductors,
        )  # fmt: skip

    def solve(self, answer: Reached, ratings: Ratings) -> Steady | Undecided:
        """The panel in this state; after so many states it is not decided."""
        self._solved += len(self.panel.wires) + len(self.panel.parts)
        if self._solved > MOST_SOLVED:
            return Undecided("more states are to be solved in numbers than are")
        return self.solved.solve(answer, ratings)

    def conductors(
        self, number: int, current_a: Callable[[int], float], lag: float | None
    ) -> tuple[ConductorDrop, ...]:
        """The wires on the way of a load, each with its current, the worst first; lagging by so
        much, if that is known."""
        found = []
        for index in self.paths.wires_of(number):
            ohm = self.wire_ohm.get(index, 0j)
            counted = abs(ohm) if lag is None else effective_ohm(ohm, lag)
            found.append(ConductorDrop(self.panel.wire_numbered[index], current_a(index), counted))
        return tuple(sorted(found, key=lambda one: (-round(one.volts, 9), one.wire.index)))


class _Question:
    """Whether one load can lose more than a limit."""

    def __init__(self, finder: DropFinder, asked: Asked) -> None:
        self.finder = finder
        self.number = number = asked.number
        self.load = finder.loads[number]
        self.limit = asked.limit
        self.own_a = self.load.current_a if asked.own_a is None else asked.own_a
        self.supplied_v = finder.supplied_v(number)
        self.amperes = {n: load.current_a for n, load in enumerate(finder.loads)}
        lost_v = sum(finder.costs(number, self.amperes).values())
        self.ahead_v = max(0.0, asked.bound * self.supplied_v - lost_v)
        self.amperes[number] = self.own_a
        self.costs = finder.costs(number, self.amperes, self._adds)
        on_the_way = {
            n for wire in finder.paths.wires_of(number) for n in finder.paths.loads_on(wire)
        }
        self.relieving = tuple(sorted(on_the_way.difference(self.costs)))
        """Loads that only give it back some volts."""
        way = sum((finder.wire_ohm.get(index, 0j) for index in finder.paths.wires_of(number)), 0j)
        self.own_lag = cmath.phase(way)
        """By which a current lags that loses most on this way."""

    def _adds(self, wire: int, other: int) -> bool:
        return not self.finder.opposing(self.number, wire, other)

    def total(self, numbers: Sequence[int]) -> float:
        return self.ahead_v + sum(self.costs[other] for other in numbers)

    def answered(self) -> VoltageDrop | None:
        costs = self.costs
        others = sorted((n for n in costs if n != self.number), key=lambda n: (-costs[n], n))
        allowed_v = with_slack(self.limit * self.supplied_v)
        at_once = self.finder.at_once
        while True:
            found = heaviest_set(others, at_once, self.total, allowed_v, always=(self.number,))
            if found is None:
                return None
            drop = self._drop(found)
            if not drop.exact or exceeds(drop.share, self.limit):
                return drop
            if len(found.loads) == len(others) + 1:
                return None
            allowed_v = found.total  # solved, it is less: only a heavier set can still be too much

    def _drop(self, found: LoadSet) -> VoltageDrop:
        finder, chosen, answer = self.finder, set(found.loads), found.answer
        others = tuple(finder.loads[n] for n in found.loads if n != self.number)

        def rated_a(wire: int) -> float:
            return sum(self.amperes[n] for n in finder.paths.loads_on(wire) if n in chosen)

        drop = VoltageDrop(
            self.load, self.supplied_v, found.total, self.limit, False, others, answer,
            finder.conductors(self.number, rated_a, None), self.ahead_v,
        )  # fmt: skip
        if not isinstance(answer, Reached) or not answer.state:
            return drop
        if self.relieving:
            answer = finder.at_once.with_others_off(found.loads, self.relieving, answer)
        ratings = self._ratings()
        steady = finder.solve(answer, ratings)
        if isinstance(steady, Undecided):
            return replace(drop, answer=steady)
        lost_v = max(
            (self.supplied_v - volts_across(steady, part) for part in self.load.parts), default=0.0
        )

        def solved_a(wire: int) -> float:
            currents = steady.wire_a(wire).values()
            return sum(abs(current) for current in currents if current is not None)

        own = ratings.draws.get(self.load.parts[0].index)
        lag = cmath.phase(own.ohm) if own is not None else 0.0
        exact = finder.conductors(self.number, solved_a, lag)
        ahead_v = lost_v - sum(one.volts for one in exact) if drop.ahead_v else 0.0
        return replace(
            drop, volts=lost_v, exact=True, answer=answer, conductors=exact,
            ahead_v=max(ahead_v, 0.0), lag=lag, unsaid=tuple(self._unsaid(found.loads)),
        )  # fmt: skip

    def _unsaid(self, numbers: Iterable[int]) -> Iterator[LoadCurrent]:
        for number in numbers:
            load = self.finder.loads[number]
            if load.parts[0].index in self.finder.lags or (
                number == self.number and self.own_a != load.current_a
            ):
                yield load

    def _ratings(self) -> Ratings:
        """Loads lagging by what loses most, where it is not said; the load's own ohm as it takes
        `own_a`: it starts as what it is at rest."""
        stiff, lags = self.finder.solved.stiff, dict(self.finder.lags)
        own = [part.index for part in self.load.parts if part.index in stiff.draws]
        draws, starting = dict(stiff.draws), self.own_a != self.load.current_a
        for index in own if starting else ():
            ohm = draws[index].ohm * (self.load.current_a / self.own_a)
            draws[index] = replace(draws[index], ohm=ohm, holds="ohm")
            if self.load.parts[0].load and self.load.parts[0].load.kind != "DC":
                lags[index] = STARTING
        for index, lag in lags.items():
            turned = cmath.rect(abs(draws[index].ohm), lag.nearest(self.own_lag))
            draws[index] = replace(draws[index], ohm=turned)
        return replace(stiff, draws=draws)


@concludes(
    Behaviour, CurrentPaths, CurrentDirections, ComponentValues, LoadsAtOnce, SolvedStates
)  # fmt: skip
def prepare_drops(view: View) -> DropFinder:
    return DropFinder(view)
