"""When each load is energised once everything has settled, and what makes each relay move.

Conditions are sums of products of terms, a term being a device in some of its positions.
They come in two depths: as drawn, over the contacts on the way; and in full, where a relay
without memory gives way to what moves it.  A relay that holds itself in, a timer and a
latching relay stay terms, each with its own account of what starts, keeps and stops it.

Only positions a switch rests in are told apart.  What cannot be is left out wherever that
makes a sentence shorter: a selector in two positions, what is assumed never to be, a relay
against its own circuit.

Where a coil may or may not pull in, or a relay chatters, there are two conditions: what is
sure and what is possible.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Literal

from netcheck.model.devices import Drive, Part
from netcheck.record import record
from netcheck.states.behaviour import Behaviour
from netcheck.states.cone import Slicer
from netcheck.states.diagrams import OutOfBudget
from netcheck.states.expressions import FALSE
from netcheck.states.settled_relays import SettledRelays
from netcheck.states.terms import ByForm, Product, Term, Terms

MOST_PRODUCTS = 24
"""More alternatives than this are no sentence."""
MOST_STEPS = 60_000
"""Results worked out for one condition."""


Parts = list[tuple[bool, int]]
"""Diagrams, of two kinds."""


@record
class Care:
    """What can be, of what a diagram depends on.

    `of` it, as a diagram.  `parts` of it are all that one is made of, beside where switches can
    rest: of two of one form it is of one form too.  None where that is not told.
    """

    of: Callable[[int], int]
    parts: Callable[[int], Parts | None] = lambda _: None


@record
class Sum:
    """One of the products holds.  None at all: never.  One empty product: always."""

    products: tuple[Product, ...]


@record
class TooLarge:
    """No sentence: so many things it depends on, in more ways than can be told."""

    things: int


Told = Sum | TooLarge
NEVER = Sum(())


@record
class Range:
    """A condition: surely where `sure` holds, possibly where `possible` does; mostly the same."""

    sure: Told
    possible: Told

    @property
    def decided(self) -> bool:
        return self.sure == self.possible


@record
class Moved:
    """A switch on its way between two neighbouring positions, named by their numbers."""

    name: str
    start: int
    end: int


@record
class Held:
    """What a relay does that holds itself in, or that another lets in only while that is out.

    It pulls in when `started` holds while it is out, stays in while `kept` holds, drops out when
    `stopped` does.  `let_go` by a switch that moves on, though it would be kept in both positions.
    """

    started: Told
    kept: Told
    stopped: Told
    let_go: tuple[Moved, ...] = ()


Way = Literal[
    "follows", "held", "on delay", "off delay", "latching", "not decided", "fixed", "too large"
]


@record
class Relay:
    """What moves one relay, in full.

    `when` it is in, if it follows its coil; of a timer or latching relay, when its coil is
    energised, or the one that sets it; `reset` is the other.  `held` is there for a relay that
    stays a term.  `chatters`: when it cannot come to rest.
    """

    name: str
    way: Way
    when: Range
    held: Held | None = None
    reset: Range | None = None
    chatters: Told = NEVER


@record
class LoadCondition:
    """When some load parts of one device are energised: as drawn, and in full."""

    device: str
    parts: tuple[int, ...]
    drawn: Range
    full: Range
    relay: str = ""
    """The relay it is a coil of."""


class Conditions:
    """The conditions of one behaviour, that in which uncertain coils may do either."""

    def __init__(self, behaviour: Behaviour) -> None:
        self.behaviour = behaviour
        self.panel = behaviour.panel
        self._machine = behaviour.machine
        self._logic = behaviour.logic
        self._slicer = Slicer(self._machine)
        self._coil_of = {
            coil: mechanism.name
            for mechanism in reversed(list(self.panel.mechanisms.values()))
            for coil in mechanism.coils
        }
        self._terms = Terms(self._machine, self._order(), self._rank)
        self._settled = SettledRelays(self.panel, self._machine, self._slicer, self._terms)
        self._store = self._terms.store
        self._relays: dict[str, Relay] = {}
        self._drawn_known: dict[tuple[int, int], Range] = {}
        self._full_known: dict[tuple[int, int], Range] = {}
        self._held_known = ByForm(self._renamed)
        self._sums = ByForm(self._renamed_sum)
        self._as_drawn = Care(self._settled.drawn_care, self._settled.touching)
        self._in_full = Care(self._settled.care, self._settled.rests)

    # ---- what is asked -----------------------------------------------------------------------

    def loads(self) -> Iterator[LoadCondition]:
        """Of every load that is no spare, in the order of the text."""
        for device in self.panel.devices:
            yield from self.of_device(device)

    def of_device(self, device: str) -> tuple[LoadCondition, ...]:
        """Of its loads; those that always go together are one."""
        self._terms.tidy(self._settled.diagrams)
        found: list[tuple[tuple[Range, Range, str], list[int]]] = []
        for index in self.panel.devices[device].parts:
            part = self.panel.parts[index]
            if part.load is not None and not part.spare:
                sure, maybe = self._energised(part)
                relay = self._coil_of.get(index, "")
                told = self._drawn(sure, maybe), self._of_part(sure, maybe, relay), relay
                alike = next((indexes for other, indexes in found if other == told), None)
                if alike is None:
                    found.append((told, [index]))
                else:
                    alike.append(index)
        return tuple(LoadCondition(device, tuple(indexes), *told) for told, indexes in found)

    def relay(self, name: str) -> Relay:
        """What moves a relay, timer or latching relay; KeyError if nothing of the name is one."""
        if name not in self._relays:
            self._relays[name] = self._find_relay(name)
        return self._relays[name]

    @property
    def contradictory(self) -> bool:
        """Whether some of what is assumed, met so far, leaves no state at all."""
        return self._settled.contradictory

    def relays_in(self, *conditions: Range | Told) -> tuple[str, ...]:
        """The relays that stand in conditions as terms, in the order of the text."""
        named = {name for condition in conditions for name in names_in(condition)}
        return tuple(name for name in self._machine.movers if name in named)

    # ---- relays ------------------------------------------------------------------------------

    def _find_relay(self, name: str) -> Relay:
        mechanism = self.panel.mechanisms[name]
        coils = [self._energised(self.panel.parts[index]) for index in mechanism.coils]
        if name not in self._machine.movers:
            return Relay(name, "fixed", self._full(*coils[0]))
        if mechanism.drive is Drive.LATCH:
            return Relay(name, "latching", self._full(*coils[0]), reset=self._full(*coils[1]))
        if mechanism.drive is Drive.ON_DELAY:
            return Relay(name, "on delay", self._full(*coils[0]))
        if mechanism.drive is Drive.OFF_DELAY:
            return Relay(name, "off delay", self._full(*coils[0]))
        state, settled = self._machine.movers[name].state, self._settled
        if state in settled.undecided:
            chatters = self._told(settled.restless.get(state, FALSE), self._in_full)
            bounds = self._range(*settled.undecided[state], self._in_full)
            return Relay(name, "not decided", bounds, chatters=chatters)
        wants = settled.remaining.get(state)
        if wants is not None and state in self._store.support(wants):
            is_in = Sum(((Term(name, frozenset((1,))),),))
            return Relay(name, "held", Range(is_in, is_in), self._held(name, wants))
        value = wants if wants is not None else settled.values.get(state)
        if value is None:
            return Relay(name, "too large", self._full(*coils[0]))
        # That the others follow it in turn tells nothing of what moves it.
        care = Care(lambda f: self._store.exists(settled.care(f), [state]))
        told = self._told(value, care)
        return Relay(name, "follows", Range(told, told))

    def _held(self, name: str, wants: int) -> Held:
        """What has the form of something told before is that with its own names in."""
        rests = self._settled.rests(wants)
        if rests is None:
            return self._find_held(name, wants)
        names, form = self._terms.form(wants, *(diagram for _, diagram in rests))
        key = names.index(name), *(is_wanted for is_wanted, _ in rests), *form
        return self._held_known.get(names, key, lambda: self._find_held(name, wants))

    def _find_held(self, name: str, wants: int) -> Held:
        state = self._machine.movers[name].state

        def told(f: int, is_in: bool) -> Told:
            given = {state: is_in}
            return self._told(f, Care(lambda f: self._store.given(self._settled.care(f), given)))

        self._store.allow(MOST_STEPS)
        started, kept = (self._store.given(wants, {state: is_in}) for is_in in (False, True))
        keeps = told(kept, True)
        if isinstance(keeps, Sum) and len(keeps.products) == 1:
            stops: Told = self._ended(keeps.products[0])
        else:
            stops = told(kept ^ 1, True)
        return Held(told(started, False), keeps, stops, tuple(self._let_go(kept, state)))

    def _renamed(self, held: Held, put: Mapping[str, str]) -> Held:
        """With other names put for its own."""

        def told(condition: Told) -> Told:
            return (
                condition if isinstance(condition, TooLarge) else self._renamed_sum(condition, put)
            )

        let_go = tuple(Moved(put[moved.name], moved.start, moved.end) for moved in held.let_go)
        return Held(told(held.started), told(held.kept), told(held.stopped), let_go)

    def _renamed_sum(self, told: Sum, put: Mapping[str, str]) -> Sum:
        return Sum(self._terms.renamed(told.products, put))

    def _ended(self, product: Product) -> Sum:
        """What ends a product of which no term can be left out: any of them ending."""
        return Sum(
            tuple(
                (Term(term.name, self._terms.positions(term.name) - term.positions),)
                for term in product
            )
        )

    def _let_go(self, kept: int, state: int) -> Iterator[Moved]:
        """Switches that break on their way what holds the relay in on either side."""
        store = self._store
        for name in sorted(self._terms.names(kept), key=self._terms.place):
            switch = self._machine.switches.get(name)
            if switch is None or len(switch.resting) == len(switch.positions):
                continue
            bits = range(len(switch.bits))
            for gap in sorted(set(range(len(switch.positions))) - switch.resting):
                if not {gap - 1, gap + 1} <= switch.resting:
                    continue
                before, on_the_way, after = (
                    store.given(kept, {switch.bits[k]: bool(place >> k & 1) for k in bits})
                    for place in (gap - 1, gap, gap + 1)
                )
                broken = store.all_of([before, after, on_the_way ^ 1])
                care = store.given(self._settled.care(broken), {state: True})
                if store.both(broken, care) != FALSE:
                    yield Moved(name, gap - 1, gap + 1)

    # ---- conditions --------------------------------------------------------------------------

    def _energised(self, part: Part) -> tuple[int, int]:
        """Literals: when a load surely is, and possibly is."""
        sure = self.behaviour.energised(part)
        return sure, self._logic.either(sure, self.behaviour.uncertain(part))

    def _of_part(self, sure: int, maybe: int, relay: str) -> Range:
        """In full; of a coil that surely moves its relay, what moves that."""
        moved = sure == maybe and relay in self._machine.movers
        if moved and not self._settled.is_held_apart(relay):
            known = self.relay(relay)
            if known.way in ("follows", "held"):
                return known.when
        return self._full(sure, maybe)

    def _drawn(self, sure: int, maybe: int) -> Range:
        def of(literals: tuple[int, int]) -> tuple[int, int]:
            return self._terms.of(literals[0]), self._terms.of(literals[1])

        return self._range_of(self._drawn_known, (sure, maybe), of, self._as_drawn)

    def _full(self, sure: int, maybe: int) -> Range:
        def of(literals: tuple[int, int]) -> tuple[int, int]:
            bounds = self._settled.bounds
            low, high = (self._terms.of(literal) for literal in literals)
            return bounds(low)[0], bounds(high)[1]

        return self._range_of(self._full_known, (sure, maybe), of, self._in_full)

    def _range_of(
        self,
        known: dict[tuple[int, int], Range],
        literals: tuple[int, int],
        of: Callable[[tuple[int, int]], tuple[int, int]],
        care: Care,
    ) -> Range:
        if literals not in known:
            self._store.allow(MOST_STEPS)
            try:
                known[literals] = self._range(*of(literals), care)
            except OutOfBudget:
                known[literals] = self._too_large(*literals)
        return known[literals]

    def _range(self, low: int, high: int, care: Care) -> Range:
        sure = self._told(low, care)
        return Range(sure, sure if low == high else self._told(high, care))

    def _told(self, f: int, care: Care) -> Told:
        """A diagram over switches and relays that are terms as a sum, right wherever it can be."""
        self._store.allow(MOST_STEPS)
        try:
            parts = care.parts(f)
            if parts is None:
                return self._worked_out(f, care)
            names, form = self._terms.form(f, *(diagram for _, diagram in parts))
            key = (*(kind for kind, _ in parts), *form)
            return self._sums.get(names, key, lambda: self._worked_out(f, care))
        except OutOfBudget:
            return TooLarge(len(self._terms.names(f)))

    def _worked_out(self, f: int, care: Care) -> Sum:
        return Sum(self._terms.products(f, care.of(f), MOST_PRODUCTS))

    def _too_large(self, *literals: int) -> Range:
        variables = frozenset().union(*(self._logic.support(literal) for literal in literals))
        told = TooLarge(len({self._terms.owner(variable) for variable in variables}))
        return Range(told, told)

    # ---- order -------------------------------------------------------------------------------

    def _order(self) -> Iterator[int]:
        """All variables, those near one another that meet in one condition; relays last.

        Where a switch and a relay could stand for one another, that tells of the relay.
        """
        literals = [self.behaviour.energised(part) for part in self.panel.parts if part.load]
        for name in self._machine.movers:
            moving = self._slicer.dynamics(name)
            literals += [moving.may, moving.must]
        relays = {mover.state for mover in self._machine.movers.values()}
        for literal in literals:
            yield from sorted(self._logic.support(literal) - relays)
        for switch in self._machine.switches.values():
            yield from switch.bits
        yield from sorted(relays)

    def _rank(self, name: str) -> int:
        """What a sentence can best do without: that a source is there; last of all, a relay."""
        drive = self.panel.mechanisms[name].drive
        if drive is Drive.SOURCE:
            return 3
        if drive is Drive.PROTECTION:
            return 2
        return 0 if name in self._machine.movers else 1


def names_in(condition: Range | Told) -> frozenset[str]:
    """The devices a condition speaks of."""
    if isinstance(condition, Range):
        return names_in(condition.sure) | names_in(condition.possible)
    if isinstance(condition, TooLarge):
        return frozenset()
    return frozenset(term.name for product in condition.products for term in product)
