"""Phrases: how items of a statement are said, and what they mean.

A phrase is written as it is said, with slots where a value stands:

    "{current:current}"                              15 A
    "coil [{marks:marks}]"                           coil, coil A1-A2
    "normally {rest:open|closed} {marks:marks}"      normally open 13-14

Words outside braces must be said as they stand, `a|b` lets either be said,
`{name:a|b}` keeps which one it was, `[...]` may be left out and a slot ending in
`...` may be said several times.  Of all phrases that fit at a place the longest wins.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache

from lark import Token

from netcheck.reading.mistakes import CONTINUED
from netcheck.reading.near import nearest
from netcheck.reading.quantities import (
    UNITS,
    ConductorSize,
    Measure,
    Quantity,
    SystemVoltage,
    UnitMistake,
    explain_missing_blank,
    read_quantity,
    wrong_dimension,
)
from netcheck.reading.statements import Facets
from netcheck.reading.unit_mistakes import MOST_DIGITS, with_article
from netcheck.reading.words import kind_words, statement_words
from netcheck.record import draft, fresh, record, replace


@record
class Rating:
    """A voltage with its kind: volts, `AC` or `DC` or empty, hertz or None, phases or None."""

    voltage: Quantity | SystemVoltage
    kind: str = ""
    frequency_hz: float | None = None
    phases: int | None = None

    @property
    def volts(self) -> float:
        if isinstance(self.voltage, SystemVoltage):
            return self.voltage.line_v
        return self.voltage.value


Value = Quantity | SystemVoltage | ConductorSize | Rating | str | int | float | tuple[str, ...]


class PhraseMistake(Exception):
    """Words that fit no phrase: what was met, what would fit.

    `at` is the token, or a piece of the statement's text to look for in it, or empty
    where the statement as a whole lacks something.
    """

    def __init__(self, at: Token | str, message: str, help: str = "") -> None:
        super().__init__(message)
        self.at = at
        self.message = message
        self.help = help


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
            phases=rating.phases or (_PHASES[str(phases)] if phases else None),
            frequency_hz=rating.frequency_hz or hertz,
        )


REPEATABLE = "*"
"""A phrase whose key ends so may be said several times; each keeps its own entry, numbered."""


def understand(facets: Facets, groups: Sequence[Group], what: str) -> list[Said]:
    """The groups said in `facets`, the device's own always first.

    Raises PhraseMistake at the first word that fits nothing; `what` names the
    thing described (`breaker CB1`).
    """
    own = Said(groups[0].key)
    said = [own]
    last: Token | None = None
    for facet in facets:
        current = own
        for number, item in enumerate(facet):
            position, before = 0, ""
            while position < len(item):
                group, match = _best(item, position, groups, current.key)
                if match is None:
                    _refuse_next_statement(item, position, last, what)
                    _refuse_decimal_comma(item, position, facet[number + 1 : number + 2])
                    raise _misfit(item, position, groups, current.key, what, before)
                phrase, values, end = match
                token = _whole(item, position, end)
                if group is not None:
                    current = Said(group.key, token, values)
                    said.append(current)
                else:
                    target = current if _belongs(phrase, groups, current.key) else own
                    if phrase.key in target.properties and end < len(item):
                        _refuse_half_said(item, position, end, groups, current.key, what)
                    _keep(target, phrase, values, token, what)
                position, before = end, phrase.template
            last = item[-1]
    return said


def _whole(item: Sequence[Token], start: int, end: int) -> Token:
    """The tokens of one phrase as one, so that a mistake underlines all of it."""
    first, last = item[start], item[end - 1]
    if end - start == 1 or first.line != last.line:
        return first
    return Token(
        first.type,
        " ".join(item[start:end]),
        first.start_pos,
        first.line,
        first.column,
        last.end_line,
        last.end_column,
        last.end_pos,
    )


def _refuse_half_said(
    item: Sequence[Token],
    position: int,
    end: int,
    groups: Sequence[Group],
    current: str,
    what: str,
) -> None:
    """`15 A, 10 kA interupting`: no second current, but a longer phrase with a word misspelt."""
    if _best(item, end, groups, current)[1] is None:
        raise _misfit(item, position, groups, current, what)


def _belongs(phrase: Phrase, groups: Sequence[Group], key: str) -> bool:
    return any(phrase is own for group in groups if group.key == key for own in group.properties)


def _keep(said: Said, phrase: Phrase, values: Mapping[str, Value], token: Token, what: str) -> None:
    key = phrase.key
    if key.endswith(REPEATABLE):
        key = f"{key[:-1]}{sum(1 for known in said.properties if known.startswith(key[:-1]))}"
    elif key in said.properties:
        raise PhraseMistake(
            token,
            f"{what} says its {phrase.key.replace('_', ' ')} twice",
            f"the first is `{said.tokens[key]}`; keep one",
        )
    said.properties[key] = values
    said.tokens[key] = token


Match = tuple[Phrase, Mapping[str, Value], int]


def _best(
    item: Sequence[Token], position: int, groups: Sequence[Group], current: str
) -> tuple[Group | None, Match | None]:
    """The longest phrase that fits: of the current group, a group's head, or the device's own."""
    best: Match | None = None
    of: Group | None = None
    for group, phrase in _openers(groups, current).of(item[position]):
        found = _match(phrase, item, position)
        if found is not None and (best is None or found[1] > best[2]):
            best, of = (phrase, found[0], found[1]), group
    return of, best


def _candidates(groups: Sequence[Group], current: str) -> Iterator[tuple[Group | None, Phrase]]:
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


class _Openers:
    """The phrases that can begin with a word: most of a kind's phrases cannot."""

    def __init__(self, candidates: Sequence[tuple[Group | None, Phrase]]) -> None:
        self._starts = [(_start(_compiled(found[1].template)), found) for found in candidates]
        self._words = {word for (words, _), _ in self._starts for word in words}
        self._known: dict[tuple[str, str], list[tuple[Group | None, Phrase]]] = {}

    def of(self, token: Token) -> list[tuple[Group | None, Phrase]]:
        """In their order, the phrases that begin with this word or a slot that may take it."""
        key = token.value if token.value in self._words else "", token.type
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = [
                found
                for (words, slots), found in self._starts
                if key[0] in words
                or any(not slot.types or token.type in slot.types for slot in slots)
            ]
        return known


_KNOWN_OPENERS: dict[tuple[int, str], tuple[Sequence[Group], _Openers]] = {}
"""By the identity of a kind's groups; they are kept with it, so that no other takes it over."""


def _openers(groups: Sequence[Group], current: str) -> _Openers:
    key = id(groups), current
    if key not in _KNOWN_OPENERS:
        _KNOWN_OPENERS[key] = groups, _Openers(list(_candidates(groups, current)))
    return _KNOWN_OPENERS[key][1]


def _start(parts: Sequence[_Part]) -> tuple[set[str], list[_Slot]]:
    """The words and slots that a template may begin with."""
    words: set[str] = set()
    slots: list[_Slot] = []
    for part in parts:
        if part.optional:
            more_words, more_slots = _start(part.optional)
            words |= more_words
            slots += more_slots
            continue
        words.update(part.words)
        if part.slot:
            slots.append(SLOTS[part.slot])
        break
    return words, slots


# ---- templates -------------------------------------------------------------------------


@record
class _Part:
    words: tuple[str, ...] = ()
    slot: str = ""
    name: str = ""
    many: bool = False
    optional: tuple[_Part, ...] = ()


@cache
def _compiled(template: str) -> tuple[_Part, ...]:
    parts, rest = _compile(template.split(), 0)
    assert rest == len(template.split()), template
    return parts


def _compile(pieces: list[str], at: int) -> tuple[tuple[_Part, ...], int]:
    parts: list[_Part] = []
    while at < len(pieces):
        piece = pieces[at]
        if piece.startswith("["):
            pieces[at] = piece[1:]
            inner, at = _compile(pieces, at)
            parts.append(_Part(optional=inner))
            continue
        closing = piece.endswith("]")
        parts.append(_part(piece.removesuffix("]")))
        at += 1
        if closing:
            return tuple(parts), at
    return tuple(parts), at


def _part(piece: str) -> _Part:
    if not piece.startswith("{"):
        return _Part(words=tuple(piece.split("|")))
    name, _, slot = piece[1:-1].partition(":")
    many = slot.endswith("...")
    slot = slot.removesuffix("...")
    if "|" in slot:
        return _Part(words=tuple(slot.split("|")), name=name)
    if slot in SLOTS:
        return _Part(slot=slot, name=name, many=many)
    return _Part(words=(slot,), name=name)


def _match(
    phrase: Phrase, item: Sequence[Token], position: int
) -> tuple[dict[str, Value], int] | None:
    values: dict[str, Value] = {}
    end = _match_parts(_compiled(phrase.template), item, position, values)
    return None if end is None else (values, end)


def _match_parts(
    parts: Sequence[_Part], item: Sequence[Token], at: int, values: dict[str, Value]
) -> int | None:
    for part in parts:
        if part.optional:
            inner: dict[str, Value] = {}
            end = _match_parts(part.optional, item, at, inner)
            if end is not None:
                values.update(inner)
                at = end
            continue
        if part.words:
            if at >= len(item) or item[at].value not in part.words:
                return None
            if part.name:
                values[part.name] = item[at].value
            at += 1
            continue
        found = SLOTS[part.slot].read(item, at)
        if found is None:
            return None
        value, at = found
        if part.many:
            value, at = _several(SLOTS[part.slot], str(value), item, at)
        values[part.name] = value
    return at


def _several(
    slot: _Slot, first: str, item: Sequence[Token], at: int
) -> tuple[tuple[str, ...], int]:
    """All the values said one after another.

    `terminals 1 2 A` could mean terminals 1, 2 and A, or 1 and two amperes: it is refused.
    """
    several = [first]
    while (more := slot.read(item, at)) is not None:
        several.append(str(more[0]))
        at = more[1]
    follows = at < len(item) and item[at].type == "QUANTITY"
    if follows and (slot is SLOTS["mark"] or item[at - 1].type == "NUMBER"):
        raise PhraseMistake(
            item[at],
            f"`{item[at]}` after a list of marks reads as a quantity",
            "put a comma before it if it is one; a mark of one letter goes before the numbers",
        )
    return tuple(several), at


# ---- slots -----------------------------------------------------------------------------


class _Slot:
    """Reads one value from tokens; `says` is how an error names what would fit."""

    types: tuple[str, ...] = ()
    """Types of the token it may begin with; any where none is named."""
    words: frozenset[str] = frozenset()
    """All that may be said, where that is a list."""

    def __init__(self, says: str) -> None:
        self.says = says

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        raise NotImplementedError


class _QuantitySlot(_Slot):
    types = ("QUANTITY",)

    def __init__(self, says: str, *dimensions: str) -> None:
        super().__init__(says)
        self.dimensions = dimensions

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at >= len(item) or item[at].type != "QUANTITY":
            return None
        value = quantity(item[at])
        if isinstance(value, Quantity) and value.dimension in self.dimensions:
            return value, at + 1
        return None


class _SizeSlot(_Slot):
    types = ("QUANTITY",)

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at >= len(item) or item[at].type != "QUANTITY":
            return None
        value = quantity(item[at])
        return (value, at + 1) if isinstance(value, ConductorSize) else None


_PHASES = {"single-phase": 1, "three-phase": 3}


class _RatingSlot(_Slot):
    types = ("QUANTITY",)

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at >= len(item) or item[at].type != "QUANTITY":
            return None
        value = quantity(item[at])
        if not isinstance(value, SystemVoltage) and not (
            isinstance(value, Quantity) and value.dimension == "voltage"
        ):
            return None
        if not (value.line_v if isinstance(value, SystemVoltage) else value.value):
            raise PhraseMistake(item[at], f"`{item[at]}` is no voltage", "write what is rated")
        kind, at = _kind_of_current(item, at + 1)
        hertz: float | None = None
        phases: int | None = None
        while at < len(item):
            more = quantity(item[at]) if item[at].type == "QUANTITY" else None
            if hertz is None and isinstance(more, Quantity) and more.dimension == "frequency":
                hertz = more.value
            elif phases is None and item[at].value in _PHASES:
                phases = _PHASES[item[at].value]
            else:
                break
            at += 1
        return Rating(value, kind, hertz, phases), at


def _kind_of_current(item: Sequence[Token], at: int) -> tuple[str, int]:
    """`AC`, `DC` or `AC or DC`; empty where neither is said."""
    words = [str(token) for token in item[at : at + 3]]
    if words in (["AC", "or", "DC"], ["DC", "or", "AC"]):
        return EITHER, at + 3
    if words and words[0] in ("AC", "DC"):
        return words[0], at + 1
    if words and words[0].upper() in ("AC", "DC"):
        raise PhraseMistake(
            item[at], f"`{words[0]}` is written in capitals", f"write `{words[0].upper()}`"
        )
    return "", at


EITHER = "AC or DC"
"""The kind of what works on both."""


class _TypedSlot(_Slot):
    def __init__(self, says: str, *types: str) -> None:
        super().__init__(says)
        self.types = types

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at < len(item) and item[at].type in self.types:
            return str(item[at].value), at + 1
        return None


class _CountSlot(_Slot):
    types = ("NUMBER",)

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at < len(item) and item[at].type == "NUMBER" and item[at].value.isdecimal():
            return _count(item[at], item[at].value), at + 1
        return None


MOST_COUNTED = 9_999


def _count(token: Token, digits: str) -> int:
    if len(digits) > 9 or not 0 < int(digits) <= MOST_COUNTED:
        raise PhraseMistake(
            token, f"`{token}` cannot be a count", f"counts go from 1 to {MOST_COUNTED:,}"
        )
    return int(digits)


class _NumberSlot(_Slot):
    types = ("NUMBER",)

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at >= len(item) or item[at].type != "NUMBER":
            return None
        if len(item[at]) > MOST_DIGITS:
            raise PhraseMistake(
                item[at], f"`{item[at]}` has more than {MOST_DIGITS} digits", "write fewer"
            )
        return float(item[at].value), at + 1


class _PolesSlot(_Slot):
    """`2-pole`, `7-core`: the number before the word that the slot names."""

    types = ("COUNTED",)

    def __init__(self, says: str, word: str) -> None:
        super().__init__(says)
        self.word = word

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at < len(item) and item[at].type == "COUNTED":
            count, _, word = item[at].value.partition("-")
            if word == self.word:
                return _count(item[at], count), at + 1
        return None


class _TextSlot(_Slot):
    types = ("STRING",)

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at < len(item) and item[at].type == "STRING":
            return item[at].value[1:-1], at + 1
        return None


class _WordsSlot(_Slot):
    """All the words left in the item, joined by blanks: a location's name, `bed 4`."""

    types = ("WORD", "NAME", "NUMBER")

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        end = at
        while end < len(item) and item[end].type in self.types:
            end += 1
        return (" ".join(item[at:end]), end) if end > at else None


class _VocabularySlot(_Slot):
    types = ("NAME", "MARKS")

    def __init__(self, says: str, words: frozenset[str]) -> None:
        super().__init__(says)
        self.words = words

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at < len(item) and item[at].value in self.words:
            return str(item[at].value), at + 1
        return None


COLOURS = frozenset(
    "black red blue white grey gray green yellow orange brown violet pink bare light-blue".split()
)


class _ColourSlot(_Slot):
    """A colour, or two with a slash: `green/yellow`, `white/blue`."""

    types = ("WORD",)
    words = COLOURS

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at >= len(item):
            return None
        colour = item[at].value
        if colour in COLOURS or ("/" in colour and COLOURS.issuperset(colour.split("/"))):
            return str(colour), at + 1
        return None


INSULATIONS = {
    "TW": 60, "UF": 60, "MTW": 90, "TFFN": 90, "TFN": 90, "TEW": 105, "THW": 75, "THWN": 75,
    "XHHW": 90, "USE": 75, "RHW": 75, "RHH": 90, "THHN": 90, "THWN-2": 90, "XHHW-2": 90,
    "SIS": 90, "PVC": 70, "XLPE": 90, "SOOW": 90, "SJOOW": 90, "SOW": 90,
}  # fmt: skip
"""Insulation types, with the temperature rating in degC where none is said: from memory."""

SLOTS: dict[str, _Slot] = {
    "current": _QuantitySlot("a current (`15 A`)", "current"),
    "power": _QuantitySlot("a power (`3 W`, `1/2 hp`)", "power"),
    "va": _QuantitySlot("an apparent power (`50 VA`)", "apparent power"),
    "resistance": _QuantitySlot("a resistance (`65 ohm`)", "resistance"),
    "length": _QuantitySlot("a length (`1.2 m`, `3 ft`)", "length"),
    "temperature": _QuantitySlot("a temperature (`40 degC`)", "temperature"),
    "time": _QuantitySlot("a time (`5 s`)", "time"),
    "frequency": _QuantitySlot("a frequency (`60 Hz`)", "frequency"),
    "share": _QuantitySlot("a share (`5 %`)", "share"),
    "capacitance": _QuantitySlot("a capacitance (`10 uF`)", "capacitance"),
    "torque": _QuantitySlot("a torque (`9 lb-in`)", "torque"),
    "volts": _QuantitySlot("a voltage (`24 V`)", "voltage"),
    "rating": _RatingSlot("a voltage (`24 V DC`, `120 V AC`)"),
    "size": _SizeSlot("a conductor size (`14 AWG`, `2.5 mm2`)"),
    "marks": _TypedSlot("terminal marks (`13-14`)", "MARKS"),
    "mark": _TypedSlot("a terminal mark (`A1`)", "NAME", "NUMBER", "SIGN"),
    "name": _TypedSlot("a name (`K1`)", "NAME"),
    "position": _TypedSlot("a position (`HAND`)", "NAME", "NUMBER"),
    "count": _CountSlot("a count (`3`)"),
    "number": _NumberSlot("a number (`1.15`)"),
    "poles": _PolesSlot("a number of poles (`2-pole`)", "pole"),
    "cores": _PolesSlot("a number of cores (`7-core`)", "core"),
    "text": _TextSlot('words in double quotes (`"North pump"`)'),
    "words": _WordsSlot("a name in small letters (`pump house`)"),
    "colour": _ColourSlot("a colour (`blue`, `white/blue`)"),
    "insulation": _VocabularySlot("an insulation type (`MTW`)", frozenset(INSULATIONS)),
}


def quantity(token: Token) -> Measure:
    """The quantity a token says.  Raises PhraseMistake with the unit's own mistake."""
    try:
        return _quantity(token.value)
    except UnitMistake as mistake:
        raise PhraseMistake(token, mistake.message, mistake.help) from None


@cache
def _quantity(text: str) -> Measure:
    return read_quantity(text)


# ---- what was met, what would fit --------------------------------------------------------


Fitting = list[tuple[Phrase, _Part]]
"""Phrases that a misfit came furthest in, each with its part that did not fit."""


def _misfit(
    item: Sequence[Token],
    position: int,
    groups: Sequence[Group],
    current: str,
    what: str,
    before: str = "",
) -> PhraseMistake:
    """The mistake at the furthest word that some phrase reached.

    `before` is the template of the phrase that ends where this one begins.
    """
    furthest = position
    fitting: Fitting = []
    candidates = sorted(_candidates(groups, current), key=lambda found: found[0] is None)
    for _, phrase in candidates:
        reached, wanted = _furthest(_compiled(phrase.template), item, position)
        if reached > furthest:
            furthest, fitting = reached, []
        if reached == furthest and wanted:
            fitting.append((phrase, wanted))
    if item[position].type == "QUANTITY" and furthest in (position, len(item)):
        _refuse_bare(item[position], groups, current, what)
    if furthest >= len(item):
        last = item[-1]
        return PhraseMistake(
            last, f"{what}: more should follow `{last}`", f"what fits: {_listed(fitting)}"
        )
    token = item[furthest]
    if furthest > position:
        _refuse_dimension(token, fitting)
    near = _near_word(token, fitting)
    if not near:
        _refuse_unit(item, furthest, groups)
    help = explain_missing_blank(token.value) or (f"did you mean `{near}`?" if near else "")
    help = help or _range_help(item, furthest)
    if not help and furthest == position and before.endswith(":words}"):
        help = f"put a comma after `{item[position - 1]}` if a new property begins here"
    return PhraseMistake(token, _met(token, what), help or f"what fits: {_listed(fitting)}")


_RANGE = re.compile(r"([0-9]+)-([0-9]+)")


def _range_help(item: Sequence[Token], at: int) -> str:
    """`terminals 1-12` and `100-240 V`: a hyphen where the language says `to`."""
    range_ = _RANGE.fullmatch(item[at].value)
    if range_ is None or item[at].type != "MARKS":
        return ""
    if at and item[at - 1] == "terminals":
        return f"write `{range_[1]} to {range_[2]}`"
    unit = item[at + 1] if at + 1 < len(item) else ""
    return f"write `from {range_[1]} {unit} to {range_[2]} {unit}`" if unit in UNITS else ""


def _refuse_bare(token: Token, groups: Sequence[Group], current: str, what: str) -> None:
    """`overload OL1 8 A`: a quantity that fits only with a word that says of what."""
    fits = [
        phrase.example
        for _, phrase in _candidates(groups, current)
        if any(_reads(part, token) for part in _compiled(phrase.template))
    ]
    fits += [
        group.head.example
        for group in groups
        if group.head is not None
        and group.key != current
        and any(_reads(_compiled(one.template)[0], token) for one in group.properties)
    ]
    if fits:
        met = with_article(quantity(token).dimension)
        several = ", ".join(f"`{example}`" for example in dict.fromkeys(fits))
        raise PhraseMistake(token, f"{what}: `{token}` is {met}, of what?", f"what fits: {several}")


def _reads(part: _Part, token: Token) -> bool:
    return bool(part.slot) and SLOTS[part.slot].read((token,), 0) is not None


def _met(token: Token, what: str) -> str:
    if token.type == "QUANTITY":
        met = with_article(quantity(token).dimension)
        return f"{what}: `{token}` is {met}, which does not fit here"
    return f"{what}: `{token}` is not understood here"


def _near_word(token: Token, fitting: Fitting) -> str:
    """The word that should have stood here, or that begins a phrase, where it is much alike."""
    if token.value in OTHER_PROPERTIES:
        return OTHER_PROPERTIES[token.value]
    if token.type in ("COUNTED", "QUANTITY", "NUMBER", "MARKS"):
        return ""
    words = {word for _, part in fitting for word in part.words}
    words |= {word for _, part in fitting if part.slot for word in SLOTS[part.slot].words}
    words |= {
        word
        for phrase, _ in fitting
        for part in _compiled(phrase.template)[:1]
        for word in part.words
    }
    return nearest(token.value, sorted(words))


OTHER_PROPERTIES = {
    "NO": "normally open", "NC": "normally closed", "normally-open": "normally open",
    "normally-closed": "normally closed", "changeover": "change-over", "CO": "change-over",
    "SPDT": "change-over 11-12-14", "aux": "auxiliary", "slow": "time-delay",
    "time": "time-delay", "curve": "trip curve", "single-pole": "1-pole", "two-pole": "2-pole",
    "double-pole": "2-pole", "three-pole": "3-pole", "four-pole": "4-pole",
    "1-phase": "single-phase", "3-phase": "three-phase", "earthed": "grounded",
    "unearthed": "ungrounded", "NPN": "three-wire NPN", "PNP": "three-wire PNP",
    "momentary": "button", "aluminum": "aluminium", "stranded": "flexible",
}  # fmt: skip
"""Other words of the trade for properties, and ours."""


def _refuse_dimension(token: Token, fitting: Fitting) -> None:
    """`set 8 V` where nothing but a current fits."""
    slots = {SLOTS[part.slot] for _, part in fitting if part.slot}
    if token.type != "QUANTITY" or len(slots) != 1 or any(part.words for _, part in fitting):
        return
    slot = slots.pop()
    if isinstance(slot, _QuantitySlot):
        mistake = wrong_dimension(quantity(token), slot.dimensions[0])
        raise PhraseMistake(token, mistake.message, mistake.help)


def _refuse_unit(item: Sequence[Token], at: int, groups: Sequence[Group]) -> None:
    """`15 Amps`: a number, and a word that is no unit here."""
    first = at - 1 if at and item[at].type != "NUMBER" else at
    if item[first].type != "NUMBER" or first + 1 >= len(item):
        return
    number, unit = item[first], item[first + 1]
    if unit.type not in ("WORD", "NAME") or unit in _first_words(groups):
        return
    if unit in ("pole", "poles", "core", "phase"):
        hyphenated = f"{number}-{unit.removesuffix('s')}"
        raise PhraseMistake(unit, f"`{number} {unit}` is written in one", f"write `{hyphenated}`")
    try:
        read_quantity(f"{number} {unit}")
    except UnitMistake as mistake:
        if mistake.tells:
            raise PhraseMistake(unit, mistake.message, mistake.help) from None


def _first_words(groups: Sequence[Group]) -> set[str]:
    """The words that the phrases of a kind begin with."""
    phrases = [one for group in groups for one in (*group.properties, group.head) if one]
    return {word for one in phrases for word in _start(_compiled(one.template))[0]}


def _refuse_decimal_comma(
    item: Sequence[Token], position: int, following: Sequence[Sequence[Token]]
) -> None:
    """`0,5 m` or `1,500 W`: a comma inside a number parts it."""
    if not following or position != len(item) - 1 or item[-1].type != "NUMBER":
        return
    whole, rest = item[-1], following[0][0]
    touching = rest.line == whole.line and rest.column == (whole.end_column or 0) + 1
    if not touching or rest.type not in ("QUANTITY", "NUMBER"):
        return
    point = f"`{whole}.{rest}`"
    thousands = f" or `{whole}{rest}`" if len(rest.split()[0]) == 3 else ""
    raise PhraseMistake(
        whole, f"the comma in `{whole},{rest}` parts the number", f"write {point}{thousands}"
    )


def _refuse_next_statement(
    item: Sequence[Token], position: int, last: Token | None, what: str
) -> None:
    """A statement's first word on a new line, where the line before ends in a comma."""
    token = item[position]
    if position or last is None or (token.line or 1) <= (last.line or 1):
        return
    firsts = {word.split()[0] for word in statement_words() + kind_words()}
    if token.value in firsts:
        raise PhraseMistake(token, _met(token, what), CONTINUED)


def _listed(fitting: list[tuple[Phrase, _Part]]) -> str:
    shown: list[str] = []
    for phrase, part in fitting:
        text = f"`{phrase.example}`" if phrase.example else _says(part)
        if text not in shown:
            shown.append(text)
    return ", ".join(shown[:8]) + (f" and {len(shown) - 8} more" if len(shown) > 8 else "")


def _says(part: _Part) -> str:
    return SLOTS[part.slot].says if part.slot else " or ".join(f"`{word}`" for word in part.words)


def _furthest(parts: Sequence[_Part], item: Sequence[Token], at: int) -> tuple[int, _Part | None]:
    """How far a template fits, and the part that no longer did."""
    for part in parts:
        if part.optional:
            inner = _match_parts(part.optional, item, at, {})
            at = at if inner is None else inner
            continue
        end = _match_parts((part,), item, at, {})
        if end is None:
            return at, part
        at = end
    return at, None
