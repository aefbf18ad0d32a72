"""Phrases: what may be said of a thing, and what was said of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from netcheck.reading.quantities import Quantity
from netcheck.reading.token import Token
from netcheck.reading.values import PHASES, PhraseMistake, Rating, Value
from netcheck.record import draft, fresh, record, replace


@record
class Phrase:
    """`key` names the phrase to its reader; `example` is printed where words do not fit.

    `note` is what the language's reference says of it.
    """

    key: str
    template: str
    example: str = ""
    note: str = ""


@record
class Group:
    """Phrases said together: the head opens the group, properties follow it.

    The group without a head is the device's own.
    """

    key: str
    head: Phrase | None
    properties: tuple[Phrase, ...] = ()


@draft
class Said:
    """One group as it was said: values of the head, then of each property by its key."""

    key: str
    token: Token | None = None
    head: Mapping[str, Value] = fresh(factory=dict)
    properties: dict[str, Mapping[str, Value]] = fresh(factory=dict)
    tokens: dict[str, Token] = fresh(factory=dict)

    def value(self, key: str, slot: str = "") -> Value | None:
        """The value of property `key`, of its only slot or the named one; None if not said."""
        values = self.properties.get(key)
        if values is None:
            return None
        if slot:
            return values.get(slot)
        return next(iter(values.values()), "yes")

    def number(self, key: str, slot: str = "") -> float | None:
        """The value of a quantity property in its dimension's own unit."""
        value = self.value(key, slot)
        if isinstance(value, Quantity):
            return value.value
        if isinstance(value, (int, float)):
            return float(value)
        return None

    def has(self, key: str) -> bool:
        return key in self.properties

    def rating(self, key: str = "rating") -> Rating | None:
        """The voltage, with the phases and the frequency where they are said apart from it."""
        rating = self.value(key)
        if not isinstance(rating, Rating):
            return None
        phases, hertz = self.value("phases"), self.number("frequency_hz")
        for apart, beside, word in (
            (phases, rating.phases, "phases"),
            (hertz, rating.frequency_hz, "frequency_hz"),
        ):
            if apart is not None and beside is not None:
                raise PhraseMistake(
                    self.tokens[word], f"`{self.tokens[word]}` is said twice", "keep one"
                )
        return replace(
            rating,
            phases=rating.phases or (PHASES[str(phases)] if phases else None),
            frequency_hz=rating.frequency_hz or hertz,
        )


REPEATABLE = "*"
"""A phrase whose key ends so may be said several times; each keeps its own entry, numbered."""


def candidates(groups: Sequence[Group], current: str) -> Iterator[tuple[Group | None, Phrase]]:
    for group in groups:
        if group.key == current:
            for phrase in group.properties:
                yield None, phrase
    for group in groups:
        if group.head is not None:
            yield group, group.head
    if groups[0].key != current:
        for phrase in groups[0].properties:
            yield None, phrase
