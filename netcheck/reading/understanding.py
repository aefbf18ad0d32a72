"""Items of a statement understood: which phrase each of their words belongs to.

Of all phrases that fit at a place the longest wins.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from netcheck.reading.phrases import REPEATABLE, Group, Phrase, Said, candidates
from netcheck.reading.slots import dimension_of
from netcheck.reading.statements import Facets
from netcheck.reading.templates import compiled, match_pieces, start
from netcheck.reading.token import Token
from netcheck.reading.values import PhraseMistake, Unbelievable, Value


def understand(
    facets: Facets,
    groups: Sequence[Group],
    what: str,
    spared: Callable[[PhraseMistake], None] | None = None,
) -> list[Said]:
    """The groups said in `facets`, the device's own always first.

    Raises PhraseMistake at the first word that fits nothing; `what` names the
    thing described (`breaker CB1`).  With `spared`, which is told of it, a value that cannot be
    costs only its own item.
    """
    own = Said(groups[0].key)
    said = [own]
    last: Token | None = None
    for facet in facets:
        current = own
        for number, item in enumerate(facet):
            position, before = 0, ""
            while position < len(item):
                try:
                    group, match = _best(item, position, groups, current.key)
                except Unbelievable as mistake:
                    if spared is None:
                        raise
                    spared(mistake)
                    break
                if match is None:
                    from netcheck.reading import misfits  # only for a mistake

                    misfits.refuse_next_statement(item, position, last, what)
                    misfits.refuse_decimal_comma(item, position, facet[number + 1 : number + 2])
                    raise misfits.misfit(item, position, groups, current.key, what, before)
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
    words = " ".join(item[start:end])
    return Token(first.type, words, first.line, first.column, last.end_column)


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
        from netcheck.reading.misfits import misfit

        raise misfit(item, position, groups, current, what)


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


class _Openers:
    """The phrases that can begin with a word: most of a kind's phrases cannot."""

    def __init__(self, candidates: Sequence[tuple[Group | None, Phrase]]) -> None:
        self._starts = [(start(compiled(found[1].template)), found) for found in candidates]
        self._words = {word for (words, _), _ in self._starts for word in words}
        self._known: dict[tuple[str, str, str], list[tuple[Group | None, Phrase]]] = {}

    def of(self, token: Token) -> list[tuple[Group | None, Phrase]]:
        """In their order, the phrases that begin with this word or a slot that may take it."""
        word, type_ = token.value if token.value in self._words else "", token.type
        key = word, type_, dimension_of(token) if type_ == "QUANTITY" else ""
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = [
                found
                for (words, slots), found in self._starts
                if word in words or any(slot.may_begin(type_, key[2]) for slot in slots)
            ]
        return known


_KNOWN_OPENERS: dict[tuple[int, str], tuple[Sequence[Group], _Openers]] = {}
"""By the identity of a kind's groups; they are kept with it, so that no other takes it over."""


def _openers(groups: Sequence[Group], current: str) -> _Openers:
    key = id(groups), current
    if key not in _KNOWN_OPENERS:
        _KNOWN_OPENERS[key] = groups, _Openers(list(candidates(groups, current)))
    return _KNOWN_OPENERS[key][1]


def _match(
    phrase: Phrase, item: Sequence[Token], position: int
) -> tuple[dict[str, Value], int] | None:
    values: dict[str, Value] = {}
    end = match_pieces(compiled(phrase.template), item, position, values)
    return None if end is None else (values, end)
