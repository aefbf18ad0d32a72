"""A panel as something that moves: which parts conduct when, and what each coil then does.

Conduction is worked out over nodes, cut at the nodes where a source has a pole
(*rails*).  Voltages between rails follow from the sources; a load is energised, until
it is solved in numbers, when a load-free path leads from each of its ends to rails
whose difference lies in its band, over circuit conductors only.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from netcheck.model import panel as say
from netcheck.model.devices import Conducts, Drive, Load, Mechanism, Part
from netcheck.model.panel import Panel
from netcheck.network.conduction import Conduction, Edge
from netcheck.network.nodes import Nodes
from netcheck.network.unions import Unions
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.machine import Machine, Mover, Switch
from netcheck.states.proof import Prover
from netcheck.states.truth_table import Tables

Volts = tuple[tuple[str, complex], ...]
"""A difference of potential: for each basis that contributes, its volts, sorted by basis."""

MOST_TABLE_VARIABLES = 12
"""Up to so many, whether a condition can hold at all is looked up rather than proved."""
LONGEST_WAY = 6
MOST_WAYS = 200
"""Bounds on ways through sources between two rails; past them a question is not decided."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way from one rail to another through sources and closed contacts.

    `volts` is the potential of its end against its start; `condition` when it stands;
    `sources` are passed in order, `joins` the pairs of rails met through contacts.
    """

    volts: Volts
    condition: int
    sources: tuple[int, ...]
    joins: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Feed:
    """One way a load is fed: the rails at its ends, volts (a against b), on what condition."""

    rail_a: int
    rail_b: int
    volts: Volts
    condition: int


class Behaviour:
    """The machine of one panel, and the conditions of its loads.  All literals are of `logic`."""

    def __init__(self, panel: Panel, nodes: Nodes, *, certain: bool = False) -> None:
        """With `certain`, a coil that may or may not pull in is taken to stay out: what
        happens even so needs no coil's luck."""
        self.panel = panel
        self.nodes = nodes
        self.certain = certain
        self.uncertain_coils: list[str] = []
        """Mechanisms whose coil has, in some state, some voltage but not surely enough."""
        self.machine = Machine()
        self.logic: Logic = self.machine.logic
        self.circular: list[str] = []
        """Sources whose being live leads back to themselves."""
        self.too_many_ways = False
        self._switches: dict[str, Switch] = {}
        self._movers: dict[str, Mover] = {}
        self._live: dict[int, int] = {}
        self._feeds: dict[tuple[int, bool], tuple[Feed, ...]] = {}
        self._ways: dict[tuple[int, int, bool], tuple[Way, ...]] = {}
        self._interlocked = {name for group in panel.interlocks for name in group}
        self._declare()
        self._area_of, self._areas = self._merge()
        self.rails = frozenset(
            self.node(f"{source.device}:{pole}")
            for source in panel.sources
            for pole in source.poles
        )
        self.circuit = self._conduction(bonds=False)
        self._attach()
        self._assume()

    # ---- mechanisms ----------------------------------------------------------------------

    def _declare(self) -> None:
        for mechanism in self.panel.mechanisms.values():
            if mechanism.moved_by_coil:
                start = None if mechanism.drive is Drive.LATCH else False
                timed = mechanism.drive in (Drive.ON_DELAY, Drive.OFF_DELAY)
                self._movers[mechanism.name] = self.machine.mover(
                    mechanism.name, start=start, timed=timed
                )
            elif mechanism.drive is not Drive.PROTECTION or mechanism.name in self._interlocked:
                self._switches[mechanism.name] = self.machine.switch(
                    mechanism.name,
                    mechanism.positions,
                    resting=mechanism.resting,
                    start=mechanism.start,
                )

    def in_positions(self, name: str, positions: frozenset[int]) -> int:
        """The literal that is true while a mechanism is in one of these positions."""
        if name in self._movers:
            state = self._movers[name].state
            return self.logic.any_of([state ^ (position == 0) for position in positions])
        if name in self._switches:
            return self.machine.in_positions(self._switches[name], positions)
        # A breaker, fuse or disconnect that nothing interlocks is closed.
        return TRUE if 1 in positions else FALSE

    def closed(self, part: Part) -> int:
        """When a part counts as wire, whichever way it conducts."""
        if part.conducts in (Conducts.JOINS, Conducts.CONTACT):
            return self.in_positions(part.mechanism, part.closed) if part.mechanism else TRUE
        if part.conducts in (Conducts.ONE_WAY, Conducts.BOND):
            return TRUE
        return FALSE

    # ---- conduction ----------------------------------------------------------------------

    def _merge(self) -> tuple[list[int], int]:
        """Nodes joined by what is always closed (fuses, breakers, bridges) count as one here.

        Far fewer conditions are left to work out, and what a fused wire feeds is as much
        on the rail as the wire ahead of the fuse.
        """
        joined: Unions[int] = Unions()
        for node in range(len(self.nodes)):
            joined.find(node)
        for part in self.panel.parts:
            if part.conducts is Conducts.JOINS and self.closed(part) == TRUE:
                joined.join(self.nodes.of[part.a], self.nodes.of[part.b])
        groups = joined.groups()
        area_of = [0] * len(self.nodes)
        for number, group in enumerate(groups):
            for node in group:
                area_of[node] = number
        return area_of, len(groups)

    def node(self, terminal: str) -> int:
        """Where a terminal stands: equal for terminals that are always joined."""
        return self._area_of[self.nodes.of[terminal]]

    @cached_property
    def whole(self) -> Conduction:
        """Conduction over everything that counts as wire, bonds and grounding included."""
        return self._conduction(bonds=True)

    def _conduction(self, *, bonds: bool) -> Conduction:
        edges = []
        for part in self.panel.parts:
            if part.conducts in (Conducts.LOAD, Conducts.NOTHING):
                continue
            if part.conducts is Conducts.BOND and not bonds:
                continue
            a, b = self.node(part.a), self.node(part.b)
            if a == b:
                continue
            closed = self.closed(part)
            back = FALSE if self.one_way(part) else closed
            edges.append(Edge(a, b, closed, back, part.index))
        return Conduction(self._areas, edges, self.rails, self.logic)

    def one_way(self, part: Part) -> bool:
        one_way = part.conducts is Conducts.ONE_WAY or part.role == "transistor"
        return one_way and self._fed_by_dc(part)

    def _fed_by_dc(self, part: Part) -> bool:
        """Whether a one-way part lies where DC comes: on AC it conducts either way."""
        kinds = self._kinds_near
        found = kinds.get(self._area.find(self.node(part.a)), set()) | kinds.get(
            self._area.find(self.node(part.b)), set()
        )
        return "DC" in found or not found

    @cached_property
    def _area(self) -> Unions[int]:
        """Nodes joined by anything but sources, cut nowhere."""
        area: Unions[int] = Unions()
        for node in range(self._areas):
            area.find(node)
        for part in self.panel.parts:
            if part.conducts not in (Conducts.NOTHING, Conducts.BOND, Conducts.LOAD):
                area.join(self.node(part.a), self.node(part.b))
        return area

    @cached_property
    def _kinds_near(self) -> dict[int, set[str]]:
        kinds: dict[int, set[str]] = {}
        for source in self.panel.sources:
            for pole in source.poles:
                node = self.node(f"{source.device}:{pole}")
                kinds.setdefault(self._area.find(node), set()).add(source.kind)
        return kinds

    # ---- sources -------------------------------------------------------------------------

    def live(self, index: int) -> int:
        """When a source gives its voltage: present, or its input energised and running."""
        if index in self._live:
            return self._live[index]
        source = self.panel.sources[index]
        if source.mechanism:
            self._live[index] = self.in_positions(source.mechanism, frozenset((1,)))
            return self._live[index]
        # While it is worked out, whatever leads back to it finds it free.
        self._live[index] = self.logic.variable(f"{source.device} live")
        free = self._live[index]
        inputs = [self.energised(self.panel.parts[part]) for part in source.inputs]
        if source.run:
            inputs.append(self.in_positions(source.run, frozenset((1,))))
        live = self.logic.all_of(inputs)
        if free in self.logic.support(live):
            self.circular.append(source.device)
        self._live[index] = live
        return live

    def pole_node(self, index: int, pole: str) -> int:
        return self.node(f"{self.panel.sources[index].device}:{pole}")

    @cached_property
    def source_steps(self) -> dict[int, list[tuple[int, Volts, int]]]:
        """From each rail, the rails one source away: their node, their volts, the source."""
        steps: dict[int, list[tuple[int, Volts, int]]] = {}
        for index, source in enumerate(self.panel.sources):
            poles = list(source.poles.items())
            for mark, potential in poles:
                for other, there in poles:
                    if mark != other:
                        start, end = self.pole_node(index, mark), self.pole_node(index, other)
                        volts = _volts(source.basis, there - potential)
                        steps.setdefault(start, []).append((end, volts, index))
        return steps

    def ways(self, start: int, end: int, *, bonds: bool = False) -> tuple[Way, ...]:
        """All ways from rail to rail through sources and closed contacts, no rail twice."""
        key = (start, end, bonds)
        if key not in self._ways:
            found: list[Way] = []
            for way in self._walk(start, end, bonds):
                found.append(way)
                if len(found) >= MOST_WAYS:
                    self.too_many_ways = True
                    break
            self._ways[key] = tuple(found)
        return self._ways[key]

    def _walk(self, start: int, end: int, bonds: bool) -> Iterator[Way]:
        joins = self._joins(bonds)
        stack: list[tuple[int, tuple[int, ...], Way]] = [(start, (start,), Way((), TRUE, (), ()))]
        while stack:
            at, visited, way = stack.pop()
            if at == end:
                yield way
                continue
            if len(visited) > LONGEST_WAY:
                self.too_many_ways = True
                continue
            for step in self._steps_from(at, visited, way, joins, bonds):
                stack.append(step)

    def _steps_from(
        self,
        at: int,
        visited: tuple[int, ...],
        way: Way,
        joins: dict[int, list[int]],
        bonds: bool,
    ) -> Iterator[tuple[int, tuple[int, ...], Way]]:
        for node, volts, source in self.source_steps.get(at, ()):
            if node in visited or source in way.sources:
                continue
            condition = self.logic.both(way.condition, self.live(source))
            if condition != FALSE:
                passed = Way(
                    add_volts(way.volts, volts), condition, (*way.sources, source), way.joins
                )
                yield node, (*visited, node), passed
        conduction = self.whole if bonds else self.circuit
        for node in joins.get(at, ()):
            if node in visited:
                continue
            condition = self.logic.both(way.condition, conduction.rail_join(at, node))
            if condition != FALSE:
                passed = Way(way.volts, condition, way.sources, (*way.joins, (at, node)))
                yield node, (*visited, node), passed

    def _joins(self, bonds: bool) -> dict[int, list[int]]:
        conduction = self.whole if bonds else self.circuit
        joins: dict[int, list[int]] = {}
        for a, b in conduction.rail_pairs():
            if conduction.rail_join(a, b) != FALSE:
                joins.setdefault(a, []).append(b)
            if conduction.rail_join(b, a) != FALSE:
                joins.setdefault(b, []).append(a)
        return joins

    # ---- loads ---------------------------------------------------------------------------

    def feeds(self, part: Part) -> tuple[Feed, ...]:
        """Every way the load can be fed without another load in the path, at any voltage."""
        key = (part.index, False)
        if key not in self._feeds:
            self._feeds[key] = tuple(self._find_feeds(part))
        return self._feeds[key]

    def _find_feeds(self, part: Part) -> Iterator[Feed]:
        a, b = self.node(part.a), self.node(part.b)
        if a == b:
            return
        for p in self.circuit.rails_at(a):
            for q in self.circuit.rails_at(b):
                if p == q:
                    continue
                for way in self.ways(q, p):
                    condition = self._fed(a, b, p, q, way)
                    if condition != FALSE and is_live(way.volts):
                        yield Feed(p, q, way.volts, condition)

    def _fed(self, a: int, b: int, p: int, q: int, way: Way) -> int:
        """Current leaves the higher rail, goes through the load, and comes home at the lower."""
        circuit, both = self.circuit, self.logic.both
        if dc_volts(way.volts) < 0:
            path = both(circuit.to_rail(a, p), circuit.from_rail(b, q))
        else:
            path = both(circuit.from_rail(a, p), circuit.to_rail(b, q))
        return both(path, way.condition)

    def energised(self, part: Part) -> int:
        """When a load has its working voltage and its current a way home to the same source."""
        assert part.load is not None
        return self.logic.any_of(
            [feed.condition for feed in self.feeds(part) if in_band(feed.volts, part.load)]
        )

    def fed_wrongly(self, part: Part) -> int:
        """When a load is fed, but at volts or a kind outside what it is made for."""
        assert part.load is not None
        return self.logic.any_of(
            [feed.condition for feed in self.feeds(part) if not in_band(feed.volts, part.load)]
        )

    def on(self, device: str) -> int:
        """When any load of a device is energised."""
        parts = [self.panel.parts[index] for index in self.panel.devices[device].parts]
        return self.logic.any_of([self.energised(part) for part in parts if part.load is not None])

    # ---- relays follow their coils ---------------------------------------------------------

    def _attach(self) -> None:
        for mechanism in self.panel.mechanisms.values():
            if mechanism.moved_by_coil:
                self._attach_one(mechanism, self._movers[mechanism.name])

    def _attach_one(self, mechanism: Mechanism, mover: Mover) -> None:
        coils = [self.panel.parts[index] for index in mechanism.coils]
        coil = self.energised(coils[0])
        uncertain = self.logic.both(self._maybe(coils[0]), coil ^ 1)
        if uncertain != FALSE:
            self.uncertain_coils.append(mechanism.name)
        if self.certain:
            uncertain = FALSE
        if mechanism.drive is Drive.LATCH:
            self.machine.attach_latching(mover, coil, self.energised(coils[1]))
        elif mechanism.drive is Drive.COIL:
            self.machine.attach_relay(mover, coil, uncertain)
        elif mechanism.drive is Drive.ON_DELAY:
            self.machine.attach_on_delay(mover, coil)
        else:
            self.machine.attach_off_delay(mover, coil)

    def _maybe(self, coil: Part) -> int:
        """When a coil has some voltage, but not surely enough, or through another load."""
        return self.logic.either(self.fed_wrongly(coil), self._through_loads(coil))

    def _through_loads(self, coil: Part) -> int:
        """When a path leads through another load to a rail at another potential."""
        if self._surely_no_path_through_loads(coil):
            return FALSE
        conduction = self._with_loads(coil)
        a, b = self.node(coil.a), self.node(coil.b)
        found = []
        for p in conduction.rails_at(a):
            for q in conduction.rails_at(b):
                if p != q and any(is_live(way.volts) for way in self.ways(q, p)):
                    found.append(
                        self.logic.both(conduction.from_rail(a, p), conduction.to_rail(b, q))
                    )
        return self._simplest(self.logic.both(self.logic.any_of(found), self.energised(coil) ^ 1))

    def _simplest(self, literal: int) -> int:
        """FALSE where a truth table shows that a condition never holds."""
        variables = sorted(self.logic.support(literal))
        if literal == FALSE or len(variables) > MOST_TABLE_VARIABLES:
            return literal
        return literal if Tables(self.logic, variables).of(literal) else FALSE

    def _surely_no_path_through_loads(self, coil: Part) -> bool:
        """One end stands on a rail, and every load near leads to that same rail."""
        a, b = self.node(coil.a), self.node(coil.b)
        home = {a, b} & self.rails
        if len(home) != 1:
            return False
        end = next(iter(home))
        other = b if end == a else a
        return self._loads_lead_to.get(self._load_area.find(other)) == {end}

    @cached_property
    def _load_area(self) -> Unions[int]:
        """Nodes joined by contacts, wires and loads, cut at the rails."""
        area: Unions[int] = Unions()
        for part in self.panel.parts:
            if part.conducts in (Conducts.NOTHING, Conducts.BOND):
                continue
            a, b = self.node(part.a), self.node(part.b)
            if a not in self.rails and b not in self.rails:
                area.join(a, b)
            area.find(a)
            area.find(b)
        return area

    @cached_property
    def _loads_lead_to(self) -> dict[int, set[int]]:
        """For each such area, the rails that its loads lead to; -1 where a load lies inside it."""
        lead: dict[int, set[int]] = {}
        for part in self.panel.parts:
            if part.load is None:
                continue
            a, b = self.node(part.a), self.node(part.b)
            rails = {a, b} & self.rails
            for node in {a, b} - self.rails:
                area = self._load_area.find(node)
                lead.setdefault(area, set()).update(rails or {-1})
        return lead

    def _with_loads(self, without: Part) -> Conduction:
        edges = []
        for part in self.panel.parts:
            if part.index == without.index or part.conducts in (Conducts.NOTHING, Conducts.BOND):
                continue
            closed = TRUE if part.load is not None else self.closed(part)
            back = FALSE if self.one_way(part) else closed
            edges.append(Edge(self.node(part.a), self.node(part.b), closed, back, part.index))
        return Conduction(self._areas, edges, self.rails, self.logic)

    # ---- assumptions -----------------------------------------------------------------------

    def _assume(self) -> None:
        for group in self.panel.interlocks:
            self._exclude(group)
        for assumption in self.panel.assumptions:
            claim = assumption.claim
            if isinstance(claim, say.Order):
                self._order(claim)
            else:
                self.machine.assume(self.claim(claim))

    def _exclude(self, group: Sequence[str]) -> None:
        for place, first in enumerate(group):
            for second in group[place + 1 :]:
                one, other = (self.in_positions(name, frozenset((1,))) for name in (first, second))
                self.machine.assume(self.logic.both(one, other) ^ 1)

    def _order(self, order: say.Order) -> None:
        """The second is not out while the first, started, still runs."""
        first, second = self._movers.get(order.first), self._movers.get(order.second)
        if first is None or second is None:
            return
        coil = self.panel.parts[self.panel.mechanisms[order.first].coils[0]]
        running = self.logic.both(self.energised(coil), first.state ^ 1)
        self.machine.assume(self.logic.both(running, second.state) ^ 1)

    def claim(self, claim: say.Claim) -> int:
        """The literal that a claim says is always true."""
        condition = self.condition(claim.condition)
        if claim.form == "never":
            return condition ^ 1
        if claim.form == "whenever" and claim.given is not None:
            return self.logic.either(self.condition(claim.given) ^ 1, condition)
        return condition

    def condition(self, condition: say.Condition) -> int:
        if isinstance(condition, say.Is):
            if condition.load:
                return self.on(condition.load)
            return self.in_positions(condition.mechanism, condition.positions)
        if isinstance(condition, say.Not):
            return self.condition(condition.inner) ^ 1
        parts = [self.condition(part) for part in condition.parts]
        join = self.logic.all_of if isinstance(condition, say.All) else self.logic.any_of
        return join(parts)

    # ---- questions -------------------------------------------------------------------------

    @cached_property
    def prover(self) -> Prover:
        return Prover(self.machine)


def _volts(basis: str, volts: complex) -> Volts:
    volts = complex(round(volts.real, 3), round(volts.imag, 3))
    return ((basis, volts),) if volts else ()


def add_volts(first: Volts, second: Volts) -> Volts:
    """The sum, basis by basis; what is zero drops out."""
    total = dict(first)
    for basis, volts in second:
        total[basis] = total.get(basis, 0j) + volts
    return tuple(
        sorted((basis, volts) for basis, volts in total.items() if abs(volts) > 1e-2)
    )  # fmt: skip


def is_live(volts: Volts) -> bool:
    return bool(volts)


def dc_volts(volts: Volts) -> float:
    """The DC part, with its sign."""
    return sum(value.real for basis, value in volts if basis == "DC")


def magnitude(volts: Volts) -> float:
    """Volts as a meter reads them; sources that are not synchronised may add up."""
    return sum(abs(value) for _, value in volts)


def kind_of(volts: Volts) -> str:
    kinds = {"DC" if basis == "DC" else "AC" for basis, _ in volts}
    return "AC and DC" if len(kinds) > 1 else next(iter(kinds), "")


def in_band(volts: Volts, load: Load) -> bool:
    """Whether a load is made for these volts: their kind, their amount, their polarity."""
    if not volts:
        return False
    if load.volts is None:
        return True
    kind = kind_of(volts)
    if load.kind and kind != load.kind:
        return False
    if load.polarised and kind == "DC" and dc_volts(volts) < 0:
        return False
    amount = magnitude(volts)
    return load.volts * load.low - 1e-6 <= amount <= load.volts * load.high + 1e-6
