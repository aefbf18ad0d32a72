"""Sample panels changed by chance: lines dropped, doubled, reversed, rewired, given other words.

What comes out is often a mistake and as often a panel that somebody might have drawn.
The same seed gives the same texts.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence

TERMINAL = re.compile(r"(?<![\w.])[A-Z][\w.]*:[A-Z0-9+-]+(?![\w:-])")
NUMBER = re.compile(r"(?<![\w.:-])\d+(?:\.\d+)?(?![\w:.-])")
WIRE = re.compile(r"(?<=\s)--[^\s()]*(?=\s)|(?<=\s)--(?=\s)")
NAME = re.compile(r"(?<![\w.\"])[A-Z][A-Z]*\d+(?![\w.])")
KINDS = (
    "breaker button contactor relay timer lamp heater motor valve fuse supply switch overload "
    "selector transformer diode resistor strip source edge battery disconnect receptacle"
).split()
MARKS = (
    "spare",
    "hazardous",
    "always on",
    "normally open 13-14",
    "normally closed 11-12",
    "coil 24 V DC 1 W",
    "coil 120 V AC 6 VA",
    "latching",
    "isolated",
    "0V grounded",
    "ungrounded",
    "neutral bonded here",
    "3 main poles",
    "on door",
    "24 V DC",
    "120 V AC",
    "three-phase",
)
FIGURES = ("0", "1", "2", "3", "12", "24", "120", "240", "480", "1000", "0.001", "999999999")

Lines = list[str]
Mutation = Callable[[random.Random, Lines, Sequence[str]], None]


def mutated(texts: Sequence[str], seed: int) -> str:
    """One of the texts with one to five changes, some of them with lines of the others."""
    chance = random.Random(seed)
    lines = chance.choice(texts).splitlines()
    for _ in range(chance.choice((1, 1, 1, 2, 3, 5))):
        chance.choice(MUTATIONS)(chance, lines, texts)
    return "\n".join(lines) + "\n"


def _drop(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    if lines:
        del lines[chance.randrange(len(lines))]


def _double(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    if lines:
        lines.insert(chance.randrange(len(lines)), chance.choice(lines))


def _exchange(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    if lines:
        one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
        lines[one], lines[other] = lines[other], lines[one]


def _reverse(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    """A circuit line walked from its other end: same places, other direction."""
    chains = [at for at, line in enumerate(lines) if line.startswith("  ") and " --" in line]
    if chains:
        at = chance.choice(chains)
        line, _, remark = lines[at].partition("#")
        lines[at] = "  " + " ".join(reversed(line.split())) + ("  #" + remark if remark else "")


def _rewire(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    """An end of a wire on another terminal of the same text."""
    everywhere = sorted({name for line in lines for name in TERMINAL.findall(line)})
    _substitute(chance, lines, TERMINAL, everywhere)


def _renumber(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    everywhere = sorted({wire for line in lines for wire in WIRE.findall(line)})
    _substitute(chance, lines, WIRE, [*everywhere, "--"])


def _rename(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    everywhere = sorted({name for line in lines for name in NAME.findall(line)})
    _substitute(chance, lines, NAME, everywhere)


def _refigure(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    _substitute(chance, lines, NUMBER, FIGURES)


def _other_kind(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    described = [at for at, line in enumerate(lines) if line.split(" ")[0] in KINDS]
    if described:
        at = chance.choice(described)
        lines[at] = " ".join([chance.choice(KINDS), *lines[at].split(" ")[1:]])


def _marks(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    described = [at for at, line in enumerate(lines) if line.split(" ")[0] in KINDS]
    if described:
        at = chance.choice(described)
        items = lines[at].split(",")
        if chance.random() < 0.5:
            del items[chance.randrange(len(items))]
        else:
            items.append(" " + chance.choice(MARKS))
        lines[at] = ",".join(items)


def _splice(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    other = chance.choice(texts).splitlines()
    start = chance.randrange(len(other)) if other else 0
    at = chance.randrange(len(lines) + 1)
    lines[at:at] = other[start : start + chance.choice((1, 1, 3, 10))]


def _cut_short(chance: random.Random, lines: Lines, texts: Sequence[str]) -> None:
    if lines:
        at = chance.randrange(len(lines))
        lines[at] = lines[at][: chance.randrange(len(lines[at]) + 1)]


def _substitute(
    chance: random.Random, lines: Lines, pattern: re.Pattern[str], choices: Sequence[str]
) -> None:
    met = [(at, one.span()) for at, line in enumerate(lines) for one in pattern.finditer(line)]
    if met and choices:
        at, (start, end) = chance.choice(met)
        lines[at] = lines[at][:start] + chance.choice(choices) + lines[at][end:]


MUTATIONS: tuple[Mutation, ...] = (
    _drop,
    _double,
    _exchange,
    _reverse,
    _rewire,
    _rewire,
    _rewire,
    _renumber,
    _rename,
    _refigure,
    _other_kind,
    _marks,
    _splice,
    _cut_short,
)
