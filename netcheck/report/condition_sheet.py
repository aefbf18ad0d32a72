"""What is told of conditions: of which loads, in which words, and what was left open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.figure import figure
from netcheck.finding import Mistake
from netcheck.model.devices import Drive, Part, mark_of
from netcheck.model.panel import Panel
from netcheck.record import record, replace
from netcheck.report.condition_words import ConditionWords, Said
from netcheck.states.conditions import (
    Conditions,
    Held,
    LoadCondition,
    Range,
    Relay,
    Sum,
    Told,
    TooLarge,
    names_in,
)
from netcheck.states.terms import Product

DOES = {
    "motor": "runs", "heater": "heats", "lamp": "is lit", "horn": "sounds", "input": "on",
}  # fmt: skip
"""What a load does while it is energised, where the trade has a word for it."""

TAKEN = (
    "told of what stays once all relays have settled, with every switch left in some position",
    "breakers, fuses and disconnects closed, volts nominal",
)

TOO_MANY_WAYS = "there are more ways from source to source than are followed: some may be missing"

CONTRADICTORY = "what is assumed contradicts itself: what is told of it here is told of no state"


MINUTE_S = 60


@record
class Sheet:
    """The loads asked for, and the relays it takes to understand them."""

    path: str
    panel: Panel | None
    loads: tuple[LoadCondition, ...] = ()
    relays: tuple[Relay, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    open: tuple[str, ...] = ()
    """What else was left open, and why."""
    supposed: tuple[str, ...] = ()
    """What was supposed beside the text: with it, this is not the panel as drawn."""

    @property
    def assumed(self) -> tuple[str, ...]:
        """What all of it rests on, in sentences."""
        if self.panel is None:
            return ()
        said = [f"taken as said: {assumption.words}" for assumption in self.panel.assumptions]
        return (*TAKEN, *said)

    @property
    def not_decided(self) -> int:
        return sum(not load.full.decided for load in self.loads)

    @property
    def too_large(self) -> int:
        return sum(isinstance(load.full.sure, TooLarge) for load in self.loads)


@record
class Line:
    """One line of an account: what it says of the load, and the condition."""

    name: str
    said: Said


def sheet_of(conditions: Conditions, names: Sequence[str]) -> Sheet:
    """Of these devices or terminals of loads, with the relays they lead to; else of every load."""
    panel = conditions.panel
    loads = _asked(conditions, names)
    relays: dict[str, Relay] = {}
    todo = [name for device in loads for name in _relays_of(panel, device)]
    todo += conditions.relays_in(*[load.full for group in loads.values() for load in group])
    while todo:
        name = todo.pop(0)
        if name in relays:
            continue
        relay = relays[name] = conditions.relay(name)
        device = panel.mechanisms[name].device
        if device not in loads:
            loads[device] = conditions.of_device(device)
        todo += conditions.relays_in(*told_of(relay))
    return Sheet(
        panel.path,
        panel,
        tuple(load for group in loads.values() for load in group),
        tuple(relays[name] for name in panel.mechanisms if name in relays),
        open=tuple(_left_open(conditions)),
    )


def _left_open(conditions: Conditions) -> Iterator[str]:
    if conditions.behaviour.too_many_ways:
        yield TOO_MANY_WAYS
    if conditions.contradictory:
        yield CONTRADICTORY


def _asked(conditions: Conditions, names: Sequence[str]) -> dict[str, tuple[LoadCondition, ...]]:
    """By device; of one whose terminals alone are named, those loads that end at them."""
    panel = conditions.panel
    asked: dict[str, set[str]] = {}
    for name in names or panel.devices:
        asked.setdefault(name.partition(":")[0], set()).add(name)
    found = {}
    for device, wanted in asked.items():
        found[device] = tuple(
            load
            for load in conditions.of_device(device)
            if device in wanted
            or any({panel.parts[i].a, panel.parts[i].b} & wanted for i in load.parts)
        )
    return found


def _relays_of(panel: Panel, device: str) -> list[str]:
    mechanisms = panel.devices[device].mechanisms
    return [name for name in mechanisms if panel.mechanisms[name].moved_by_coil]


def told_of(relay: Relay) -> list[Range | Told]:
    """The conditions an account of a relay is made of."""
    told: list[Range | Told] = [relay.when, relay.chatters]
    if relay.reset is not None:
        told.append(relay.reset)
    if relay.held is not None:
        told += [relay.held.started, relay.held.kept]
    return told


class Accounts:
    """What a sheet says of each load, line by line."""

    def __init__(self, sheet: Sheet, panel: Panel) -> None:
        self._panel = panel
        self._words = ConditionWords(panel)
        self._relays = {relay.name: relay for relay in sheet.relays}
        self._sources = {n for n, m in panel.mechanisms.items() if m.drive is Drive.SOURCE}
        self._open = {relay.name for relay in sheet.relays if relay.way == "not decided"}

    def title(self, load: LoadCondition) -> str:
        """`K1 "North pump", contactor`, with the terminals where the device has several loads."""
        device = self._panel.devices[load.device]
        described = f' "{device.description}"' if device.description else ""
        parts = {self._panel.parts[index].role for index in load.parts}
        role = "" if self.label(load) == load.device else f", {' and '.join(sorted(parts))}"
        return f"{self.label(load)}{described}, {device.kind}{role}"

    def label(self, load: LoadCondition) -> str:
        """`M1`; of one of several loads of a device, `PLC1:I0`, `PLC1:+-0V`, `K6:A3-A4`."""
        parts = [self._panel.parts[index] for index in load.parts]
        device = self._panel.devices[load.device]
        loads = [i for i in device.parts if self._panel.parts[i].load and i not in load.parts]
        if not loads:
            return load.device
        return f"{load.device}:{', '.join(_mark(part) for part in parts)}"

    def of(self, load: LoadCondition) -> list[Line]:
        relay = self._relays.get(load.relay)
        if relay is None:
            return self._of_load(load)
        is_reset = relay.way == "latching" and load.parts[0] == self._reset_coil(relay)
        return self._of_relay(relay, load, is_reset=is_reset)

    # ---- loads -------------------------------------------------------------------------------

    def _of_load(self, load: LoadCondition) -> list[Line]:
        part = self._panel.parts[load.parts[0]]
        does = DOES.get(part.load.works if part.load else "", "energised")
        if self._in_passing(load):
            return [Line(does, Said("never once all has settled")), *self._drawn(load)]
        lines = self._ranged(does, load.full)
        story = self._story(load.full) if part.load and part.load.moves_or_heats else None
        if story is not None:
            lines.append(Line("that is", story))
        return [*lines, *self._more(load)]

    def _ranged(self, does: str, told: Range) -> list[Line]:
        if told.decided:
            return [Line(does, self._while(told.sure))]
        return [
            Line("surely", self._while(told.sure)),
            Line("possibly", self._while(told.possible)),
        ]

    def _drawn(self, load: LoadCondition) -> list[Line]:
        drawn = load.drawn
        if drawn.decided:
            return [Line("as drawn", self._while(drawn.sure))]
        return [
            Line("as drawn", self._sure(drawn.sure)),
            Line("", self._while(drawn.possible, "possibly while")),
        ]

    def _sure(self, told: Told) -> Said:
        never = told == Sum(())
        return Said("surely never") if never else self._while(told, "surely while")

    def _in_passing(self, load: LoadCondition) -> bool:
        """Whether its circuit closes, but in no state that lasts."""
        return load.full.decided and load.full.sure == Sum(()) and load.drawn.sure != Sum(())

    def _passing(self, does: str, load: LoadCondition) -> Line:
        said = self._while(load.drawn.sure)
        return Line(does, replace(said, lead=f"for a moment at most, as relays move, {said.lead}"))

    def _because(self, load: LoadCondition) -> list[Line]:
        """Why what is possible is not sure."""
        if load.full.decided:
            return []
        relays = [name for name in names_in(load.drawn) if name in self._open]
        reasons = [f"{self._words.name(name)} is not decided" for name in sorted(relays)]
        if not load.drawn.decided:
            reasons.append("what it gets through other loads, or at other volts, is not worked out")
        return [Line("because", Said("; ".join(reasons)))] if reasons else []

    def _while(self, told: Told, word: str = "while") -> Said:
        said = self._words.told(told)
        if isinstance(told, TooLarge) or told.products in ((), ((),)):
            return said
        drives = {self._panel.mechanisms[name].drive for name in names_in(told)}
        word = "whenever" if drives == {Drive.SOURCE} else word
        return replace(said, lead=f"{word} {said.lead}")

    def _story(self, full: Range) -> Said | None:
        """`once S2 is pressed, for as long as OL1 has not tripped`, where a held relay is all."""
        if not full.decided or not isinstance(full.sure, Sum) or len(full.sure.products) != 1:
            return None
        (product,) = full.sure.products
        relay = self._relays.get(product[0].name) if len(product) == 1 else None
        held = relay.held if relay and product[0].positions == frozenset((1,)) else None
        if held is None or held.let_go or not isinstance(held.kept, Sum):
            return None
        split = self._split(held)
        if split is None or held.kept.products != (split[1],):
            return None
        trigger = self._words.told(split[0])
        standing = self._words.product(split[1])
        return (
            None
            if trigger.alternatives
            else Said(f"once {trigger.lead}, for as long as {standing}")
        )

    def _split(self, held: Held) -> tuple[Sum, Product] | None:
        """What pulls a relay in, and what must hold then and after; None if nothing is both."""
        if not isinstance(held.started, Sum) or not isinstance(held.kept, Sum):
            return None
        products = (*held.kept.products, *held.started.products)
        if not held.kept.products or not held.started.products:
            return None
        standing = tuple(
            term for term in products[0] if all(term in product for product in products)
        )
        rests = [
            tuple(term for term in product if term not in standing)
            for product in held.started.products
        ]
        return (Sum(tuple(rests)), standing) if standing and () not in rests else None

    # ---- relays ------------------------------------------------------------------------------

    def _reset_coil(self, relay: Relay) -> int:
        return self._panel.mechanisms[relay.name].coils[1]

    def _of_relay(self, relay: Relay, load: LoadCondition, *, is_reset: bool) -> list[Line]:
        match relay.way:
            case "follows":
                lines = self._ranged("in", relay.when)
            case "held":
                lines = self._held(relay)
            case "on delay" | "off delay":
                does = "energised" if relay.way == "on delay" else "pulls in"
                passing = self._in_passing(load) and relay.way == "off delay"
                lines = [self._passing(does, load)] if passing else self._ranged(does, relay.when)
                return [*lines, self._runs_out(relay), *([] if passing else self._more(load))]
            case "latching":
                told = relay.reset if is_reset and relay.reset else relay.when
                return self._ranged("reset" if is_reset else "set", told) + self._more(load)
            case "not decided":
                lines = self._ranged("in", relay.when)
                if relay.chatters != Sum(()):
                    lines.append(Line("chatters", self._while(relay.chatters)))
            case "fixed":
                return [Line("energised", self._while(load.full.sure)), *self._more(load)]
            case _:
                return self._ranged("energised", relay.when)
        told_already = {name for said in told_of(relay) for name in names_in(said)} | {relay.name}
        if not names_in(load.drawn) <= told_already | self._sources:
            lines += self._drawn(load)
        blamed = relay.way == "not decided" and relay.chatters == Sum(())
        return [*lines, *(self._because(load) if blamed else [])]

    def _more(self, load: LoadCondition) -> list[Line]:
        """The load as it is drawn, where that says something else; why it is not decided."""
        says_less = names_in(load.full) <= names_in(load.drawn)
        plain = says_less and not isinstance(load.full.sure, TooLarge)
        return ([] if plain else self._drawn(load)) + self._because(load)

    def _held(self, relay: Relay) -> list[Line]:
        held = relay.held
        assert held is not None
        split = self._split(held)
        trigger = self._words.told(split[0]) if split is not None else None
        if split is None or trigger is None or trigger.alternatives:
            started = self._while(held.started, "when")
        else:
            started = Said(f"when {trigger.lead}, while {self._words.product(split[1])}")
        lines = [Line("pulls in", started), Line("stays in", self._until(held.stopped))]
        for moved in held.let_go:
            if self._words.jogs(moved, held.started):
                name = self._words.name(moved.name)
                lines.append(Line("jogs", Said(f"with {name}: drops out when {name} is let go")))
            else:
                words = f"when {self._words.moved(moved)}, as its contacts break before they make"
                lines.append(Line("lets go", Said(words)))
        return lines

    def _until(self, stopped: Told) -> Said:
        if stopped == Sum(()):
            return Said("for good: nothing lets it go")
        said = self._words.until(stopped)
        return replace(said, lead=f"until {said.lead}")

    def _runs_out(self, relay: Relay) -> Line:
        mechanism = self._panel.mechanisms[relay.name]
        time_s = self._panel.devices[mechanism.device].number("time_s")
        after = f"{_time(time_s)} after" if time_s is not None else "some time after"
        if relay.way == "on delay":
            return Line("runs out", Said(f"{after} that; goes back at once when it ends"))
        return Line("runs out", Said(f"{after} that has ended"))


def _mark(part: Part) -> str:
    a, b = mark_of(part.a), mark_of(part.b)
    return a if part.load is not None and part.load.works == "input" else f"{a}-{b}"


def _time(time_s: float) -> str:
    if time_s >= MINUTE_S and time_s % MINUTE_S == 0:
        return figure(time_s / MINUTE_S, "min")
    return figure(time_s, "s")
