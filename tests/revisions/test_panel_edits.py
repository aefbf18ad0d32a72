"""Random edits of sound panels, reviewed and compared: their effect is told, and nothing else."""

from __future__ import annotations

import random
import re
from functools import cache
from pathlib import Path

import pytest

from netcheck.revisions.changes import Change
from netcheck.revisions.comparison import Comparison, Read, compare, read
from netcheck.revisions.loads import count_of_loads
from tests.annotated import Texts
from tests.revisions.panel_edits import EDITS, Edited

SAMPLES = Path(__file__).parents[2] / "samples"
TEXTS = {
    path.relative_to(SAMPLES).as_posix(): path.read_text(encoding="utf-8")
    for folder in ("panels", "sound")
    for path in sorted((SAMPLES / folder).rglob("*.panel"))
}
SOUND = [path for path, text in TEXTS.items() if "parts/" not in path and "\naccept " not in text]
"""Without those that accept a finding: a device renamed or changed loses that by design."""
UNITS_A = {"A": 1.0, "mA": 1e-3}


@cache
def as_it_is(path: str) -> Read:
    return read(path, Texts(TEXTS))


def edited(seed: int) -> tuple[str, str, Edited]:
    """A panel and an edit that it has something for."""
    dice = random.Random(seed)
    what = list(EDITS)[seed % len(EDITS)]
    for path in dice.sample(SOUND, len(SOUND)):
        found = EDITS[what](TEXTS[path], dice)
        if found is not None and found.text != TEXTS[path]:
            return what, path, found
    raise AssertionError(f"no panel has anything to be {what}")


def check(seed: int) -> None:
    what, path, edit = edited(seed)
    old = read(path, Texts({**TEXTS, path: edit.old_text})) if edit.old_text else as_it_is(path)
    new = read(path, Texts({**TEXTS, path: edit.text}))
    assert ((), ()) == (old.mistakes, new.mistakes), (what, path)
    found = compare(path, old, new)
    kinds = {(c.of, c.kind) for c in found.changes if not of_a_load_that_is_on(edit, c)}
    assert kinds <= edit.changes, (what, path, found.changes)
    assert bool(kinds) == bool(edit.changes), (what, path)
    assert set(edit.loads) == {load.name for load in found.loads}, (what, path)
    assert bool(edit.loads) or found.same_loads or not count_of_loads(new.panel), (what, path)
    for load in found.loads:
        pressed = {name: position == "pressed" for name, position in load.state}
        told = edit.loads[load.name](pressed)
        assert told == (load.was == "on", load.now == "on"), (what, path, load)
        assert told[0] != told[1]
    if edit.judged_alike:
        assert ((), ()) == (found.findings, found.left_open), (what, path)
    if not edit.changes:
        assert found.same, (what, path)
    OWN.get(what, lambda _edit, _found: None)(edit, found)


def of_a_load_that_is_on(edit: Edited, change: Change) -> bool:
    """What a load gets changes with its conditions where it could never be on, or can never."""
    return change.of == "load" and change.name in edit.loads


def of_the_number(edit: Edited, found: Comparison) -> None:
    ((before, after),) = [(c.before, c.after.partition(" (")[0]) for c in found.changes]
    assert (edit.before, edit.after) == (before, after)


def of_the_ends(edit: Edited, found: Comparison) -> None:
    drawn = [c for c in found.changes if not of_a_load_that_is_on(edit, c)]
    ((before, after),) = [(c.before, c.after) for c in drawn]
    assert (edit.before, edit.after) == (before, after)


def of_the_device(edit: Edited, found: Comparison) -> None:
    ((before, after),) = [(c.before, c.after) for c in found.changes]
    assert (edit.before, edit.after) == (before, after)


def of_one_wire(edit: Edited, found: Comparison) -> None:
    ((before, after),) = [(c.before, c.after) for c in found.changes if c.of == "wire"]
    assert (edit.before, edit.after) == (before, after)
    loads = [change for change in found.changes if change.of == "load"]
    assert all(c.before == f"fed over {edit.before} copper" for c in loads), loads


def of_one_current(edit: Edited, found: Comparison) -> None:
    assert {edit.before} == {change.name for change in found.changes}
    ((before, after),) = [(c.before, c.after) for c in found.changes if c.of == "load"]
    assert amperes(after) == pytest.approx(2 * amperes(before), rel=0.01)


def amperes(words: str) -> float:
    found = re.fullmatch(r"draws ([\d.]+) (m?A)", words)
    assert found is not None, words
    return float(found[1]) * UNITS_A[found[2]]


OWN = {
    "renamed": of_the_device,
    "renumbered": of_the_number,
    "re_routed": of_the_ends,
    "led_past": of_the_ends,
    "resized": of_one_wire,
    "stronger": of_one_current,
}


@pytest.mark.parametrize("seed", range(2 * len(EDITS)))
def test_an_edit_s_effect_is_told_and_nothing_else(seed: int) -> None:
    check(seed)


def test_the_two_hundred_edits_are_of_every_kind_in_many_panels_and_most_change_something() -> None:
    every = [edited(seed) for seed in range(200)]
    for kind in EDITS:
        assert 20 == sum(what == kind for what, _, _ in every)
        assert 5 <= len({path for what, path, _ in every if what == kind}), kind
    assert all(edit.text != (edit.old_text or TEXTS[path]) for _, path, edit in every)
    assert 10 <= sum(bool(edit.loads) for what, _, edit in every if what == "swapped")
    assert 10 <= sum(bool(edit.loads) for what, _, edit in every if what == "led_past")


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2 * len(EDITS), 200))
def test_the_effect_of_each_of_two_hundred_edits_is_told_and_nothing_else(seed: int) -> None:
    check(seed)
