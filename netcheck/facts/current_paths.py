"""Which loads may draw their current through each wire.

A load's current leaves one rail, goes through contacts and wire to the load, and comes
home to another.  Between a rail and the load it may take any simple path that keeps off
other rails, and on a rail any simple path from where it comes on to the pole that feeds
it.  Ways between rails that no reachable state closes are left out; whether the contacts
of one path can be closed together is not asked, so what is found here is an upper bound.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.conductor_network import ConductorNetwork, Layer, element
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents
from netcheck.model.devices import Part
from netcheck.network.unions import Unions
from netcheck.record import draft, fresh
from netcheck.states.answers import Never, Reached
from netcheck.states.volts import Volts, is_live
from netcheck.states.ways import Way

MOST_ON_THE_WAY = 400
"""Wires of a load that are added up one by one; of more there is only a bound."""


class CurrentPaths:
    """For each wire and part the loads that may draw through it, by their numbers in `loads`."""

    def __init__(
        self,
        loads: tuple[LoadCurrent, ...],
        fed: set[int],
        volts: dict[tuple[int, int], frozenset[Volts]],
        layers: tuple[Layer, ...],
        turned: frozenset[int],
    ) -> None:
        self.loads = loads
        self.volts = volts
        """What may stand between two rails that feed loads, the first against the second."""
        self.fed = frozenset(fed)
        """Loads that are fed in some state with no other load in the path."""
        self.turned = turned
        """Loads of which an end is fed from one rail or another, such as a reversing motor's."""
        self._layers = layers
        self._edges: dict[int, list[tuple[int, int]]] = {}
        for number, layer in enumerate(layers):
            for edge, what in enumerate(layer.element_of_edge):
                self._edges.setdefault(what, []).append((number, edge))
        self._known: dict[int, tuple[int, ...]] = {}
        self._wires: dict[int, list[int]] = {}

    def bounds_a(self, amounts_a: list[float]) -> dict[int, float]:
        """For each wire no less than the sum of `amounts_a[i]` over the loads i on it.

        Wires that carry no load's current have no entry.
        """
        totals = [
            layer.flows.totals([amounts_a[load] for load in layer.loads]) for layer in self._layers
        ]
        bounds = {
            wire: sum(totals[layer][edge] for layer, edge in edges)
            for wire, edges in self._edges.items()
            if wire >= 0
        }
        return {wire: bound_a for wire, bound_a in bounds.items() if bound_a > 0}

    def along(self, weights: Mapping[int, float]) -> list[float]:
        """For each load the sum of `weights` over the wires it may draw through.

        Where they are many it may be more: a wire that two of its currents take counts twice.
        """
        sums = self._with_repetitions(weights)
        for load, count in enumerate(self.most_wires):
            if count <= MOST_ON_THE_WAY:
                sums[load] = sum(weights.get(index, 0.0) for index in self.wires_of(load))
        return sums

    @cached_property
    def most_wires(self) -> list[float]:
        """For each load no fewer than the wires it may draw through."""
        wires = {wire: 1.0 for wire in self._edges if wire >= 0}
        return self._with_repetitions(wires)

    def _with_repetitions(self, weights: Mapping[int, float]) -> list[float]:
        sums = [0.0] * len(self.loads)
        for layer in self._layers:
            by_edge = [weights.get(what, 0.0) for what in layer.element_of_edge]
            for load, amount in zip(layer.loads, layer.flows.along(by_edge), strict=True):
                sums[load] += amount
        return sums

    def wires_of(self, load: int) -> list[int]:
        """The wires that a load may draw through, rising; takes time in proportion to them."""
        if self.most_wires[load] > MOST_ON_THE_WAY:
            return self._find_wires(load)
        if load not in self._wires:
            self._wires[load] = self._find_wires(load)
        return self._wires[load]

    def _find_wires(self, load: int) -> list[int]:
        found = {
            layer.element_of_edge[edge]
            for layer, currents in zip(self._layers, self._currents_of, strict=True)
            for current in currents.get(load, ())
            for edge in layer.flows.passed(current)
        }
        return sorted(what for what in found if what >= 0)

    @cached_property
    def _currents_of(self) -> list[dict[int, list[int]]]:
        """By layer and load the numbers of its currents."""
        found: list[dict[int, list[int]]] = []
        for layer in self._layers:
            of_load: dict[int, list[int]] = {}
            for current, load in enumerate(layer.loads):
                of_load.setdefault(load, []).append(current)
            found.append(of_load)
        return found

    def loads_on(self, wire: int) -> tuple[int, ...]:
        """The numbers of the loads that may draw through a wire, rising."""
        return self._through(wire)

    def loads_through(self, part: Part) -> tuple[int, ...]:
        """The numbers of the loads that may draw through a contact, fuse or breaker, rising."""
        return self._through(element(part))

    def _through(self, what: int) -> tuple[int, ...]:
        if what not in self._known:
            found: set[int] = set()
            for number, edge in self._edges.get(what, ()):
                layer = self._layers[number]
                found.update(layer.loads[current] for current in layer.flows.passing(edge))
            self._known[what] = tuple(sorted(found))
        return self._known[what]


@concludes(Behaviour, LoadCurrents)
def find_current_paths(view: View) -> CurrentPaths:
    return _Finder(ConductorNetwork(view[Behaviour]), view[LoadCurrents].loads).find()


@draft
class _Between:
    """What the ways between two rails, b to a, have in common."""

    poles_a: dict[int, None] = fresh(factory=dict)
    poles_b: dict[int, None] = fresh(factory=dict)
    passed: dict[tuple[int, int], None] = fresh(factory=dict)
    """From terminal to terminal, on rails that are passed on the way."""
    volts: set[Volts] = fresh(factory=set)
    joined: dict[tuple[int, int], None] = fresh(factory=dict)
    """Rails met through contacts."""


class _Finder:
    def __init__(self, network: ConductorNetwork, loads: tuple[LoadCurrent, ...]) -> None:
        self.network = network
        self.states = network.states
        self.loads = loads
        self.fed: set[int] = set()
        self._between: dict[tuple[int, int], _Between] = {}
        self._possible: dict[int, bool] = {}

    def find(self) -> CurrentPaths:
        """Currents between rails first: they say where each comes onto its rail."""
        network = self.network
        ends = list(self._ends())
        for load, terminal, rail, _ in ends:
            network.between(load, terminal, rail)
        for load, terminal, rail, poles in ends:
            network.on_rail(load, network.entries(terminal, rail), poles)
        layers = network.rails, network.islands
        volts = {rails: frozenset(found.volts) for rails, found in self._between.items()}
        rails: dict[tuple[int, int], set[int]] = {}
        for load, terminal, rail, _ in ends:
            rails.setdefault((load, terminal), set()).add(rail)
        turned = frozenset(load for (load, _), met in rails.items() if len(met) > 1)
        return CurrentPaths(self.loads, self.fed, volts, layers, turned)

    def _ends(self) -> Iterator[tuple[int, int, int, list[int]]]:
        """Each end of a load, by number, terminal, a rail it is fed from, and its poles there."""
        number = self.network.number
        in_series = self._in_series()
        for load, drawn in enumerate(self.loads):
            for part in drawn.parts:
                feeds = self.states.feeds(part)
                for rail_a, rail_b in sorted({(feed.rail_a, feed.rail_b) for feed in feeds}):
                    between = self._ways_between(rail_a, rail_b)
                    if between.poles_a:
                        self.fed.add(load)
                        yield load, number[part.a], rail_a, list(between.poles_a)
                        yield load, number[part.b], rail_b, list(between.poles_b)
                        self._pass_by(load, between)
                if not feeds and part.index in in_series:
                    for end in (number[part.a], number[part.b]):
                        for rail in self.network.rails_at(end):
                            yield load, end, rail, self.network.poles_on(rail)

    def _pass_by(self, load: int, between: _Between) -> None:
        for start, end in between.passed:
            self.network.on_rail(load, (start,), (end,))
        for start, end in between.joined:
            self.network.between_rails(load, start, end)

    # ---- ways from rail to rail --------------------------------------------------------------

    def _ways_between(self, rail_a: int, rail_b: int) -> _Between:
        key = rail_a, rail_b
        if key not in self._between:
            between = self._between[key] = _Between()
            for way in self.states.ways(rail_b, rail_a):
                if is_live(way.volts) and self._is_possible(way):
                    self._take(between, way)
        return self._between[key]

    def _take(self, between: _Between, way: Way) -> None:
        between.volts.add(way.volts)
        arrivals: list[int] = []
        for position, step in enumerate(way.steps):
            if step.joins:
                crossings = self.network.joining(step.start, step.end)
                between.joined[step.start, step.end] = None
            else:
                number = self.network.number
                crossings = [(number[step.enters], number[step.leaves])]
            if position == 0:
                between.poles_b.update((leaving, None) for leaving, _ in crossings)
            for arrived in arrivals:
                between.passed.update(((arrived, leaving), None) for leaving, _ in crossings)
            arrivals = [arriving for _, arriving in crossings]
        between.poles_a.update((arrived, None) for arrived in arrivals)

    def _is_possible(self, way: Way) -> bool:
        """Whether the rails a way joins by contacts are ever so joined without a short."""
        if not way.joins:
            return True
        logic = self.states.logic
        shorts = [self._driven(start, end) for start, end in way.joins]
        literal = logic.both(way.condition, logic.any_of(shorts) ^ 1)
        if literal not in self._possible:
            answer = self.states.prover.can_happen(literal)
            race = isinstance(answer, Reached) and answer.kind == "race"
            self._possible[literal] = not race and not isinstance(answer, Never)
        return self._possible[literal]

    def _driven(self, start: int, end: int) -> int:
        """When sources drive a voltage between two rails: to join them then is a short."""
        ways = self.states.ways(start, end)
        return self.states.logic.any_of([way.condition for way in ways if is_live(way.volts)])

    # ---- loads in series with loads ----------------------------------------------------------

    def _in_series(self) -> set[int]:
        """Parts that hang together over loads, off the rails, between two different rails."""
        groups: Unions[int] = Unions()
        off_rails: list[tuple[Part, int]] = []
        for load in self.loads:
            for part in load.parts:
                islands = self._islands(part)
                for island in islands:
                    groups.join(islands[0], island)
                if islands:
                    off_rails.append((part, islands[0]))
        members: dict[int, list[Part]] = {}
        for part, island in off_rails:
            members.setdefault(groups.find(island), []).append(part)
        return {
            part.index
            for parts in members.values()
            if len(parts) > 1 and len(self._rails_near(parts)) > 1
            for part in parts
        }

    def _islands(self, part: Part) -> list[int]:
        places = (self.states.node(part.a), self.states.node(part.b))
        return [
            self.states.circuit.island(place) for place in places if place not in self.states.rails
        ]

    def _rails_near(self, parts: list[Part]) -> set[int]:
        circuit, node = self.states.circuit, self.states.node
        return {
            rail
            for part in parts
            for end in (part.a, part.b)
            for rail in circuit.rails_at(node(end))
        }
