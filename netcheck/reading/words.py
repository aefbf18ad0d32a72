"""The words of the language, taken from its grammar: kinds of device, keywords."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from netcheck.data import package_text
from netcheck.reading.units import UNITS

_DEFINITION = r"(?m)^([A-Z_]+)(?:\.\d+)?:((?:.|\n[ \t])*)"
_PIECE = r'"([^"]*)"|([A-Z_]+)|([()|])'


@cache
def grammar_text() -> str:
    """The grammar with the unit names, which pint decides, put in their place."""
    return package_text("grammar", "panel.lark").replace("UNITS", "|".join(UNITS))


@cache
def spoken(terminal: str) -> tuple[str, ...]:
    """The words a keyword of the grammar stands for: `drop limit`; none for names and numbers."""
    definition = _definitions().get(terminal, "")
    if "/" in definition.replace("END_OF_WORD", ""):
        return ()
    pieces: list[Piece] = [
        (match[1] or "", match[2] or "", match[3] or "")
        for match in re.finditer(_PIECE, definition)
    ]
    found, rest = _either(pieces, 0)
    assert rest == len(pieces), terminal
    return tuple(dict.fromkeys(word.strip() for word in found if word.strip()))


@cache
def keywords() -> dict[str, tuple[str, ...]]:
    """Every keyword terminal with its words."""
    return {name: words for name in _definitions() if (words := spoken(name))}


@cache
def kind_words() -> tuple[str, ...]:
    """Every kind of device."""
    return spoken("KIND")


@cache
def statement_words() -> tuple[str, ...]:
    """The words that statements begin with, kinds of device apart."""
    grammar = grammar_text()
    start = re.search(r"^\?start:((?:.|\n[ ])*)", grammar, re.MULTILINE)
    assert start is not None
    firsts = dict(re.findall(r"^(\w+):[ ]([A-Z_]+)\b", grammar, re.MULTILINE))
    opening = [firsts[rule] for rule in re.findall(r"\w+", start[1]) if rule in firsts]
    return tuple(word for name in opening if name != "KIND" for word in spoken(name))


@cache
def _definitions() -> dict[str, str]:
    return {match[1]: match[2] for match in re.finditer(_DEFINITION, grammar_text())}


Piece = tuple[str, str, str]


def _either(pieces: list[Piece], at: int) -> tuple[list[str], int]:
    """All the wordings of `a | b | ...` from `at` to its end or its closing bracket."""
    found: list[str] = []
    while True:
        one, at = _sequence(pieces, at)
        found += one
        if at < len(pieces) and pieces[at][2] == "|":
            at += 1
            continue
        return found, at


def _sequence(pieces: list[Piece], at: int) -> tuple[list[str], int]:
    found = [""]
    while at < len(pieces) and pieces[at][2] not in ("|", ")"):
        text, name, bracket = pieces[at]
        if bracket:
            options, at = _either(pieces, at + 1)
        else:
            options = list(_wordings(text, name))
        at += 1
        found = [before + option for before in found for option in options]
    return found, at


def _wordings(text: str, name: str) -> Iterator[str]:
    if text:
        yield text
    elif name == "BLANK":
        yield " "
    elif name == "END_OF_WORD":
        yield ""
    else:
        yield from spoken(name)
