"""Words that fit no phrase: what was met, what would fit."""

from __future__ import annotations

import re
from collections.abc import Sequence

from netcheck.reading.mistakes import CONTINUED
from netcheck.reading.near import nearest
from netcheck.reading.phrases import Group, Phrase, candidates
from netcheck.reading.quantities import (
    UNITS,
    UnitMistake,
    explain_missing_blank,
    read_quantity,
    wrong_dimension,
)
from netcheck.reading.slots import SLOTS, QuantitySlot
from netcheck.reading.templates import Piece, compiled, how_far, start
from netcheck.reading.token import Token
from netcheck.reading.unit_mistakes import with_article
from netcheck.reading.values import PhraseMistake, quantity
from netcheck.reading.words import kind_words, statement_words

Fitting = list[tuple[Phrase, Piece]]
"""Phrases that a misfit came furthest in, each with its part that did not fit."""


def misfit(
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
    heads_first = sorted(candidates(groups, current), key=lambda found: found[0] is None)
    for _, phrase in heads_first:
        reached, wanted = how_far(compiled(phrase.template), item, position)
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
    templates = [phrase.template for _, phrase in candidates(groups, current)]
    own = _poles_help(item, furthest, templates) or _ground_help(token, templates)
    if what == "this circuit" and token == "breaker":
        own = "the line of a circuit breaker begins with `breaker`"
    if own:
        return PhraseMistake(token, _met(token, what), own)
    near = _near_word(token, fitting)
    if not near:
        _refuse_unit(item, furthest, groups)
    if token.type == "MARKS" and any(t.endswith(" in {positions:position...}") for t in templates):
        return PhraseMistake(
            token, _met(token, what), f"say each by itself: `{token} in HAND; ...`"
        )
    help = explain_missing_blank(token.value) or (f"did you mean `{near}`?" if near else "")
    help = help or _range_help(item, furthest) or _marks_help(token, groups, current)
    if not help and furthest == position and before.endswith(":words}"):
        help = f"put a comma after `{item[position - 1]}` if a new property begins here"
    return PhraseMistake(token, _met(token, what), help or f"what fits: {_listed(fitting)}")


_RANGE = r"([0-9]+)-([0-9]+)"


def _range_help(item: Sequence[Token], at: int) -> str:
    """`terminals 1-12` and `100-240 V`: a hyphen where the language says `to`."""
    range_ = re.fullmatch(_RANGE, item[at].value)
    if range_ is None or item[at].type != "MARKS":
        return ""
    if at and item[at - 1] == "terminals":
        return f"write `{range_[1]} to {range_[2]}`"
    unit = item[at + 1] if at + 1 < len(item) else ""
    return f"write `from {range_[1]} {unit} to {range_[2]} {unit}`" if unit in UNITS else ""


POLES = {
    "single": 1, "one": 1, "double": 2, "two": 2, "triple": 3, "three": 3, "four": 4,
    "1": 1, "2": 2, "3": 3, "4": 4,
}  # fmt: skip
_MANY = "|".join(POLES)
_COUNTED = rf"({_MANY})(?:[- ](?:(?:main |power )?poles?|(?:main|power) contacts)|-?[Pp])(?![\w-])"


def _poles_help(item: Sequence[Token], at: int, templates: Sequence[str]) -> str:
    """`two-pole`, `3-pole` of a contactor, `3 poles` of a breaker: each says it in its own way."""
    count = next(
        filter(None, (_poles_said(item[first:]) for first in range(max(at - 2, 0), at + 1))), 0
    )
    if not count:
        return ""
    if any(" main pole" in template for template in templates):
        return f"did you mean `{count} main pole{'s' if count > 1 else ''}`?"
    if "{poles:poles}" in templates:
        # `2 pole` lacks but its hyphen, which is told of any such word.
        bare = item[at] == "pole" and item[at - 1].type == "NUMBER"
        return "" if bare else f"did you mean `{count}-pole`?"
    if any("change-over {" in template for template in templates):
        return "say each of its contacts: `normally open 13-14 23-24`, `change-over 11-12-14`"
    return ""


def _poles_said(words: Sequence[Token]) -> int:
    """The number of poles that these words begin with; 0 where they do not."""
    said = " ".join(words[:3])
    found = re.match(_COUNTED, said) or re.match(rf"(?:main |power )poles? ({_MANY})\b", said)
    return POLES[found[1]] if found is not None else 0


def _ground_help(token: Token, templates: Sequence[str]) -> str:
    """`grounded`, without saying what is."""
    if token not in ("grounded", "earthed") or "{pole:mark} grounded" not in templates:
        return ""
    return "say which pole is: `N grounded`, `0V grounded`"


def _marks_help(token: Token, groups: Sequence[Group], current: str) -> str:
    """`button S1 11-12`: marks that nobody says the kind of contact of.

    Their last figures tell it: 1 and 2 of one that opens, 3 and 4 of one that closes
    (EN 50013, from memory).
    """
    marks = re.fullmatch(_RANGE, token.value)
    templates = [phrase.template for _, phrase in candidates(groups, current)]
    if marks is None or token.type != "MARKS":
        return ""
    if not any(template.startswith("normally {rest:") for template in templates):
        return ""
    kind = {("1", "2"): "closed", ("3", "4"): "open"}.get((marks[1][-1], marks[2][-1]))
    if kind:
        return f"did you mean `normally {kind} {token}`?"
    return f"of a contact say which: `normally open {token}` or `normally closed {token}`"


def _refuse_bare(token: Token, groups: Sequence[Group], current: str, what: str) -> None:
    """`overload OL1 8 A`: a quantity that fits only with a word that says of what."""
    fits = [
        phrase.example
        for _, phrase in candidates(groups, current)
        if any(_reads(part, token) for part in compiled(phrase.template))
    ]
    fits += [
        group.head.example
        for group in groups
        if group.head is not None
        and group.key != current
        and any(_reads(compiled(one.template)[0], token) for one in group.properties)
    ]
    if fits:
        met = with_article(quantity(token).dimension)
        several = ", ".join(f"`{example}`" for example in dict.fromkeys(fits))
        raise PhraseMistake(token, f"{what}: `{token}` is {met}, of what?", f"what fits: {several}")


def _reads(part: Piece, token: Token) -> bool:
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
        for part in compiled(phrase.template)[:1]
        for word in part.words
    }
    return nearest(token.value, sorted(words))


OTHER_PROPERTIES = {
    "NO": "normally open", "NC": "normally closed", "normally-open": "normally open",
    "normally-closed": "normally closed", "changeover": "change-over", "CO": "change-over",
    "SPDT": "change-over 11-12-14", "DPDT": "change-over 11-12-14 21-22-24",
    "aux": "auxiliary", "slow": "time-delay",
    "time": "time-delay", "curve": "trip curve", "form": "change-over 11-12-14",
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
    if isinstance(slot, QuantitySlot):
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
    if unit in ("pole", "poles", "core", "phase", "lead", "leads"):
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
    return {word for one in phrases for word in start(compiled(one.template))[0]}


def refuse_decimal_comma(
    item: Sequence[Token], position: int, following: Sequence[Sequence[Token]]
) -> None:
    """`0,5 m` or `1,500 W`: a comma inside a number parts it."""
    if not following or position != len(item) - 1 or item[-1].type != "NUMBER":
        return
    whole, rest = item[-1], following[0][0]
    touching = rest.line == whole.line and rest.column == whole.end_column + 1
    if not touching or rest.type not in ("QUANTITY", "NUMBER"):
        return
    point = f"`{whole}.{rest}`"
    thousands = f" or `{whole}{rest}`" if len(rest.split()[0]) == 3 else ""
    raise PhraseMistake(
        whole, f"the comma in `{whole},{rest}` parts the number", f"write {point}{thousands}"
    )


def refuse_next_statement(
    item: Sequence[Token], position: int, last: Token | None, what: str
) -> None:
    """A statement's first word on a new line, where the line before ends in a comma."""
    token = item[position]
    if position or last is None or (token.line or 1) <= (last.line or 1):
        return
    firsts = {word.split()[0] for word in statement_words() + kind_words()}
    if token.value in firsts:
        raise PhraseMistake(token, _met(token, what), CONTINUED)


def _listed(fitting: list[tuple[Phrase, Piece]]) -> str:
    shown: list[str] = []
    for phrase, part in fitting:
        text = f"`{phrase.example}`" if phrase.example else _says(part)
        if text not in shown:
            shown.append(text)
    return ", ".join(shown[:8]) + (f" and {len(shown) - 8} more" if len(shown) > 8 else "")


def _says(part: Piece) -> str:
    return SLOTS[part.slot].says if part.slot else " or ".join(f"`{word}`" for word in part.words)
