"""Edits of a panel's text whose effect is known from the words that were edited, not from netcheck.

Each takes a text and dice, and gives the new text with what a comparison has to say of it; None
where this text holds nothing to edit so.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from tests.revisions.scheme import (
    Scheme,
    made_up,
    truth,
    with_a_contact_swapped,
    written,
)

QUOTED = re.compile(r'("[^"]*"|#.*)')
PLAIN_CHAIN = re.compile(r"( +)(\w+:\w+) (--[\w.]*-*)( \([^)]*\))? (\w+:\w+)")
POWER = re.compile(r"^(?:lamp|valve|horn) (\w+)\b.*? (\d+(?:\.\d+)?) W\b", re.MULTILINE)


Row = Mapping[str, bool]
"""For each button of a made-up circuit, whether it is pressed."""

Loads = Mapping[str, Callable[[Row], tuple[bool, bool]]]
"""Of each load that does otherwise, whether it was on and is on, by a truth table of our own."""


@dataclass(frozen=True)
class Edited:
    """A text, and what of it is another: `(of, kind)`, and the names where they are known."""

    text: str
    changes: frozenset[tuple[str, str]] = frozenset()
    before: str = ""
    after: str = ""
    judged_alike: bool = True
    """Whether no finding may come or go: nothing that a rule looks at has changed."""
    old_text: str = ""
    """What was edited, where that is not the panel as it stands but one with a circuit more."""
    loads: Loads = field(default_factory=dict)


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
    changes = frozenset({("wire", "renumbered")})
    return Edited(new, changes, f"wire {number}", "wire 7777")


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


# ---- a circuit whose truth is known, beside all that the panel has -------------------------------


def swapped(text: str, dice: random.Random) -> Edited | None:
    """One contact of the other kind."""
    scheme, seed = made_up(dice.randrange(10_000)), dice.randrange(10_000)
    edited = with_a_contact_swapped(scheme, seed)
    old, new = _with_circuit(text, scheme), _with_circuit(text, edited)
    if old is None or new is None:
        return None
    changes, loads = frozenset({("device", "changed")}), _loads_apart(scheme, edited)
    return Edited(new, changes, judged_alike=False, old_text=old, loads=loads)


def led_past(text: str, dice: random.Random) -> Edited | None:
    """One load fed from ahead of the last of its contacts."""
    scheme = made_up(dice.randrange(10_000))
    long = [number for number, branch in enumerate(scheme.branches, 1) if len(branch.groups) > 1]
    old = _with_circuit(text, scheme)
    if old is None or not long:
        return None
    number = dice.choice(long)
    branch = scheme.branches[number - 1]
    ahead = re.search(rf"^  (\S+) --Z{number}{len(branch.groups)}--", old, re.MULTILINE)
    feed = re.search(rf"^  (\S+) --Z{number}8-- (\S+)$", old, re.MULTILINE)
    assert ahead is not None
    assert feed is not None
    new = old.replace(feed[0], f"  {ahead[1]} --Z{number}8-- {feed[2]}")
    branches = list(scheme.branches)
    branches[number - 1] = replace(branch, groups=branch.groups[:-1])
    loads = _loads_apart(scheme, replace(scheme, branches=tuple(branches)))
    return _re_routed(old, new, (feed[1], feed[2]), (ahead[1], feed[2]), loads)


def re_routed(text: str, dice: random.Random) -> Edited | None:
    """The return of one load landed on that of another, which leads home as well."""
    scheme = made_up(dice.randrange(10_000))
    homes = [_home(scheme, branch.load) for branch in scheme.branches]
    old = _with_circuit(text, scheme)
    if old is None or len(homes) < 2:
        return None
    moved, other = dice.sample(homes, 2)
    new = old.replace(f"{moved} --Z200-- {HOME}", f"{moved} --Z200-- {other}")
    return _re_routed(old, new, (moved, HOME), (moved, other), {})


def _re_routed(
    old: str, new: str, before: tuple[str, str], after: tuple[str, str], loads: Loads
) -> Edited:
    """One wire that led from the ends `before` leads from the ends `after`."""
    changes = frozenset({("wire", "re-routed")})
    was, now = (" to ".join(sorted(ends)) for ends in (before, after))
    return Edited(new, changes, was, now, judged_alike=False, old_text=old, loads=loads)


def _loads_apart(scheme: Scheme, edited: Scheme) -> Loads:
    before, now = truth(scheme), truth(edited)
    return {
        _ours(load): _told(scheme, before[load], now[load])
        for load in before
        if before[load] != now[load]
    }


def _told(
    scheme: Scheme, before: Sequence[bool], now: Sequence[bool]
) -> Callable[[Row], tuple[bool, bool]]:
    def told(pressed: Row) -> tuple[bool, bool]:
        bits = [pressed.get(_ours(name), False) for name in scheme.switches]
        row = int("".join("01"[bit] for bit in bits), 2)
        return before[row], now[row]

    return told


def _with_circuit(text: str, scheme: Scheme) -> str | None:
    """The panel and the circuit, on a source of its own, under names of its own; None where the
    text holds several panels, or is said by another."""
    if len(re.findall(r"^panel\b", text, re.MULTILINE)) > 1 or OURS_TAKEN.search(text):
        return None
    circuit = outside_quotes(written(scheme), OURS.pattern, r"\g<1>9\2")
    circuit = re.sub(r"--(\d+)--", r"--Z\1--", circuit)
    circuit = circuit.replace("wire kind control", "wire kind madeup")
    return f"{text.rstrip()}\n\n{circuit.replace(' in control', ' in madeup')}"


def _home(scheme: Scheme, load: str) -> str:
    mark = "A2" if load in scheme.relays else "X2"
    return _ours(f"{load}:{mark}")


def _ours(words: str) -> str:
    return OURS.sub(r"\g<1>9\2", words)


OURS = re.compile(r"(?<![\w.:-])([SKHE])(\d)(?!\d)")
"""Names that a made-up circuit uses: one figure."""
OURS_TAKEN = re.compile(r"\b[SKHE]9\d\b")

HOME = "E91:0V"

EDITS: dict[str, Edit] = {
    edit.__name__: edit
    for edit in (
        *(reordered, retraced, rewrapped, renamed, renumbered, resized, stronger),
        *(swapped, led_past, re_routed),
    )
}
