"""Templates: how a phrase is written, and how far the words of a statement fit it.

A phrase is written as it is said, with slots where a value stands:

    "{current:current}"                              15 A
    "coil [{marks:marks}]"                           coil, coil A1-A2
    "normally {rest:open|closed} {marks:marks}"      normally open 13-14

Words outside braces must be said as they stand, `a|b` lets either be said,
`{name:a|b}` keeps which one it was, `[...]` may be left out and a slot ending in
`...` may be said several times.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from netcheck.reading.slots import SLOTS, Slot
from netcheck.reading.token import Token
from netcheck.reading.values import PhraseMistake, Value
from netcheck.record import record


@record
class Piece:
    words: tuple[str, ...] = ()
    slot: str = ""
    name: str = ""
    many: bool = False
    optional: tuple[Piece, ...] = ()


@cache
def compiled(template: str) -> tuple[Piece, ...]:
    parts, rest = _compile(template.split(), 0)
    assert rest == len(template.split()), template
    return parts


def _compile(pieces: list[str], at: int) -> tuple[tuple[Piece, ...], int]:
    parts: list[Piece] = []
    while at < len(pieces):
        piece = pieces[at]
        if piece.startswith("["):
            pieces[at] = piece[1:]
            inner, at = _compile(pieces, at)
            parts.append(Piece(optional=inner))
            continue
        closing = piece.endswith("]")
        parts.append(_piece(piece.removesuffix("]")))
        at += 1
        if closing:
            return tuple(parts), at
    return tuple(parts), at


def _piece(piece: str) -> Piece:
    if not piece.startswith("{"):
        return Piece(words=tuple(piece.split("|")))
    name, _, slot = piece[1:-1].partition(":")
    many = slot.endswith("...")
    slot = slot.removesuffix("...")
    if "|" in slot:
        return Piece(words=tuple(slot.split("|")), name=name)
    if slot in SLOTS:
        return Piece(slot=slot, name=name, many=many)
    return Piece(words=(slot,), name=name)


def match_pieces(
    parts: Sequence[Piece], item: Sequence[Token], at: int, values: dict[str, Value]
) -> int | None:
    for part in parts:
        if part.optional:
            inner: dict[str, Value] = {}
            end = match_pieces(part.optional, item, at, inner)
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


def _several(slot: Slot, first: str, item: Sequence[Token], at: int) -> tuple[tuple[str, ...], int]:
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


def how_far(parts: Sequence[Piece], item: Sequence[Token], at: int) -> tuple[int, Piece | None]:
    """How far a template fits, and the part that no longer did."""
    for part in parts:
        if part.optional:
            inner = match_pieces(part.optional, item, at, {})
            at = at if inner is None else inner
            continue
        end = match_pieces((part,), item, at, {})
        if end is None:
            return at, part
        at = end
    return at, None


def start(parts: Sequence[Piece]) -> tuple[set[str], list[Slot]]:
    """The words and slots that a template may begin with."""
    words: set[str] = set()
    slots: list[Slot] = []
    for part in parts:
        if part.optional:
            more_words, more_slots = start(part.optional)
            words |= more_words
            slots += more_slots
            continue
        words.update(part.words)
        if part.slot:
            slots.append(SLOTS[part.slot])
        break
    return words, slots
