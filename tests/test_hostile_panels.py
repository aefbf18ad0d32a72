"""Sample panels changed by chance never break a rule, and take no more work than they are worth.

Source: definition; a broken rule has decided nothing, and a text of a few lines is no reason
to think for minutes.  Work is counted in calls of functions, not in time.
"""

from __future__ import annotations

import sys
from pathlib import Path
from types import FrameType

import pytest

from netcheck.finding import Review
from netcheck.report import json
from netcheck.report import text as plain_text
from netcheck.review import review
from tests.annotated import Texts
from tests.mutated import mutated

SAMPLES = sorted((Path(__file__).parents[1] / "samples").rglob("*.panel"))
TEXTS = [path.read_text(encoding="utf-8") for path in SAMPLES]
BESIDE = {
    name: text
    for path, text in zip(SAMPLES, TEXTS, strict=True)
    for name in (path.name, f"{path.parent.name}/{path.name}")
}
"""What an include may ask for."""

MOST_CALLS = 20_000_000
"""Some ten times what the largest sample takes as it stands."""


def worked_on(text: str) -> tuple[Review, int]:
    """The review of a text, told as text and as JSON, and the calls it took."""
    calls = 0

    def count(frame: FrameType, event: str, argument: object) -> None:
        nonlocal calls
        calls += event == "call"

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        found, sources = review(["mutated.panel"], Texts({**BESIDE, "mutated.panel": text}))
        plain_text.render(found, sources, colour=False, width=None)
        json.render(found)
    finally:
        sys.setprofile(before)
    return found, calls


def failing(seeds: range) -> list[str]:
    """What broke, or took too much work, with the seed that shows it."""
    found = []
    for seed in seeds:
        result, calls = worked_on(mutated(TEXTS, seed))
        found += [f"seed {seed}: {failure}" for failure in result.failures]
        if calls > MOST_CALLS:
            found.append(f"seed {seed}: {calls} calls")
    return found


def test_a_sample_changed_by_chance_breaks_no_rule() -> None:
    assert [] == failing(range(40))


@pytest.mark.slow
def test_many_samples_changed_by_chance_break_no_rule() -> None:
    assert [] == failing(range(1000, 1500))


def test_the_same_seed_gives_the_same_text_and_another_seed_another() -> None:
    assert mutated(TEXTS, 1) == mutated(TEXTS, 1)
    assert len({mutated(TEXTS, seed) for seed in range(20)}) > 15
