"""Where relays stand once everything has settled, told without relays as far as can be.

A relay that nothing makes remember is a function of what moves it, and gives way to it.  So do
relays that all influence one another, where only one way of settling is left for each position
of the switches; and a relay that only follows another of its group.  What remains are terms:
relays that hold themselves in, or that block one another by turns; timers; latching relays.

Of a relay whose coil may or may not pull in, or that cannot come to rest, there are bounds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from functools import cached_property

from netcheck.model.devices import Drive
from netcheck.model.panel import Panel
from netcheck.states.cone import Slicer
from netcheck.states.diagrams import Diagrams, OutOfBudget
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.knots import knots
from netcheck.states.machine import Machine
from netcheck.states.terms import Form, Terms

MOST_STEPS = 40_000
"""Results worked out for one knot of relays."""
MOST_NODES = 60
"""A relay that is a larger function stays a term: a sentence with it in would be none."""
LARGEST_KNOT = 10
"""Relays that all influence one another, up to so many, are looked at together."""

Bounds = tuple[int, int]
"""Diagrams: surely where the first is true, nowhere that the second is not."""


class SettledRelays:
    """The relays of one machine.  All diagrams are of `terms.store`, relays by their variable."""

    def __init__(self, panel: Panel, machine: Machine, slicer: Slicer, terms: Terms) -> None:
        self._panel = panel
        self._machine = machine
        self._slicer = slicer
        self._terms = terms
        self._store: Diagrams = terms.store
        self.values: dict[int, int] = {}
        """What those without memory are in for."""
        self.undecided: dict[int, Bounds] = {}
        """Those of which only bounds are known."""
        self.remaining: dict[int, int] = {}
        """When those that stay terms want to be in; themselves may be among what it depends on."""
        self.restless: dict[int, int] = {}
        """Where those that may chatter cannot come to rest."""
        self.contradictory = False
        """Whether what is assumed of some switches and relays leaves nothing that can be."""
        self._steady: dict[int, int] = {}
        """Of `values` those that are in for no moment when they are not once all has settled: no
        relay that is late in letting go, or in pulling in, lets them in."""
        self._together: dict[int, int] = {}
        """Those of the knot in work that give way already."""
        self._tied: set[Form] = set()
        """Forms of knots of which every relay stays a term."""
        self._rests: dict[str, int] = {}
        self._assumptions: dict[str, list[int]] = {}
        for literal in machine.constraints:
            for variable in machine.logic.support(literal):
                literals = self._assumptions.setdefault(terms.owner(variable), [])
                if literal not in literals[-1:]:
                    literals.append(literal)
        for names in knots(self._needs()):
            terms.tidy(self.diagrams)
            self._store.allow(MOST_STEPS)
            with suppress(OutOfBudget):  # else they stay terms of which no more is known
                self._resolve([machine.movers[name].state for name in names])

    # ---- for conditions ----------------------------------------------------------------------

    def bounds(self, f: int, values: Mapping[int, int] | None = None) -> Bounds:
        """A diagram without relays that give way: the same twice where all is decided."""
        f = self._store.composed(f, self.values if values is None else values)
        open_ones = self._store.support(f) & self.undecided.keys()
        if not open_ones:
            return f, f
        can_be = TRUE
        for relay in open_ones:
            low, high = self.undecided[relay]
            between = self._store.choose(self._store.variable(relay), high, low ^ 1)
            can_be = self._store.both(can_be, between)
        return (
            self._store.for_all(self._store.either(can_be ^ 1, f), open_ones),
            self._store.both_exists(can_be, f, open_ones),
        )

    def care(self, f: int) -> int:
        """What can be, of what a diagram over switches and remaining relays depends on."""
        names = self._terms.names(f)
        cares = [self._terms.resting(names), self._assumed(names)]
        cares += [self._settled(name) for name in names if name in self._machine.movers]
        return self._store.all_of(cares)

    def rests(self, f: int) -> list[tuple[bool, int]] | None:
        """All that the care of `f`, and of what is made of it, is made of, beside where switches
        can rest; None where something is assumed.

        Of each mover either when it wants to be in (True), or where it does not want to move.
        """
        names = self._terms.names(f)
        if self._touching(names):
            return None
        movers = sorted(names & self._machine.movers.keys(), key=self._terms.place)
        return [self._wants_or_rests(name) for name in movers]

    def drawn_care(self, f: int) -> int:
        """The same for a diagram over all relays, of which only what blocks them is heeded."""
        care = self._terms.resting(self._terms.names(f))
        for _, assumed in self.touching(f):
            care = self._store.both(care, assumed)
        return care

    def touching(self, f: int) -> list[tuple[bool, int]]:
        """All that the drawn care of `f` is made of, beside where switches can rest."""
        literals = self._touching(self._terms.names(f))
        return [(False, self._terms.of(literal)) for literal in literals]

    def diagrams(self) -> Iterator[int]:
        """All that is known of relays."""
        for known in (self.values, self.remaining, self.restless, self._steady, self._rests):
            yield from known.values()
        for bounds in self.undecided.values():
            yield from bounds

    def is_held_apart(self, name: str) -> bool:
        """Whether something is assumed of a relay, so that it may not follow its coil."""
        return name in self._assumptions

    # ---- one knot after the other ------------------------------------------------------------

    @cached_property
    def _plain(self) -> frozenset[str]:
        """Relays that follow their coils at once; the others are terms from the start."""
        drives = self._panel.mechanisms
        return frozenset(n for n in self._machine.movers if drives[n].drive is Drive.COIL)

    def _needs(self) -> Mapping[str, list[str]]:
        """Which plain relays each plain one depends on."""
        logic, needs = self._machine.logic, {}
        owner = {mover.state: name for name, mover in self._machine.movers.items()}
        for name in self._machine.movers:
            if name in self._plain:
                moving = self._slicer.dynamics(name)
                support = logic.support(moving.may) | logic.support(moving.must)
                relays = sorted(support & owner.keys())
                needs[name] = [owner[state] for state in relays if owner[state] in self._plain]
        return needs

    def _resolve(self, knot: list[int]) -> None:
        self._together = {}
        wants = {relay: self._wants(relay) for relay in knot}
        alone = len(knot) == 1 and not self._depends(wants[knot[0]], knot)
        if any(low != high for low, high in wants.values()):
            self._bound(wants)
        elif alone:
            self._keep(knot[0], wants[knot[0]][0])
        else:
            self._tie_or_untie({relay: low for relay, (low, _) in wants.items()})

    def _wants(self, relay: int, values: Mapping[int, int] | None = None) -> Bounds:
        """When a relay surely and possibly is to be in, itself being as it is."""
        name = self._terms.owner(relay)
        motion = self._machine.motions[name]
        follows = motion.may_rise == motion.must_rise == motion.may_fall ^ 1 == motion.must_fall ^ 1
        if follows and not self.is_held_apart(name):
            return self.bounds(self._terms.of(motion.must_rise), values)
        moving = self._slicer.dynamics(name)
        state = self._store.variable(relay)
        must, may = self._terms.of(moving.must), self._terms.of(moving.may)
        low = self._store.choose(state, may ^ 1, must)
        high = self._store.choose(state, must ^ 1, may)
        return self.bounds(low, values)[0], self.bounds(high, values)[1]

    def _depends(self, bounds: Bounds, relays: Iterable[int]) -> bool:
        support = self._store.support(bounds[0]) | self._store.support(bounds[1])
        return not support.isdisjoint(relays)

    def _bound(self, wants: Mapping[int, Bounds]) -> None:
        """Whatever the others of the knot do, it lies between."""
        for relay, (low, high) in wants.items():
            self.undecided[relay] = (
                self._store.for_all(low, wants),
                self._store.exists(high, wants),
            )

    def _keep(self, relay: int, value: int) -> None:
        """It gives way to what moves it, unless that is too long."""
        if not self._is_short(value):
            self.remaining[relay] = value
            return
        self.values[relay] = value
        if self._is_steady(relay):
            self._steady[relay] = value

    def _is_steady(self, relay: int) -> bool:
        """Whether only switches, and relays that are steady and help it in, have a say in it."""
        motion = self._machine.motions[self._terms.owner(relay)]
        if not motion.may_rise == motion.must_rise == motion.may_fall ^ 1 == motion.must_fall ^ 1:
            return False
        relays = {mover.state for mover in self._machine.movers.values()}
        support = self._store.support(self._terms.of(motion.must_rise)) & relays
        return support <= self._helpers(relay).keys()

    def _helpers(self, relay: int) -> dict[int, int]:
        """Of the steady relays those that only help it in: others may let it in for a moment,
        before they themselves have moved."""
        store, f = (
            self._store,
            self._terms.of(self._machine.motions[self._terms.owner(relay)].must_rise),
        )
        return {
            helper: self._steady[helper]
            for helper in store.support(f) & self._steady.keys()
            if store.implies(store.given(f, {helper: False}), store.given(f, {helper: True}))
        }

    # ---- relays that influence one another -----------------------------------------------------

    def _tie_or_untie(self, wants: dict[int, int]) -> None:
        """Most knots are rungs that seal in, all of some few forms, of which every relay stays."""
        form = self._form(wants)
        if form in self._tied:
            self.remaining.update(wants)
            return
        before = dict(wants)
        self._untie(wants)
        if form is not None and all(self.remaining.get(k) == f for k, f in before.items()):
            self._tied.add(form)

    def _form(self, wants: Mapping[int, int]) -> Form | None:
        """All that untying hangs on; None where that is more than when the relays want to be in."""
        movers = [self._machine.movers[self._terms.owner(relay)] for relay in wants]
        if not all(self._is_as_drawn(mover.name) for mover in movers):
            return None
        names, form = self._terms.form(*wants.values())
        if self._touching(name for name in names if name in self._machine.switches):
            return None
        place = {name: at for at, name in enumerate(names)}
        return (*form, *((place.get(mover.name), mover.start) for mover in movers))

    def _is_as_drawn(self, name: str) -> bool:
        """Whether nothing of what moves a relay has given way to something else."""
        motion, moving = self._machine.motions[name], self._slicer.dynamics(name)
        support = self._machine.logic.support
        drawn = support(motion.must_rise) | support(moving.may) | support(moving.must)
        return drawn.isdisjoint(self.values) and drawn.isdisjoint(self.undecided)

    def _untie(self, wants: dict[int, int]) -> None:
        if len(wants) > LARGEST_KNOT:
            self.remaining.update(wants)
            return
        store, can_be, knot = self._store, self._can_be(wants), tuple(wants)
        ends = self._ends(wants)
        into, out = ends[knot[0]]
        stuck = store.both(can_be, store.either(into, out) ^ 1)
        if stuck != FALSE:
            self._bound({relay: (f, f) for relay, f in wants.items()})
            self.restless.update(dict.fromkeys(wants, stuck))
            return
        if any(store.all_of([*ends[relay], can_be]) != FALSE for relay in knot):
            # What remembers may be started by what is in for a moment only: what that is once
            # all has settled does not tell of it.
            bounds = {relay: self._wants(relay, self._helpers(relay)) for relay in knot}
            if any(low != high for low, high in bounds.values()):
                self._bound(bounds)
                return
            wants = {relay: low for relay, (low, _) in bounds.items()}
            can_be = self._can_be(wants)
        else:
            for relay in knot:
                # There is one way of settling, as far as this relay is concerned.
                value = store.simplified(ends[relay][0], can_be)
                if self._is_short(value):
                    self._give_way(relay, value, wants)
        for relay in sorted(wants, key=self._last_and_least):
            if self._follows(relay, wants):
                self._give_way(relay, wants[relay], wants)
        for relay in knot:
            if relay in wants and self._never_starts(relay, wants[relay], can_be):
                self._give_way(relay, FALSE, wants)
        self.remaining.update(wants)

    def _ends(self, wants: Mapping[int, int]) -> dict[int, tuple[int, int]]:
        """Of each relay, where the knot can come to rest with it in, and with it out."""
        store = self._store
        if len(wants) == 1:
            ((relay, f),) = wants.items()
            return {relay: (store.given(f, {relay: True}), store.given(f, {relay: False}) ^ 1)}
        settled = store.all_of(store.equal(store.variable(k), f) for k, f in wants.items())
        return {
            relay: (
                store.both_exists(settled, store.variable(relay), wants),
                store.both_exists(settled, store.variable(relay) ^ 1, wants),
            )
            for relay in wants
        }

    def _can_be(self, wants: Mapping[int, int]) -> int:
        """What can be of the switches that a knot depends on, in positions of passage too."""
        names = frozenset[str]().union(*map(self._terms.names, wants.values()))
        switches = [
            self._machine.switches[n] for n in sorted(names & self._machine.switches.keys())
        ]
        valid = [self._terms.of(self._machine.valid_code(switch)) for switch in switches]
        return self._store.all_of([*valid, self._assumed([switch.name for switch in switches])])

    def _give_way(self, relay: int, value: int, wants: dict[int, int]) -> None:
        """Put in its place, in what the others of its knot are told by, what moves it."""
        del wants[relay]
        put = {relay: value}
        for others in (wants, self._together):
            for other, f in others.items():
                others[other] = self._store.composed(f, put)
        self._together[relay] = value
        self.values.update(self._together)

    def _last_and_least(self, relay: int) -> tuple[bool, int]:
        """Relays before contactors, the later in the text before the earlier."""
        name = self._terms.owner(relay)
        kind = self._panel.devices[self._panel.mechanisms[name].device].kind
        return kind == "contactor", -relay

    def _follows(self, relay: int, wants: Mapping[int, int]) -> bool:
        """Whether others of the knot only help it in, and it does not hold itself."""
        f = wants[relay]
        helped = self._store.support(f) & wants.keys()
        if relay in helped or not helped or not self._is_short(f):
            return False
        given = self._store.given
        return all(
            self._store.implies(given(f, {other: False}), given(f, {other: True}))
            for other in helped
        )

    def _never_starts(self, relay: int, f: int, can_be: int) -> bool:
        """Whether nothing lets it in while it is out, as it is at power-up."""
        starts_out = self._machine.movers[self._terms.owner(relay)].start is False
        return (
            starts_out and self._store.both(self._store.given(f, {relay: False}), can_be) == FALSE
        )

    def _is_short(self, value: int) -> bool:
        return self._store.size(value) <= MOST_NODES

    # ---- what can be ---------------------------------------------------------------------------

    def _touching(self, names: Iterable[str]) -> list[int]:
        """What is assumed of any of these."""
        found = [literal for name in names for literal in self._assumptions.get(name, ())]
        return sorted(set(found))

    def _assumed(self, names: Iterable[str]) -> int:
        found = TRUE
        for literal in self._touching(names):
            low, high = self.bounds(self._terms.of(literal))
            if low == high:
                found = self._store.both(found, low)
        self.contradictory = self.contradictory or found == FALSE
        return found

    def _settled(self, name: str) -> int:
        """Where a mover does not want to move; TRUE where only bounds of that are known."""
        known = self._rests.get(name)
        if known is None:
            known = self._rests[name] = self._find_rest(name)
        return known

    def _wants_or_rests(self, name: str) -> tuple[bool, int]:
        wants = self._wanted(name)
        return (True, wants) if wants is not None else (False, self._settled(name))

    def _wanted(self, name: str) -> int | None:
        """When a relay that stays a term wants to be in."""
        return self.remaining.get(self._machine.movers[name].state) if name in self._plain else None

    def _find_rest(self, name: str) -> int:
        wants = self._wanted(name)
        if wants is not None:
            state = self._store.variable(self._machine.movers[name].state)
            return self._store.equal(state, wants)
        must = self._terms.of(self._slicer.dynamics(name).must)
        low, high = self.bounds(must ^ 1)
        return low if low == high else TRUE
