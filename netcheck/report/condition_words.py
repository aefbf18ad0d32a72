"""Conditions in words, as they are said in front of the panel.

The words for a state are those the language has for it (`S1 is not pressed`, `OL1 has not
tripped`, `SS1 is HAND`), so that what is read here can be written into an intent.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from netcheck.model.devices import Device, Drive, Mechanism
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.states.conditions import Moved, Sum, Told, TooLarge
from netcheck.states.terms import Product, Term

_SAID = {
    "button": {"released": "not pressed"},
    "emergency stop": {"reset": "not pushed"},
    "source": {"present": "on", "absent": "off"},
}
_HAPPENS = {
    "released": "is let go", "pressed": "is pressed", "pushed": "is pushed", "reset": "is reset",
    "operated": "operates", "at rest": "returns to rest", "tripped": "trips", "in": "pulls in",
    "out": "drops out", "present": "comes on", "absent": "is lost", "closed": "is closed",
    "open": "is opened", "set": "is set",
}  # fmt: skip
Say = Callable[[Term], str]

INLINE = 90
"""Alternatives that take fewer letters stand in one sentence."""


@record
class Said:
    """A condition: `lead`, and if it has several alternatives too long for it, those."""

    lead: str
    alternatives: tuple[str, ...] = ()


class ConditionWords:
    """The words of one panel."""

    def __init__(self, panel: Panel) -> None:
        self._panel = panel
        self._place = {name: place for place, name in enumerate(panel.mechanisms)}

    def name(self, mechanism: str) -> str:
        """`PLC1:Q0` of an output, else the device's name."""
        return mechanism.replace(" ", ":")

    # ---- sums --------------------------------------------------------------------------------

    def told(self, told: Told) -> Said:
        """A condition as the rest of a sentence that ends in `while`; never and always apart."""
        if isinstance(told, TooLarge):
            return Said(f"too large to print: it depends on {told.things} switches and relays")
        if not told.products:
            return Said("never")
        if told.products == ((),):
            return Said("always")
        common = self._common(told.products)
        rests = [tuple(term for term in product if term not in common) for product in told.products]
        if len(rests) == 1:
            return Said(self.product(told.products[0]))
        lead = self.product(common)
        short = self._alternatives(rests, self._state)
        if len(short) == 1:
            return Said(f"{short[0]}, and {lead}" if lead else short[0])
        if short:
            either = f"either {_apart(short)}"
            return Said(f"{lead}, and {either}" if lead else either)
        lists = tuple(self.product(rest) for rest in rests)
        if len(lists) == 2 and sum(map(len, lists)) < INLINE:
            either = f"either {lists[0]}, or {lists[1]}"
            return Said(f"{lead}, and {either}" if lead else either)
        return Said(f"{lead}, and one of these holds:" if lead else "one of these holds:", lists)

    def until(self, told: Told) -> Said:
        """What ends something: each alternative as what happens, or as a state to get into."""
        if isinstance(told, TooLarge) or not told.products:
            return self.told(told)
        short = self._alternatives(told.products, self._event)
        if short:
            return Said(_apart(short))
        lists = tuple(
            self.phrase([product[0]], self._event) if len(product) == 1 else self.product(product)
            for product in sorted(told.products, key=lambda p: (len(p), self._event_order(p[0])))
        )
        if sum(map(len, lists)) < INLINE:
            return Said(_listed(lists, "or"))
        return Said("one of these:", lists)

    def product(self, product: Product) -> str:
        """`S2 is pressed, SS1 is HAND, K0 is in, and neither S1 nor S3 is pressed`."""
        return self.phrase(product, self._state)

    def moved(self, moved: Moved) -> str:
        """`S3 is let go`, `SS1 is turned between HAND and AUTO`."""
        positions = self._panel.mechanisms[moved.name].positions
        if self._is_button(moved.name):
            return f"{self.name(moved.name)} is let go"
        names = f"{positions[moved.start]} and {positions[moved.end]}"
        return f"{self.name(moved.name)} moves between {names}"

    def jogs(self, moved: Moved, started: Told) -> bool:
        """Whether it is a button that also pulls the relay in."""
        return (
            self._is_button(moved.name)
            and isinstance(started, Sum)
            and any(
                term == Term(moved.name, frozenset((moved.end,)))
                for product in started.products
                for term in product
            )
        )

    def _is_button(self, name: str) -> bool:
        mechanism = self._panel.mechanisms[name]
        return self._panel.devices[mechanism.device].kind == "button"

    # ---- products ----------------------------------------------------------------------------

    def phrase(self, terms: Iterable[Term], say: Say) -> str:
        """Terms that hold together, those alike in one breath, the telling ones first."""
        return _listed(self._breaths(terms, say, "and"), "and")

    def _alternatives(self, products: Sequence[Product], say: Say) -> list[str]:
        """Single terms of which one holds, those alike together; none if they are more."""
        if any(len(product) != 1 for product in products):
            return []
        return self._breaths([product[0] for product in products], say, "or")

    def _breaths(self, terms: Iterable[Term], say: Say, word: str) -> list[str]:
        together: dict[tuple[bool, str], list[str]] = {}
        order = self._order if say == self._state else self._event_order
        for term in sorted(terms, key=order):
            is_source = self._panel.mechanisms[term.name].drive is Drive.SOURCE
            together.setdefault((is_source, say(term)), []).append(self.name(term.name))
        return [_said(names, predicate, word) for (_, predicate), names in together.items()]

    def _order(self, term: Term) -> tuple[int, int]:
        """What is done, what follows, where power is from, and what must not have been done."""
        mechanism = self._panel.mechanisms[term.name]
        rests = mechanism.drive is not Drive.SOURCE and term.positions == frozenset((0,))
        rank = {Drive.HAND: 0, Drive.OUTPUT: 1, Drive.PROCESS: 2, Drive.SOURCE: 5}
        chosen = self._panel.devices[mechanism.device].kind == "selector"
        late = rests and not chosen and mechanism.drive in (Drive.HAND, Drive.PROCESS)
        return (6 if late else rank.get(mechanism.drive, 4)), self._place[term.name]

    def _event_order(self, term: Term) -> tuple[int, int]:
        """What a hand does, what trips, what follows, and last that power is lost."""
        mechanism = self._panel.mechanisms[term.name]
        rank = {Drive.HAND: 0, Drive.PROCESS: 1, Drive.OUTPUT: 2, Drive.SOURCE: 9}
        return rank.get(mechanism.drive, 4), self._place[term.name]

    @staticmethod
    def _common(products: Sequence[Product]) -> Product:
        return tuple(term for term in products[0] if all(term in other for other in products[1:]))

    # ---- terms -------------------------------------------------------------------------------

    def _state(self, term: Term) -> str:
        """`is pressed`, `has not tripped`, `is HAND or AUTO`."""
        mechanism, device, positions = self._told(term)
        if mechanism.drive in (Drive.ON_DELAY, Drive.OFF_DELAY):
            out = mechanism.drive is Drive.OFF_DELAY
            return "has run out" if (positions == ["out"]) == out else "has not run out"
        if device.kind == "selector":
            others = [
                mechanism.positions[index] for index in sorted(mechanism.resting - term.positions)
            ]
            if len(others) == 1 < len(positions):
                return f"is not {others[0]}"
            return f"is {_listed(positions, 'or')}"
        sort = "source" if mechanism.drive is Drive.SOURCE else device.kind
        if "tripped" in mechanism.positions:
            return "has tripped" if positions == ["tripped"] else "has not tripped"
        word = _SAID.get(sort, {}).get(positions[0], positions[0])
        return f"is {word}"

    def _event(self, term: Term) -> str:
        """`is let go`, `trips`, `is turned to OFF`."""
        mechanism, device, positions = self._told(term)
        if mechanism.drive in (Drive.ON_DELAY, Drive.OFF_DELAY):
            out = mechanism.drive is Drive.OFF_DELAY
            if (positions == ["out"]) == out:
                return "runs out"
            return "pulls in" if out else "drops out"
        if device.kind == "selector":
            return f"is turned to {_listed(positions, 'or')}"
        if positions[0] in ("on", "off"):
            by_hand = mechanism.drive is Drive.HAND
            return f"is turned {positions[0]}" if by_hand else f"goes {positions[0]}"
        return _HAPPENS.get(positions[0], f"is {positions[0]}")

    def _told(self, term: Term) -> tuple[Mechanism, Device, list[str]]:
        mechanism = self._panel.mechanisms[term.name]
        positions = [mechanism.positions[index] for index in sorted(term.positions)]
        return mechanism, self._panel.devices[mechanism.device], positions


def _said(names: Sequence[str], predicate: str, word: str) -> str:
    """`S1 is pressed`, `S1 and S2 are pressed`, `neither S1 nor S2 is pressed`."""
    if len(names) == 1 or word == "or":
        return f"{_listed(names, word)} {predicate}"
    verb, _, rest = predicate.partition(" ")
    if rest.startswith("not "):
        rest = rest.removeprefix("not ")
        if len(names) == 2:
            return f"neither {names[0]} nor {names[1]} {verb} {rest}"
        return f"none of {_listed(names, 'and')} {verb} {rest}"
    return f"{_listed(names, word)} {_MANY.get(verb, verb)} {rest}"


_MANY = {"is": "are", "has": "have"}


def _apart(alternatives: Sequence[str]) -> str:
    """Joined by `or`; with a comma before it where one of them has an `or` of its own."""
    word = ", or" if any(" or " in each for each in alternatives) else " or"
    *firsts, last = alternatives
    return f"{', '.join(firsts)}{word} {last}" if firsts else last


def _listed(items: Sequence[str], word: str) -> str:
    """`a`, `a and b`, `a, b and c`."""
    if not items:
        return ""
    *firsts, last = items
    return f"{', '.join(firsts)} {word} {last}" if firsts else last
