"""Bad input to one clear sentence: what was met, what would fit, a near name.

No name of the grammar's own terminals ever reaches a user.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable

from lark import Token, UnexpectedCharacters, UnexpectedEOF, UnexpectedInput, UnexpectedToken

from netcheck.finding import Mistake, Place
from netcheck.reading.statements import Origin
from netcheck.reading.units import UNITS
from netcheck.text import Span

STATEMENT_WORDS = (
    "panel practice ambient numbers terminals bundling reviewed location include cable circuit "
    "assembly connections given use end opposing assume intent accept wire"
).split() + ["wire kind", "mechanical interlock", "drop limit"]

KINDS = (
    "source battery supply transformer edge disconnect breaker fuse overload contactor relay button "
    "selector switch sensor controller drive resistor heater motor lamp valve horn receptacle strip "
    "terminal bond diode suppressor capacitor ammeter voltmeter shunt choke device"
).split() + [
    "latching relay", "on-delay timer", "off-delay timer", "emergency stop", "limit switch",
    "float switch", "pressure switch", "temperature switch", "flow switch", "proximity switch",
    "solid-state relay", "soft starter", "grounding bar", "neutral bar", "current transformer",
]  # fmt: skip

_SAID = {
    "NAME": "a name (`K1`)",
    "TERMINAL": "a terminal (`K1:A1`)",
    "PASS": "a way through a device (`K1:A1-A2`)",
    "WIRE": "a wire (`--201--`)",
    "STRING": 'words in double quotes (`"North pump"`)',
    "NUMBER": "a number",
    "MARKS": "terminal marks (`13-14`)",
    "QUANTITY": "a quantity with its unit (`15 A`)",
    "WORD": "a word in small letters",
    "COUNTED": "a count (`2-pole`)",
    "DATE": "a date (`2027-01-31`)",
    "COLON": "`:`",
    "COMMA": "`,`",
    "SEMICOLON": "`;`",
    "LPAR": "`(`",
    "RPAR": "`)`",
    "$END": "the end of the line",
    "SETTING_NAME": "a setting (`<POWER>`)",
    "SIGN": "`+` or `-`",
    "EVEN_IF": "`even if any one wire opens`",
    "AT_EVERY_INSTANT": "`at every instant`",
    "RUNS_OUT_BEFORE": "`runs out before`",
    "ARE_NEVER": "`are never`",
}
_WORD_TOKENS = (
    "TO ON UNTIL AND OR NOT IS HAS WHENEVER NEVER ALWAYS SOMETIMES TOGETHER AS WITH".split()
)
_SAID.update({word: f"`{word.lower()}`" for word in _WORD_TOKENS})
_ATOMS = {
    "NAME",
    "MARKS",
    "COUNTED",
    "NUMBER",
    "QUANTITY",
    "STRING",
    "SIGN",
    "WORD",
    "SETTING_NAME",
}


def too_long(origin: Origin, length: int, limit: int) -> Mistake:
    return Mistake(
        f"this statement has {length} characters; {limit} is the most one may have",
        Place(Span(origin.path, origin.first_line, 1, 2), "starts here"),
        "break it into several statements",
    )


def explain(error: UnexpectedInput, text: str, origin: Origin) -> Mistake:
    """The mistake behind a parser's refusal of one statement's `text`."""
    line, column, met = _where(error, text)
    span = Span(origin.path, origin.first_line + line - 1, column, column + max(len(met), 1))
    expected = _expected(error)
    for look in (_unclosed_text, _wrong_start, _glued_wire, _glued_unit, _small_name):
        found = look(met, text, line, column, expected)
        if found is not None:
            return Mistake(found[0], Place(span, found[2]), found[1])
    if not met:
        return Mistake(
            f"the line ends after `{_last_word(text)}`",
            Place(span, "more should follow"),
            f"what fits: {_fitting(expected)}",
        )
    return Mistake(
        f"`{met}` does not fit here",
        Place(span, "not understood"),
        f"what fits: {_fitting(expected)}",
    )


def _where(error: UnexpectedInput, text: str) -> tuple[int, int, str]:
    """Line and column within the statement, and the word met there (empty at its end)."""
    if isinstance(error, UnexpectedToken) and error.token.type != "$END":
        token: Token = error.token
        return token.line or 1, token.column or 1, str(token)
    if isinstance(error, UnexpectedCharacters):
        line = text.split("\n")[error.line - 1]
        rest = line[error.column - 1 :]
        word = re.match(r"\S+", rest)
        return error.line, error.column, (word.group() if word else rest[:1])[:60]
    lines = text.rstrip().split("\n")
    return len(lines), len(lines[-1]) + 1, ""


def _expected(error: UnexpectedInput) -> frozenset[str]:
    if isinstance(error, UnexpectedToken):
        return frozenset(error.expected)
    if isinstance(error, UnexpectedCharacters):
        return frozenset(error.allowed or ())
    if isinstance(error, UnexpectedEOF):
        return frozenset(error.expected)
    return frozenset()


def _fitting(expected: Iterable[str]) -> str:
    names = set(expected)
    if names >= _ATOMS - {"STRING", "NAME"}:
        names = (names - _ATOMS) | {"WORD", "QUANTITY", "MARKS"}
    said = [_SAID[name] for name in sorted(names) if name in _SAID]
    return ", ".join(said) if said else "a statement's first word"


def _last_word(text: str) -> str:
    words = text.split()
    return words[-1][-40:] if words else ""


Found = tuple[str, str, str] | None
"""Message, help, label."""


def _unclosed_text(met: str, text: str, line: int, column: int, expected: frozenset[str]) -> Found:
    if met.startswith('"') and text.split("\n")[line - 1][column:].count('"') == 0:
        return (
            "these double quotes are never closed",
            "close them on the same line",
            "opened here",
        )
    return None


def _wrong_start(met: str, text: str, line: int, column: int, expected: frozenset[str]) -> Found:
    if text[: text.find(met)].strip() or line != 1 or not met:
        return None
    word = met.rstrip(":,;")
    known = STATEMENT_WORDS + KINDS
    first_two = " ".join(text.split()[:2])
    near = difflib.get_close_matches(word.lower(), known, 1, 0.6) or difflib.get_close_matches(
        first_two.lower(), known, 1, 0.75
    )
    if word.lower() in known:
        return (
            f"`{word}` is written in small letters at the start of a statement",
            f"write `{word.lower()}`",
            "not understood",
        )
    return (
        f"`{met}` begins no statement",
        f"did you mean `{near[0]}`?"
        if near
        else "a statement begins with a kind of device, a word such as `circuit`, or a terminal",
        "not understood",
    )


def _glued_wire(met: str, text: str, line: int, column: int, expected: frozenset[str]) -> Found:
    whole = _word_at(text, line, column)
    if "--" in whole and "WIRE" in expected | {"WIRE"} and not whole.startswith('"'):
        spaced = re.sub(r"--(?:([^\s-]+)--)?", lambda m: f" {m.group()} ", whole).split()
        return (
            f"`{whole}` runs wires and terminals together",
            f"put blanks around each wire: `{' '.join(spaced)}`",
            "needs blanks",
        )
    return None


def _word_at(text: str, line: int, column: int) -> str:
    row = text.split("\n")[line - 1]
    start = row.rfind(" ", 0, column - 1) + 1
    end = row.find(" ", column - 1)
    return row[start : end if end >= 0 else len(row)].strip()


def _glued_unit(met: str, text: str, line: int, column: int, expected: frozenset[str]) -> Found:
    glued = re.fullmatch(r"(\d+(?:\.\d+)?)([A-Za-z%]\w*)[,;:]?", met)
    if glued and glued.group(2) in UNITS:
        return (
            f"`{met}` runs number and unit together",
            f"write `{glued.group(1)} {glued.group(2)}`",
            "needs a blank",
        )
    return None


def _small_name(met: str, text: str, line: int, column: int, expected: frozenset[str]) -> Found:
    if "NAME" in expected and "WORD" not in expected and re.match(r"[a-z]\w*$", met):
        return (
            f"`{met}` cannot be a name",
            f"a name starts with a capital letter or a digit: `{met[0].upper()}{met[1:]}`",
            "should be a name",
        )
    return None
