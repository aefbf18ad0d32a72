"""Random edits of sound panels, reviewed and compared: their effect is told, and nothing else."""

from __future__ import annotations

import random
import re
from functools import cache
from pathlib import Path

import pytest

from netcheck.revisions.comparison import Comparison, Read, compare, read
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
    old, new = as_it_is(path), read(path, Texts({**TEXTS, path: edit.text}))
    assert () == new.mistakes, (what, path)
    found = compare(path, old, new)
    told = {(change.of, change.kind) for change in found.changes}
    assert told <= edit.changes, (what, path, found.changes)
    assert bool(told) == bool(edit.changes), (what, path)
    assert () == found.loads, (what, path)
    if edit.judged_alike:
        assert ((), ()) == (found.findings, found.left_open), (what, path)
    if not edit.changes:
        assert found.same, (what, path)
    OWN.get(what, lambda _edit, _found: None)(edit, found)


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


OWN = {"renamed": of_the_device, "resized": of_one_wire, "stronger": of_one_current}


@pytest.mark.parametrize("seed", range(2 * len(EDITS)))
def test_an_edit_s_effect_is_told_and_nothing_else(seed: int) -> None:
    check(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2 * len(EDITS), 200))
def test_the_effect_of_each_of_two_hundred_edits_is_told_and_nothing_else(seed: int) -> None:
    check(seed)
