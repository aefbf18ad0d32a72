"""A panel as something that moves: which parts conduct when, and what each coil then does.

Conduction is worked out over nodes, cut at the nodes where a source has a pole
(*rails*).  Voltages between rails follow from the sources; a load is energised, until
it is solved in numbers, when a load-free path leads from each of its ends to rails
whose difference lies in its band, over circuit conductors only.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from netcheck.model import panel as say
from netcheck.model.devices import Conducts, Device, Drive, Mechanism, Part
from netcheck.model.panel import Panel
from netcheck.network.conduction import Conduction
from netcheck.network.nodes import Nodes
from netcheck.record import record
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.grid import Grid
from netcheck.states.machine import Machine, Mover, Switch
from netcheck.states.proof import Prover
from netcheck.states.through_loads import ThroughLoads
from netcheck.states.truth_table import Tables
from netcheck.states.volts import (
    Volts,
    add_volts,
    dc_volts,
    in_band,
    is_live,
    kind_of,
    magnitude,
)
from netcheck.states.ways import Way, Ways, held_apart

if TYPE_CHECKING:
    from netcheck.states.luck import Luck
    from netcheck.states.playing import Playing

MOST_TABLE_VARIABLES = 12
"""Up to so many, whether a condition can hold at all is looked up rather than proved."""


@record
class Feed:
    """One way a load is fed: the rails at its ends, volts (a against b), on what condition."""

    rail_a: int
    rail_b: int
    volts: Volts
    condition: int


CoilVerdicts = Callable[["Behaviour", Part, int], tuple[int, int]]
"""Of a coil, and the literal that is true while it gets some voltage but not surely enough:
when it must pull in nevertheless, and when it cannot."""


class Behaviour:
    """The machine of one panel, and the conditions of its loads.  All literals are of `logic`."""

    def __init__(
        self,
        panel: Panel,
        nodes: Nodes,
        *,
        certain: bool = False,
        verdicts: CoilVerdicts | None = None,
    ) -> None:
        """`verdicts` are asked of coils that may or may not pull in.  With `certain`, one of
        which it stays open is taken to stay out: what happens even so needs no coil's luck."""
        self.panel = panel
        self.nodes = nodes
        self.certain = certain
        self.verdicts = verdicts
        self.uncertain_coils: list[str] = []
        """Mechanisms whose coil has, in some state, some voltage but not surely enough."""
        self.machine = Machine()
        self.logic: Logic = self.machine.logic
        self.doubt: dict[str, int] = {}
        """Of each of these, when: what it does then is not known."""
        self.circular: list[str] = []
        """Sources that lead back to themselves; found dead where nothing else feeds them."""
        self.too_many_ways = False
        """Whether there are more ways between two rails than are followed."""
        self._switches: dict[str, Switch] = {}
        self._movers: dict[str, Mover] = {}
        self._held: dict[str, int] = {}
        self._live: dict[int, int] = {}
        self._free: dict[int, int] = {}
        self._feeds: dict[int, tuple[Feed, ...]] = {}
        self._energised: dict[int, int] = {}
        self._uncertain: dict[int, int] = {}
        self._stands: dict[int, bool] = {}
        self._interlocked = {name for group in panel.interlocks for name in group}
        self._declare()
        self.grid = Grid(panel, nodes, self.closed, self.logic)
        self.rails = self.grid.rails
        self.circuit = self.grid.circuit
        self._ways: dict[bool, Ways] = {}
        """Without bonds, and with them."""
        self._through_loads = ThroughLoads(self.grid, self.live)
        self._attach()
        self._assume()

    # ---- mechanisms ----------------------------------------------------------------------

    def _declare(self) -> None:
        for mechanism in self.panel.mechanisms.values():
            if mechanism.held is not None:
                self._held[mechanism.name] = mechanism.held
            elif mechanism.moved_by_coil:
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
        if name in self._held:
            return TRUE if self._held[name] in positions else FALSE
        # A breaker, fuse or disconnect that nothing interlocks is closed.
        return TRUE if 1 in positions else FALSE

    def stands(self, values: Mapping[int, bool]) -> dict[str, int]:
        """The number of the position that each mechanism is in, for these values of variables."""
        stands = self._kept.copy()
        stands |= {name: int(values[mover.state]) for name, mover in self._movers.items()}
        stands |= {name: self.position(name, values) for name in self._switches}
        return stands

    @cached_property
    def _kept(self) -> dict[str, int]:
        """Where what does not move is, of all mechanisms in their order."""
        return {name: self._held.get(name, 1) for name in self.panel.mechanisms}

    def position(self, name: str, values: Mapping[int, bool]) -> int:
        """The number of the position that a mechanism is in, for these values of variables."""
        if name in self._movers:
            return int(values[self._movers[name].state])
        if name in self._switches:
            bits = enumerate(self._switches[name].bits)
            return sum(int(values[bit]) << place for place, bit in bits)
        # A breaker, fuse or disconnect that nothing interlocks is closed.
        return self._held.get(name, 1)

    def closed(self, part: Part) -> int:
        """When a part counts as wire, whichever way it conducts."""
        if part.conducts in (Conducts.JOINS, Conducts.CONTACT):
            return self.in_positions(part.mechanism, part.closed) if part.mechanism else TRUE
        if part.conducts in (Conducts.ONE_WAY, Conducts.BOND):
            return TRUE
        return FALSE

    # ---- conduction ----------------------------------------------------------------------

    def node(self, terminal: str) -> int:
        """Where a terminal stands: equal for terminals that are always joined."""
        return self.grid.place(terminal)

    def pole_node(self, index: int, pole: str) -> int:
        return self.grid.pole(index, pole)

    def one_way(self, part: Part) -> bool:
        """Whether a part conducts from its `a` to its `b` only."""
        return self.grid.one_way(part)

    @property
    def whole(self) -> Conduction:
        """Conduction over everything that counts as wire, bonds and grounding included."""
        return self.grid.whole

    # ---- sources -------------------------------------------------------------------------

    def live(self, index: int) -> int:
        """When a source gives its voltage: present, or its input energised and running.

        Sources that only feed one another are dead: nothing starts them.
        """
        if index in self._live:
            return self._live[index]
        source = self.panel.sources[index]
        if source.mechanism:
            self._live[index] = self.in_positions(source.mechanism, frozenset((1,)))
            return self._live[index]
        if index in self._free:
            self.circular.append(source.device)
            return self._free[index]
        # While it is worked out, whatever leads back to it finds it free.
        free = self._free[index] = self.logic.variable(f"{source.device} live")
        inputs = [self.energised(self.panel.parts[part]) for part in source.inputs]
        if source.run:
            inputs.append(self.in_positions(source.run, frozenset((1,))))
        live = self.logic.all_of(inputs)
        self._live[index] = self.logic.substitute(live, {free: FALSE})
        if source.device in self.circular:
            self._settle(free, self._live[index])
        return self._live[index]

    def _settle(self, free: int, live: int) -> None:
        """Put in, wherever it was met while free, when a source is live."""
        for index, known in self._live.items():
            self._live[index] = self.logic.substitute(known, {free: live})
        self._feeds.clear()
        self._energised.clear()
        self._uncertain.clear()
        for ways in self._ways.values():
            ways.forget()
        self._through_loads.forget()

    def ways(self, start: int, end: int, *, bonds: bool = False) -> tuple[Way, ...]:
        """All ways from rail to rail through sources and closed contacts, no rail twice."""
        if bonds not in self._ways:
            conduction = self.whole if bonds else self.circuit
            self._ways[bonds] = Ways(self.grid, conduction, self.live)
        ways = self._ways[bonds]
        found = ways.between(start, end)
        self.too_many_ways = self.too_many_ways or ways.too_many
        return found

    def ways_that_stand(self, start: int, end: int, *, bonds: bool = False) -> tuple[Way, ...]:
        """Those of the ways that no mechanical interlock forbids, nor that one thing would have to
        be in two positions at once, as far as a table shows it."""
        found = self.ways(start, end, bonds=bonds)
        return tuple(way for way in found if self._may_stand(way.condition))

    def _may_stand(self, condition: int) -> bool:
        """False where it asks for two at once that nothing is in together."""
        if condition not in self._stands:
            support = self.logic.support(condition)
            apart = [
                literal
                for group in self.panel.interlocks
                for literal in self._kept_apart(group)
                if self.logic.support(literal) <= support
            ]
            both = self.logic.all_of([condition, *apart])
            self._stands[condition] = self._simplest(both) != FALSE
        return self._stands[condition]

    # ---- loads ---------------------------------------------------------------------------

    def feeds(self, part: Part) -> tuple[Feed, ...]:
        """Every way the load can be fed without another load in the path, at any voltage."""
        if part.index not in self._feeds:
            self._feeds[part.index] = tuple(self._find_feeds(part))
        return self._feeds[part.index]

    def _find_feeds(self, part: Part) -> Iterator[Feed]:
        """Current leaves the higher rail, passes the load, and comes home at the lower."""
        circuit, both = self.circuit, self.logic.both
        a, b = self.node(part.a), self.node(part.b)
        if a == b:
            return
        for p in circuit.rails_at(a):
            for q in circuit.rails_at(b):
                for held in held_apart(self.ways, p, q) if p != q else ():
                    if held.p_is_higher:
                        path = both(circuit.from_rail(a, p), circuit.to_rail(b, q))
                    else:
                        path = both(circuit.to_rail(a, p), circuit.from_rail(b, q))
                    condition = both(path, held.condition)
                    if condition != FALSE:
                        yield Feed(p, q, held.volts, condition)

    def energised(self, part: Part) -> int:
        """When a load has its working voltage and its current a way home to the same source."""
        assert part.load is not None
        if part.index not in self._energised:
            ways = [one.condition for one in self.feeds(part) if in_band(one.volts, part.load)]
            if part.role == "winding" and turns_in_star(self.panel.devices[part.device]):
                ways.append(self._in_star(part))
            self._energised[part.index] = self.logic.any_way(ways)
        return self._energised[part.index]

    def _in_star(self, winding: Part) -> int:
        """When a motor's winding stands in series with others of the motor, and turns it so."""
        own = self.panel.devices[winding.device].parts
        others = (self.panel.parts[index] for index in own if index != winding.index)
        windings = frozenset(part.index for part in others if part.role == winding.role)
        return self._through_loads.in_star(winding, windings)

    def fed_wrongly(self, part: Part) -> int:
        """When a load is fed, but at volts or a kind outside what it is made for."""
        assert part.load is not None
        return self.logic.any_way(
            [feed.condition for feed in self.feeds(part) if not in_band(feed.volts, part.load)]
        )

    def on(self, device: str) -> int:
        """When any load of a device is energised."""
        parts = [self.panel.parts[index] for index in self.panel.devices[device].parts]
        return self.logic.any_of([self.energised(part) for part in parts if part.load is not None])

    def fully_on(self, device: str) -> int:
        """When all windings of a three-phase load of a device are energised, or another load."""
        parts = [self.panel.parts[index] for index in self.panel.devices[device].parts]
        loads = [part for part in parts if part.load is not None]
        windings = [part for part in loads if part.load is not None and part.load.phases == 3]
        others = [self.energised(part) for part in loads if part not in windings]
        if windings:
            others.append(self.logic.all_of([self.energised(part) for part in windings]))
        return self.logic.any_of(others)

    # ---- relays follow their coils ---------------------------------------------------------

    def _attach(self) -> None:
        for mechanism in self.panel.mechanisms.values():
            if mechanism.name in self._movers:
                self._attach_one(mechanism, self._movers[mechanism.name])

    def _attach_one(self, mechanism: Mechanism, mover: Mover) -> None:
        coils = [self.panel.parts[index] for index in mechanism.coils]
        on = [self.energised(coil) for coil in coils]
        uncertain = [self.uncertain(coil) for coil in coils]
        held = FALSE
        if self.panel.devices[mechanism.device].values.get("coil_economised"):
            held = uncertain[0]
            uncertain[0] = self._simplest(self.logic.both(held, mover.state ^ 1))
        elif self.verdicts is not None:
            for place, coil in enumerate(coils):
                if uncertain[place] != FALSE:
                    surely_in, uncertain[place] = self._narrowed(coil, uncertain[place])
                    on[place] = self.logic.either(on[place], surely_in)
        if any(maybe != FALSE for maybe in uncertain):
            self.uncertain_coils.append(mechanism.name)
            self.doubt[mechanism.name] = self.logic.any_of(uncertain)
        if self.certain:
            uncertain = [FALSE for _ in coils]
        if mechanism.drive is Drive.LATCH:
            self.machine.attach_latching(mover, on[0], on[1], uncertain[0], uncertain[1])
        elif mechanism.drive is Drive.COIL:
            # A monitor of three lines wants all of its inputs.
            doubt = uncertain[0] if len(coils) == 1 else self.logic.any_of(uncertain)
            self.machine.attach_relay(mover, self.logic.all_of(on), doubt, held)
        elif mechanism.drive is Drive.ON_DELAY:
            self.machine.attach_on_delay(mover, on[0], uncertain[0])
        else:
            self.machine.attach_off_delay(mover, on[0], uncertain[0])

    def _narrowed(self, coil: Part, uncertain: int) -> tuple[int, int]:
        """While it must pull in after all, and while it still may do either."""
        assert self.verdicts is not None
        surely_in, surely_out = self.verdicts(self, coil, uncertain)
        told = self.logic.either(surely_in, surely_out)
        left = self._simplest(self.logic.both(uncertain, told ^ 1))
        return self.logic.both(uncertain, surely_in), left

    def uncertain(self, coil: Part) -> int:
        """When a coil or other load has some voltage, but not surely enough, or through another."""
        if coil.index not in self._uncertain:
            maybe = self.logic.either(self.fed_wrongly(coil), self._feeds_through_loads(coil))
            literal = self._simplest(self.logic.both(maybe, self.energised(coil) ^ 1))
            self._uncertain[coil.index] = literal
        return self._uncertain[coil.index]

    def _feeds_through_loads(self, coil: Part) -> int:
        return self._through_loads.feeds(coil)

    def _simplest(self, literal: int) -> int:
        """FALSE where a truth table shows that a condition never holds."""
        variables = sorted(self.logic.support(literal))
        if literal == FALSE or len(variables) > MOST_TABLE_VARIABLES:
            return literal
        return literal if Tables(self.logic, variables).of(literal) else FALSE

    # ---- assumptions -----------------------------------------------------------------------

    def _assume(self) -> None:
        for group in self.panel.interlocks:
            self._exclude(group)
        for assumption in self.panel.assumptions:
            claim = assumption.claim
            if isinstance(claim, say.Order):
                self._order(claim)
            else:
                self._assume_so(self.claim(claim))

    def _assume_so(self, literal: int) -> None:
        self.machine.assume(literal)

    def _exclude(self, group: Sequence[str]) -> None:
        for literal in self._kept_apart(group):
            self.machine.assume(literal)

    def _kept_apart(self, group: Sequence[str]) -> Iterator[int]:
        """For each two of a mechanical interlock, that they are not both in."""
        for place, first in enumerate(group):
            for second in group[place + 1 :]:
                one, other = (self.in_positions(name, frozenset((1,))) for name in (first, second))
                yield self.logic.both(one, other) ^ 1

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
        if claim.form == "never":
            return self.condition(claim.condition) ^ 1
        condition = self.condition(claim.condition, demanded=True)
        if claim.given is not None:
            return self.logic.either(self.condition(claim.given) ^ 1, condition)
        return condition

    def condition(self, condition: say.Condition, *, demanded: bool = False) -> int:
        """When it holds.  What is demanded to be on must be on with all its windings; what is
        forbidden, or only spoken of, is on with one."""
        if isinstance(condition, say.Is):
            if condition.load:
                return self.fully_on(condition.load) if demanded else self.on(condition.load)
            return self.in_positions(condition.mechanism, condition.positions)
        if isinstance(condition, say.Not):
            return self.condition(condition.inner, demanded=not demanded) ^ 1
        parts = [self.condition(part, demanded=demanded) for part in condition.parts]
        join = self.logic.all_of if isinstance(condition, say.All) else self.logic.any_of
        return join(parts)

    # ---- questions -------------------------------------------------------------------------

    @cached_property
    def owners(self) -> Mapping[int, str]:
        """The name of what each variable is the state of."""
        return self.machine.owners()

    @cached_property
    def prover(self) -> Prover:
        return Prover(self.machine)

    @cached_property
    def luck(self) -> Luck:
        """Of the certain behaviour, in which coils in doubt stay out."""
        from netcheck.states.luck import Luck

        return Luck(self)

    @cached_property
    def playing(self) -> Playing:
        from netcheck.states.playing import Playing

        return Playing(self.machine)


def turns_in_star(device: Device) -> bool:
    """Whether it is a motor whose windings may turn it in series too: all six ends brought out."""
    return device.number("leads") == 6


__all__ = [
    "Behaviour",
    "Feed",
    "Volts",
    "Way",
    "add_volts",
    "dc_volts",
    "in_band",
    "is_live",
    "kind_of",
    "magnitude",
    "turns_in_star",
]
