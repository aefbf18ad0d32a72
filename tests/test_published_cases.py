"""Cases that were published with their verdict come to that verdict, and to no other.

Each panel in `published_cases` is one question of a trade magazine's code column, an exam, a
training manual or a standard's example, written down in this language.  Its head names the
source, its address, what was asked and what was answered; where a figure differs from the
published one, `Published` says which is right and why.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from netcheck.review import review
from netcheck.text import Source
from tests.annotated import FINDING, Texts, actual_of, differences, expected_of

FOLDER = Path(__file__).parent / "published_cases"
CASES = {path.name: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.panel"))}
HEAD = ("Source", "Address", "Asked", "Published")
AT_LEAST = 30


@pytest.mark.parametrize("name", CASES)
def test_a_published_case_comes_to_its_published_verdict(name: str) -> None:
    found, sources = review([name], Texts(CASES))
    assert [] == differences(expected_of(list(sources.values())), actual_of(found))


@pytest.mark.parametrize("name", CASES)
def test_a_published_case_names_its_source_its_question_and_its_answer(name: str) -> None:
    lines = CASES[name].splitlines()
    said = [re.match(r"# (\w+): \S", line) for line in lines[: len(HEAD)]]
    assert [*HEAD] == [one and one[1] for one in said]
    assert re.fullmatch(r"# Address: https?://\S+( .+)?", lines[1])


def test_at_least_thirty_cases_are_published_and_most_of_them_are_faults() -> None:
    faulty = [name for name in CASES if _is_faulty(name)]
    assert len(CASES) >= AT_LEAST
    assert len(faulty) > len(CASES) / 2


def _is_faulty(name: str) -> bool:
    return any(one.kind == FINDING for one in expected_of([Source(name, CASES[name])]))
