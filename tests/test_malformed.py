"""Each malformed sample draws exactly the mistakes it expects, in words anyone can read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest

import netcheck.review
from netcheck.cli.loader import FileLoader
from netcheck.finding import Mistake, Review
from netcheck.reading.syntax import grammar_terminals
from netcheck.text import Source
from tests.annotated import actual_of, differences, expected_of

MALFORMED = Path(__file__).parents[1] / "samples" / "malformed"
NAMES = sorted(path.name for path in MALFORMED.glob("*.panel"))
LEAST = 45

REPRESENTED = re.compile(
    r"\b(None|True|False|Token|Tree|Traceback|Error|Exception|object at|frozenset|dict_keys)\b"
    r"|\(\)|\[\]|\{\}|<class|\\[nux]|'[^']*', '|__"
)
"""What a message would hold if one of Python's own notations had slipped into it."""


@pytest.fixture(autouse=True)
def _mistakes_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the rules say of what could be read is not in question here."""
    monkeypatch.setattr(netcheck.review, "all_rules", lambda: ())


@pytest.fixture(autouse=True)
def _beside_the_texts(monkeypatch: pytest.MonkeyPatch) -> None:
    """A mistake may name a path, and the folders above may be called anything, `USE` as well."""
    monkeypatch.chdir(MALFORMED)


def reviewed(name: str) -> tuple[Review, list[Source]]:
    found, sources = netcheck.review.review([name], FileLoader({name: "."}))
    return found, list(sources.values())


def sentences(mistakes: Iterable[Mistake]) -> list[str]:
    return [
        sentence
        for mistake in mistakes
        for sentence in (mistake.message, mistake.help, mistake.place.label)
    ]


@cache
def terminal_name() -> re.Pattern[str]:
    """Any terminal's name standing free: in back-ticks it is a word of the text itself."""
    return re.compile(rf"(?<![\w`])(?:{'|'.join(map(re.escape, grammar_terminals()))})(?![\w`])")


def test_there_are_many_ways_of_being_wrong() -> None:
    assert len(NAMES) >= LEAST
    worded = re.compile(r"[a-z0-9]+(-[a-z0-9]+)+\.panel")
    assert [] == [name for name in NAMES if not worded.fullmatch(name)]


@pytest.mark.parametrize("name", NAMES)
def test_a_malformed_text_draws_exactly_the_mistakes_it_expects(name: str) -> None:
    found, sources = reviewed(name)
    expected = expected_of(sources)
    assert expected
    assert [] == differences(expected, actual_of(found))


@pytest.mark.parametrize("name", NAMES)
def test_a_mistake_underlines_words_of_its_line_and_says_what_would_fit(name: str) -> None:
    found, sources = reviewed(name)
    texts = {source.path: source for source in sources}
    for mistake in found.mistakes:
        span = mistake.place.span
        line = texts[span.path].line(span.line)
        assert 1 <= span.column < span.end_column <= len(line) + 2
        assert mistake.help


@pytest.mark.parametrize("name", NAMES)
def test_no_mistake_speaks_of_the_grammar_or_of_python(name: str) -> None:
    found, _ = reviewed(name)
    for sentence in sentences(found.mistakes):
        assert [] == terminal_name().findall(sentence)
        assert not REPRESENTED.search(sentence)
        assert sentence == sentence.strip()
        assert sentence.isprintable()


def test_the_search_for_the_grammars_words_does_find_them() -> None:
    assert ["WIRE_KIND", "COMMA"] == terminal_name().findall(
        "Expected WIRE_KIND or COMMA, not `ON`"
    )
    assert REPRESENTED.search("Token('NAME', 'K1')")


def test_one_run_tells_the_mistakes_of_every_line() -> None:
    """All of them together in one text: one line each, none hides another."""
    lines = [
        "breakr CB1 15 A",
        "fuse FU1 2A",
        "lamp H1 “Pump runs” 24 V DC",
        'lamp H2 "Pump runs 24 V DC',
        "valve Y1 24 V DC 8 W, at bed 9",
        "FU9 --1-- Y1",
    ]
    source = Source("many.panel", "\n".join(lines))

    class Alone:
        def load(self, path: str) -> Source:
            return source

        def resolve(self, included: str, from_path: str) -> str:
            raise AssertionError

        def project_file(self, path: str) -> Source | None:
            return None

    found, _ = netcheck.review.review(["many.panel"], Alone())
    assert [1, 2, 3, 4, 5, 6] == sorted(mistake.place.span.line for mistake in found.mistakes)
