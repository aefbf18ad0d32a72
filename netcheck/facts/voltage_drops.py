"""How many volts the conductors take from each load, source to load and home again.

First a bound: every load that may draw through a wire is taken to do so at its rated
current, and magnitudes are added.  Where that is too much, the loads that a reachable
state has on together are looked for, the ones that cost this load most first, and the
panel is solved in that state: currents as the loads then draw them, neutrals as the legs
leave them.  Sources and transformers are taken to hold their voltage.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.component_values import ComponentValues
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.heaviest_set import LoadSet, heaviest_set
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.loads_at_once import LoadsAtOnce
from netcheck.facts.solved_states import SolvedStates, volts_across
from netcheck.model.defaults import DROP_LIMIT
from netcheck.model.devices import SourcePart
from netcheck.model.wires import Wire
from netcheck.record import record, replace
from netcheck.solve.steady import Steady
from netcheck.states.answers import Answer, Reached, Undecided
from netcheck.states.volts import magnitude


@record
class ConductorDrop:
    """What one wire takes: amperes through it, its ohm, and the volts lost for this load."""

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

    @property
    def share(self) -> float:
        return self.volts / self.supplied_v


@record
class VoltageDrops:
    """`drops` are above their limit, or in doubt; `missing` are wires of which too little is
    said to tell, each with the reason; `shares` is the bound of every load by name."""

    drops: tuple[VoltageDrop, ...]
    missing: tuple[tuple[Wire, str], ...]
    shares: tuple[tuple[LoadCurrent, float], ...]


@concludes(Behaviour, ComponentValues, CurrentPaths, LoadsAtOnce, SolvedStates)
def find_voltage_drops(view: View) -> VoltageDrops:
    return _Finder(view).find()


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.states = view[Behaviour]
        self.paths = view[CurrentPaths]
        self.at_once = view[LoadsAtOnce]
        self.loads = self.paths.loads
        self.solved = view[SolvedStates]
        self.unsaid = frozenset(view[ComponentValues].wires_unsaid)
        said = self.panel.settings.drop_limit
        self.limit = DROP_LIMIT if said is None else said
        self.ohm = {index: abs(ohm) for index, ohm in self.solved.stiff.wire_ohm.items()}
        self.wires_of: dict[int, list[int]] = {}
        for wire in self.panel.wires:
            for number in self.paths.loads_on(wire.index):
                self.wires_of.setdefault(number, []).append(wire.index)
        self._ahead: dict[int, float] = {}

    def find(self) -> VoltageDrops:
        bounds_a = self.paths.bounds_a([load.current_a for load in self.loads])
        drops, shares = [], []
        own = {
            number: self._volts_lost(number, bounds_a) / self._supplied_v(number)
            for number in self.paths.fed
        }
        for number in sorted(own):
            ahead = self._share_ahead(number, own)
            shares.append((self.loads[number], own[number] + ahead))
            if own[number] + ahead > self.limit:
                drop = self._judged(number, ahead)
                if drop is not None:
                    drops.append(drop)
        return VoltageDrops(tuple(drops), tuple(self._missing()), tuple(shares))

    def _missing(self) -> Iterator[tuple[Wire, str]]:
        for index in sorted({index for wires in self.wires_of.values() for index in wires}):
            if index in self.unsaid:
                wire = self.panel.wires[index]
                size, length = wire.properties.size, wire.properties.length_m
                lacks = "size" if size is None else "length" if length is None else "metal"
                yield wire, f"its {lacks} is not said, so its voltage drop is not known"

    # ---- a bound -------------------------------------------------------------------------

    def _volts_lost(self, number: int, amperes: dict[int, float]) -> float:
        return sum(
            self.ohm.get(index, 0.0) * amperes.get(index, 0.0)
            for index in self.wires_of.get(number, ())
        )

    def _supplied_v(self, number: int) -> float:
        part = self.loads[number].parts[0]
        volts = [magnitude(feed.volts) for feed in self.states.feeds(part)]
        rated = part.load.volts if part.load is not None else None
        return max(volts, default=rated or 1.0)

    def _share_ahead(self, number: int, own: dict[int, float]) -> float:
        """What is lost ahead of the transformers that may feed the load."""
        part = self.loads[number].parts[0]
        rails = {rail for feed in self.states.feeds(part) for rail in (feed.rail_a, feed.rail_b)}
        ahead = [self._transformer_share(index, own) for index in self._transformers(rails)]
        return max(ahead, default=0.0)

    def _transformers(self, rails: set[int]) -> Iterator[int]:
        for index, source in enumerate(self.panel.sources):
            if (
                source.inputs
                and not source.current_limited
                and self._stands_at(index, source, rails)
            ):
                yield index

    def _stands_at(self, index: int, source: SourcePart, rails: set[int]) -> bool:
        return any(self.states.pole_node(index, pole) in rails for pole in source.poles)

    def _transformer_share(self, index: int, own: dict[int, float]) -> float:
        if index not in self._ahead:
            self._ahead[index] = 0.0  # of transformers that feed each other
            inputs = self.panel.sources[index].inputs
            numbers = [
                number
                for number in own
                if any(part.index in inputs for part in self.loads[number].parts)
            ]
            self._ahead[index] = max(
                (own[number] + self._share_ahead(number, own) for number in numbers), default=0.0
            )
        return self._ahead[index]

    # ---- the state that costs most -------------------------------------------------------------

    def _judged(self, number: int, ahead: float) -> VoltageDrop | None:
        supplied_v = self._supplied_v(number)
        costs = self._costs(number)
        ahead_v = ahead * supplied_v

        def total(numbers: Sequence[int]) -> float:
            return ahead_v + sum(costs[other] for other in numbers)

        others = sorted((n for n in costs if n != number), key=lambda n: (-costs[n], n))
        allowed_v = self.limit * supplied_v
        while True:
            found = heaviest_set(others, self.at_once, total, allowed_v, always=(number,))
            if found is None:
                return None
            drop = self._drop(number, supplied_v, found, ahead_v)
            if not drop.exact or drop.share > self.limit or len(found.loads) == len(others) + 1:
                return drop if not drop.exact or drop.share > self.limit else None
            allowed_v = found.total  # solved, it is less: only a heavier set can still be too much

    def _costs(self, number: int) -> dict[int, float]:
        """By load (its own number too) the volts that its rated current costs this load."""
        costs: dict[int, float] = {number: 0.0}
        for index in self.wires_of.get(number, ()):
            ohm = self.ohm.get(index, 0.0)
            for other in self.paths.loads_on(index):
                costs[other] = costs.get(other, 0.0) + ohm * self.loads[other].current_a
        return costs

    def _drop(self, number: int, supplied_v: float, found: LoadSet, ahead_v: float) -> VoltageDrop:
        others = tuple(self.loads[n] for n in found.loads if n != number)
        drop = VoltageDrop(
            self.loads[number], supplied_v, found.total, self.limit, False, others, found.answer,
            tuple(self._conductors(number, found.loads)), ahead_v,
        )  # fmt: skip
        if not isinstance(found.answer, Reached) or not found.answer.state:
            return drop
        steady = self.solved.solve(found.answer, self.solved.stiff)
        if isinstance(steady, Undecided):
            return replace(drop, answer=steady)
        lost_v = max(
            (supplied_v - volts_across(steady, part) for part in self.loads[number].parts),
            default=0.0,
        )
        exact = tuple(self._solved_conductors(number, steady))
        ahead_v = lost_v - sum(one.volts for one in exact) if drop.ahead_v else 0.0
        return replace(drop, volts=lost_v, exact=True, conductors=exact, ahead_v=max(ahead_v, 0.0))

    def _conductors(self, number: int, on: Sequence[int]) -> list[ConductorDrop]:
        chosen = set(on)
        found = [
            ConductorDrop(
                self.panel.wires[index],
                sum(self.loads[n].current_a for n in self.paths.loads_on(index) if n in chosen),
                self.ohm.get(index, 0.0),
            )
            for index in self.wires_of.get(number, ())
        ]
        return sorted(found, key=lambda one: (-round(one.volts, 9), one.wire.index))

    def _solved_conductors(self, number: int, steady: Steady) -> list[ConductorDrop]:
        found = []
        for index in self.wires_of.get(number, ()):
            currents = steady.wire_a(index).values()
            amperes = sum(abs(current) for current in currents if current is not None)
            found.append(ConductorDrop(self.panel.wires[index], amperes, self.ohm.get(index, 0.0)))
        return sorted(found, key=lambda one: (-round(one.volts, 9), one.wire.index))
