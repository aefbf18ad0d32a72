"""Characters that a text may not hold, or holds by the hand of a word processor.

What is written must be what is read: characters that cannot be seen are refused, and
look-alikes of the marks this language uses are named with what to write for them.
"""

from __future__ import annotations

import re
import unicodedata

HIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]"
)
"""Control characters, and those that turn the direction of writing; tabs and line ends apart."""

LOOK_ALIKES = {
    "\u201c": '"', "\u201d": '"', "\u201e": '"', "\u00ab": '"', "\u00bb": '"', "\uff02": '"',
    "\u2018": "'", "\u2019": "'",
    "\u2010": "-", "\u2011": "-", "\u2013": "-", "\u2212": "-", "\u2014": "--", "\u2015": "--",
    "\u00d7": "x", "\u00b2": "2", "\u00b0": "degC", "\u2126": "ohm", "\u2044": "/",
    "\u00bd": "1/2", "\u00bc": "1/4", "\u00be": "3/4", "\uff1a": ":", "\uff0c": ",", "\uff1b": ";",
}  # fmt: skip

_QUOTED = r'"[^"\n]*"'


def hidden_in(line: str) -> tuple[int, str] | None:
    """Where (from 0) a line holds a hidden character, and the mistake in words."""
    found = HIDDEN.search(line)
    if found is None:
        return None
    return found.start(), f"a character that cannot be seen stands here ({_code(found.group())})"


def odd_in(text: str) -> tuple[int, str, str, str] | None:
    """The first odd character outside quotes: where, itself, the mistake, what to write.

    Letters of any script are read in names and words; figures are 0 to 9 alone.
    """
    for position, character in enumerate(re.sub(_QUOTED, lambda m: " " * len(m.group()), text)):
        if character.isascii() or character.isalpha():
            continue
        if character in LOOK_ALIKES:
            ours = LOOK_ALIKES[character]
            return position, character, f"`{character}` is not read here", f"write `{ours}`"
        if character.isspace():
            return position, character, "this is no ordinary blank", "write a blank in its place"
        if character.isnumeric():
            return (
                position,
                character,
                f"`{character}` is not read as a number",
                "write numbers with the figures 0 to 9",
            )
        return (
            position,
            character,
            f"`{character}` ({_code(character)}) is not read outside double quotes",
            "leave it out, or put it into a description or a remark",
        )
    return None


def foreign_letters(name: str) -> str:
    """A word on letters of a name that only look like A to Z, or nothing."""
    for character in name:
        if not character.isascii():
            return f"`{character}` in it is {unicodedata.name(character, 'no letter').lower()}"
    return ""


def _code(character: str) -> str:
    name = unicodedata.name(character, "")
    return f"U+{ord(character):04X}" + (f", {name.lower()}" if name else "")
