"""Edits of a panel's text whose effect is known from the words that were edited, not from netcheck.

Each takes a text and dice, and gives the new text with what a comparison has to say of it; None
where this text holds nothing to edit so.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass

QUOTED = re.compile(r'("[^"]*"|#.*)')
PLAIN_CHAIN = re.compile(r"( +)(\w+:\w+) (--[\w.]*-*)( \([^)]*\))? (\w+:\w+)")
POWER = re.compile(r"^(?:lamp|valve|horn) (\w+)\b.*? (\d+(?:\.\d+)?) W\b", re.MULTILINE)


@dataclass(frozen=True)
class Edited:
    """A text, and what of it is another: `(of, kind)`, and the names where they are known."""

    text: str
    changes: frozenset[tuple[str, str]] = frozenset()
    before: str = ""
    after: str = ""
    judged_alike: bool = True
    """Whether no finding may come or go: nothing that a rule looks at has changed."""


Edit = Callable[[str, random.Random], Edited | None]


def outside_quotes(text: str, pattern: str, new: str) -> str:
    """Every match replaced, but for names in quotes and remarks."""
    pieces = QUOTED.split(text)
    return "".join(
        piece if number % 2 else re.sub(pattern, new, piece) for number, piece in enumerate(pieces)
    )


def reordered(text: str, dice: random.Random) -> Edited | None:
    """The lines of one circuit in another order."""
    lines = text.split("\n")
    runs, run = [], list[int]()
    for number, line in enumerate([*lines, ""]):
        if line.startswith("  ") and " --" in line and not line.rstrip().endswith((",", ";")):
            run.append(number)
        else:
            runs += [run] if len(run) > 1 else []
            run = []
    if not runs:
        return None
    run = dice.choice(runs)
    moved = dice.sample(run, len(run))
    changed = list(lines)
    for number, other in zip(run, moved, strict=True):
        changed[number] = lines[other]
    return Edited("\n".join(changed))


def retraced(text: str, dice: random.Random) -> Edited | None:
    """One wire drawn from its other end."""
    lines = text.split("\n")
    fit = [number for number, line in enumerate(lines) if PLAIN_CHAIN.fullmatch(line)]
    if not fit:
        return None
    number = dice.choice(fit)
    lines[number] = PLAIN_CHAIN.sub(
        lambda found: f"{found[1]}{found[5]} {found[3]}{found[4] or ''} {found[2]}", lines[number]
    )
    return Edited("\n".join(lines))


def rewrapped(text: str, dice: random.Random) -> Edited | None:
    """Lines broken behind commas, empty lines and remarks put in."""
    lines = []
    for line in text.split("\n"):
        plain = QUOTED.split(line)[0] == line
        if plain and line[:1].isalpha() and ", " in line and dice.random() < 0.3:
            line = line.replace(", ", ",\n    ", 1)
        lines.append(line)
        if not line.rstrip().endswith((",", ";")) and dice.random() < 0.1:
            lines.append(dice.choice(["", "# by hand"]))
    return Edited("\n".join(lines))


def renamed(text: str, dice: random.Random) -> Edited | None:
    """One device called something else, everywhere."""
    names = sorted(set(re.findall(r"^(?:relay|button|lamp|breaker|motor) (\w+)\b", text, re.M)))
    if not names:
        return None
    name = dice.choice(names)
    new = outside_quotes(text, rf"(?<![\w.:-]){name}(?![\w.])", "Q777")
    return Edited(new, frozenset({("device", "renamed")}), name, "Q777")


def renumbered(text: str, dice: random.Random) -> Edited | None:
    """One number of wires another one, everywhere."""
    numbers = sorted(set(re.findall(r"--(\d+)--", text)))
    if not numbers or re.search(r"\bwire \d", text):
        return None
    number = dice.choice(numbers)
    new = text.replace(f"--{number}--", "--7777--")
    return Edited(new, frozenset({("wire", "renumbered")}))


def resized(text: str, dice: random.Random) -> Edited | None:
    """One wire of the next larger size but one."""
    found = list(re.finditer(r"\((18|16|14|12|10) AWG", text))
    if not found:
        return None
    one = dice.choice(found)
    larger = f"({int(one[1]) - 4} AWG"
    new = text[: one.start()] + larger + text[one.end() :]
    changes = frozenset({("wire", "changed"), ("load", "changed")})
    return Edited(new, changes, f"{one[1]} AWG", larger[1:], judged_alike=False)


def stronger(text: str, dice: random.Random) -> Edited | None:
    """One load of twice the power: by P = U I it draws twice the current."""
    found = list(POWER.finditer(text))
    if not found:
        return None
    one = dice.choice(found)
    new = f"{text[: one.start(2)]}{2 * float(one[2]):g}{text[one.end(2) :]}"
    changes = frozenset({("device", "changed"), ("load", "changed")})
    return Edited(new, changes, one[1], judged_alike=False)


EDITS: dict[str, Edit] = {
    edit.__name__: edit
    for edit in (reordered, retraced, rewrapped, renamed, renumbered, resized, stronger)
}
