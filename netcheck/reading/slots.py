"""Slots of a phrase: each reads one value from the words of a statement."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.reading.believable import refuse_unbelievable
from netcheck.reading.quantities import ConductorSize, Quantity, SystemVoltage
from netcheck.reading.token import Token
from netcheck.reading.unit_mistakes import MOST_DIGITS
from netcheck.reading.units import UNIT_TABLE
from netcheck.reading.values import EITHER, PHASES, PhraseMistake, Rating, Value, quantity


def dimension_of(token: Token) -> str:
    """What a quantity's unit is of, without reading its number."""
    words = token.value.split()
    known = UNIT_TABLE.get("N m" if words[-2:] == ["N", "m"] else words[-1])
    return known.dimension if known is not None else ConductorSize.dimension


class Slot:
    """Reads one value from tokens; `says` is how an error names what would fit."""

    types: tuple[str, ...] = ()
    """Types of the token it may begin with; any where none is named."""
    words: frozenset[str] = frozenset()
    """All that may be said, where that is a list."""

    dimensions: tuple[str, ...] = ()
    """Of a quantity, the dimensions that it takes."""

    def __init__(self, says: str) -> None:
        self.says = says

    def may_begin(self, type_: str, dimension: str) -> bool:
        """Whether a token of this type, and of this dimension if it is a quantity, may do."""
        if type_ == "QUANTITY" and self.dimensions:
            return dimension in self.dimensions
        return not self.types or type_ in self.types

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        raise NotImplementedError


class QuantitySlot(Slot):
    types = ("QUANTITY",)

    def __init__(self, says: str, *dimensions: str, nought: bool = False) -> None:
        super().__init__(says)
        self.dimensions = dimensions
        self.nought = nought

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at >= len(item) or item[at].type != "QUANTITY":
            return None
        value = quantity(item[at])
        if isinstance(value, Quantity) and value.dimension in self.dimensions:
            refuse_unbelievable(item[at], value, self.nought)
            return value, at + 1
        return None


class _SizeSlot(Slot):
    types = ("QUANTITY",)
    dimensions = (ConductorSize.dimension,)

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at >= len(item) or item[at].type != "QUANTITY":
            return None
        value = quantity(item[at])
        return (value, at + 1) if isinstance(value, ConductorSize) else None


class _RatingSlot(Slot):
    types = ("QUANTITY",)
    dimensions = ("voltage",)

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
        if isinstance(value, Quantity):
            refuse_unbelievable(item[at], value, nought=False)
        kind, at = _kind_of_current(item, at + 1)
        hertz: float | None = None
        phases: int | None = None
        while at < len(item):
            more = quantity(item[at]) if item[at].type == "QUANTITY" else None
            if hertz is None and isinstance(more, Quantity) and more.dimension == "frequency":
                refuse_unbelievable(item[at], more, nought=False)
                hertz = more.value
            elif phases is None and item[at].value in PHASES:
                phases = PHASES[item[at].value]
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


class _TypedSlot(Slot):
    def __init__(self, says: str, *types: str) -> None:
        super().__init__(says)
        self.types = types

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at < len(item) and item[at].type in self.types:
            return str(item[at].value), at + 1
        return None


class _CountSlot(Slot):
    types = ("NUMBER",)

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        alone = len(item) == 1  # as the `0` of `0,5 m` is, which a comma parts
        if at < len(item) and not alone and item[at].type == "NUMBER" and item[at].isdecimal():
            return _count(item[at], item[at].value), at + 1
        return None


MOST_COUNTED = 9_999


def _count(token: Token, digits: str) -> int:
    if len(digits) > 9 or not 0 < int(digits) <= MOST_COUNTED:
        raise PhraseMistake(
            token, f"`{token}` cannot be a count", f"counts go from 1 to {MOST_COUNTED:,}"
        )
    return int(digits)


class _NumberSlot(Slot):
    types = ("NUMBER",)

    def __init__(self, says: str, least: float = 0.001, most: float = float("inf")) -> None:
        super().__init__(says)
        self.least, self.most = least, most

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at >= len(item) or item[at].type != "NUMBER":
            return None
        if len(item[at]) > MOST_DIGITS:
            raise PhraseMistake(
                item[at], f"`{item[at]}` has more than {MOST_DIGITS} digits", "write fewer"
            )
        value = float(item[at].value)
        if not self.least <= value <= self.most:
            raise PhraseMistake(item[at], f"`{item[at]}` cannot be right", f"write {self.says}")
        return value, at + 1


class _PolesSlot(Slot):
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


class _TextSlot(Slot):
    types = ("STRING",)

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at < len(item) and item[at].type == "STRING":
            return item[at].value[1:-1], at + 1
        return None


class _WordsSlot(Slot):
    """All the words left in the item, joined by blanks: a location's name, `bed 4`."""

    types = ("WORD", "NAME", "NUMBER")

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        end = at
        while end < len(item) and item[end].type in self.types:
            end += 1
        return (" ".join(item[at:end]), end) if end > at else None


class _VocabularySlot(Slot):
    types = ("NAME", "MARKS")

    def __init__(self, says: str, words: frozenset[str]) -> None:
        super().__init__(says)
        self.words = words

    def read(self, item: Sequence[Token], at: int) -> tuple[Value, int] | None:
        if at < len(item) and item[at].value in self.words:
            return str(item[at].value), at + 1
        return None


COLOURS = frozenset(
    "black red blue white grey gray green yellow orange brown violet pink turquoise bare "
    "light-blue".split()
)


class _ColourSlot(Slot):
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
    "SIS": 90, "RHW-2": 90, "USE-2": 90, "TC": 90, "H05V-K": 70, "H07V-K": 70, "H05V2-K": 90,
    "PVC": 70, "XLPE": 90, "SOOW": 90, "SJOOW": 90, "SOW": 90,
}  # fmt: skip
"""Insulation types, with the temperature rating in degC where none is said: from memory."""

SLOTS: dict[str, Slot] = {
    "current": QuantitySlot("a current (`15 A`)", "current"),
    "leakage": QuantitySlot("a current that may be none (`1.5 mA`)", "current", nought=True),
    "power": QuantitySlot("a power (`3 W`, `1/2 hp`)", "power"),
    "va": QuantitySlot("an apparent power (`50 VA`)", "apparent power"),
    "resistance": QuantitySlot("a resistance (`65 ohm`)", "resistance"),
    "length": QuantitySlot("a length (`1.2 m`, `3 ft`)", "length"),
    "temperature": QuantitySlot("a temperature (`40 degC`)", "temperature"),
    "time": QuantitySlot("a time (`5 s`)", "time"),
    "frequency": QuantitySlot("a frequency (`60 Hz`)", "frequency"),
    "share": QuantitySlot("a share (`5 %`)", "share"),
    "capacitance": QuantitySlot("a capacitance (`10 uF`)", "capacitance"),
    "torque": QuantitySlot("a torque (`9 lb-in`)", "torque"),
    "volts": QuantitySlot("a voltage (`24 V`)", "voltage"),
    "rating": _RatingSlot("a voltage (`24 V DC`, `120 V AC`)"),
    "size": _SizeSlot("a conductor size (`14 AWG`, `2.5 mm2`)"),
    "marks": _TypedSlot("terminal marks (`13-14`)", "MARKS"),
    "mark": _TypedSlot("a terminal mark (`A1`)", "NAME", "NUMBER", "SIGN", "MARK"),
    "name": _TypedSlot("a name (`K1`)", "NAME"),
    "position": _TypedSlot("a position (`HAND`)", "NAME", "NUMBER"),
    "count": _CountSlot("a count (`3`)"),
    "number": _NumberSlot("a number (`1.15`)"),
    "cosine": _NumberSlot("a number up to 1 (`0.85`)", most=1.0),
    "margin": _NumberSlot("a number from 1 to 2 (`1.15`)", 1.0, 2.0),
    "poles": _PolesSlot("a number of poles (`2-pole`)", "pole"),
    "leads": _PolesSlot("a number of leads (`6-lead`)", "lead"),
    "pins": _PolesSlot("a number of pins (`11-pin`)", "pin"),
    "cores": _PolesSlot("a number of cores (`7-core`)", "core"),
    "text": _TextSlot('words in double quotes (`"North pump"`)'),
    "words": _WordsSlot("a name in small letters (`pump house`)"),
    "colour": _ColourSlot("a colour (`blue`, `white/blue`)"),
    "insulation": _VocabularySlot("an insulation type (`MTW`)", frozenset(INSULATIONS)),
}
