"""Hostile and odd texts: always mistakes at their places, never an error of the program.

Everything here goes from text to panel, with the bounds that keep a small text from
costing much.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from netcheck.finding import Mistake
from netcheck.loading import CannotLoad
from netcheck.model.build import build_panel
from netcheck.model.kinds import KINDS
from netcheck.model.panel import Panel
from netcheck.reading.project import (
    DEEPEST_INCLUDE,
    DEEPEST_USE,
    MOST_FILES,
    MOST_WRITTEN_OUT,
    gather,
)
from netcheck.reading.syntax import LONGEST_STATEMENT
from netcheck.reading.told import LONGEST_SENTENCE, MOST_MISTAKES
from netcheck.reading.words import keywords
from netcheck.text import Source
from tests.annotated import Texts

SAMPLES = Path(__file__).parents[2] / "samples"
TEXTS = sorted(path.read_text("utf-8") for path in SAMPLES.rglob("*.panel"))
LINES = sorted({line for text in TEXTS for line in text.split("\n") if line.strip()})
WORDS = sorted(
    {word for line in LINES for word in line.split()}
    | {word for words in keywords().values() for word in words}
    | {word for kind in KINDS.values() for word in kind.example.split()}
)


def read(text: str, **files: str) -> tuple[Panel, list[Mistake]]:
    """The panel of a text and all its mistakes, each held to be well formed."""
    gathered = gather("x.panel", Texts({"x.panel": text, **files}))
    panel, mistakes = build_panel("x.panel", gathered)
    mistakes = [*gathered.mistakes, *mistakes]
    for mistake in mistakes:
        _is_well_formed(mistake, gathered.sources)
    _is_whole(panel)
    return panel, mistakes


def _is_well_formed(mistake: Mistake, sources: dict[str, Source]) -> None:
    span = mistake.place.span
    line = sources[span.path].line(span.line)
    assert 1 <= span.line <= len(sources[span.path].lines)
    assert 1 <= span.column < span.end_column <= len(line) + 2
    assert mistake.message
    assert mistake.help
    assert len(mistake.message) <= LONGEST_SENTENCE + 3
    assert mistake.message.isprintable()
    assert "Token(" not in mistake.message + mistake.help


def _is_whole(panel: Panel) -> None:
    """Nothing in it speaks of what is not in it."""
    terminals = set(panel.terminals)
    assert {end for wire in panel.wires for end in (wire.a, wire.b)} <= terminals
    assert {end for part in panel.parts for end in (part.a, part.b)} <= terminals
    owners = {part.device for part in panel.parts} | {source.device for source in panel.sources}
    owners |= {mechanism.device for mechanism in panel.mechanisms.values()}
    assert owners <= set(panel.devices)
    assert [part.index for part in panel.parts] == list(range(len(panel.parts)))
    assert {part.mechanism for part in panel.parts} - {""} <= set(panel.mechanisms)


def only(mistakes: list[Mistake]) -> str:
    assert 1 == len(mistakes)
    return mistakes[0].message


# ---- any text at all ---------------------------------------------------------------------


@given(st.text())
def test_any_characters_are_read_or_told(text: str) -> None:
    read(text)


@given(st.binary())
def test_any_bytes_are_read_or_told(data: bytes) -> None:
    read(data.decode("utf-8", "replace"))


@given(
    st.lists(st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join), max_size=6).map("\n".join)
)
def test_words_of_the_language_in_any_order_are_read_or_told(text: str) -> None:
    read(text)


@given(st.lists(st.sampled_from(LINES), max_size=15).map("\n".join))
def test_lines_of_the_samples_in_any_order_are_read_or_told(text: str) -> None:
    read(text)


@settings(max_examples=300)
@given(st.data())
def test_mutated_samples_are_read_or_told(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from(TEXTS))
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = min(len(text), start + data.draw(st.integers(0, 30)))
        put = data.draw(st.one_of(st.just(""), st.text(max_size=3), st.sampled_from(WORDS)))
        text = (
            text[:start]
            + data.draw(st.sampled_from([put, put + text[start:end], text[start:end] * 2]))
            + text[end:]
        )
    read(text)


@given(st.data())
def test_mutated_examples_of_devices_are_read_or_told(data: st.DataObject) -> None:
    words = data.draw(st.sampled_from(list(KINDS.values()))).example.split(" ")
    for _ in range(data.draw(st.integers(1, 3))):
        words[data.draw(st.integers(1, len(words) - 1))] = data.draw(st.sampled_from(WORDS))
    read(" ".join(words))


# ---- large texts -------------------------------------------------------------------------


def test_a_line_of_ten_megabytes_is_refused_in_one_sentence() -> None:
    _, mistakes = read("a" * 10_000_000)
    assert "this statement has 10,000,000 characters; 20,000 is the most one may have" == only(
        mistakes
    )


def test_a_statement_that_never_ends_is_refused_in_one_sentence() -> None:
    _, mistakes = read("fuse FU1 2 A,\n" * 300_000)
    assert only(mistakes).startswith("this statement has")


@pytest.mark.parametrize("text", ['"#' * 1_000_000, "--1-- " * 1_000_000, "(" * 1_000_000])
def test_large_texts_of_one_sort_of_mark_draw_few_mistakes(text: str) -> None:
    _, mistakes = read(text)
    assert 1 == len(mistakes)


def test_every_one_of_two_hundred_mistakes_is_told() -> None:
    _, mistakes = read("breakr CB1 15 A\n" * 200)
    assert list(range(1, 201)) == [mistake.place.span.line for mistake in mistakes]


@pytest.mark.parametrize(
    "line", ["breakr CB{} 15 A", "FX{0}:1 --{0}-- FY{0}:1", 'include "f{}.panel"']
)
def test_mistakes_without_end_are_told_to_a_bound(line: str) -> None:
    _, mistakes = read("\n".join(line.format(number) for number in range(3 * MOST_MISTAKES)))
    assert MOST_MISTAKES + 1 == len(mistakes)
    assert mistakes[-1].message.startswith("more than 1,000 mistakes")


def test_unknown_names_among_very_many_devices_are_told() -> None:
    devices = "".join(f"fuse FU{number} 2 A\n" for number in range(5_000))
    _, mistakes = read(devices + "FU7:1 --1-- FV8:1")
    assert "there is no device FV8" == only(mistakes)
    assert mistakes[0].help


# ---- nesting -----------------------------------------------------------------------------

BUTTON = "button S1 normally open 1-2\n"


@pytest.mark.parametrize("deep", [10, 4_000])
def test_brackets_around_one_sentence_are_no_depth(deep: int) -> None:
    panel, mistakes = read(BUTTON + f'intent "it": never {"(" * deep}S1 is pressed{")" * deep}')
    assert [] == mistakes
    assert 1 == len(panel.intents)


@pytest.mark.parametrize(
    "condition",
    [
        "not " * 3_000 + "S1 is pressed",
        "(" * 400 + "S1 is pressed" + " or not S1 is pressed)" * 400,
        "(S1 is released and " * 400 + "S1 is pressed" + ")" * 400,
    ],
    ids=["denials", "or", "and"],
)
def test_conditions_nested_without_end_are_refused_in_one_sentence(condition: str) -> None:
    _, mistakes = read(BUTTON + f'intent "it": never {condition}')
    assert only(mistakes).startswith("this condition has brackets or `not` more than")


def test_brackets_never_closed_are_told() -> None:
    _, mistakes = read(BUTTON + 'intent "it": never ' + "(" * 15_000)
    assert only(mistakes).startswith("the line ends after")


def test_many_things_kept_apart_are_bounded() -> None:
    names = " and ".join(f"S{number}" for number in range(2_000))
    _, mistakes = read(f"assume {names} are never pressed together")
    assert "more than 40 things are kept apart here" == only(mistakes)


# ---- includes ----------------------------------------------------------------------------


def test_ten_thousand_includes_are_read_to_a_bound_and_told_once() -> None:
    files = {f"f{number}.panel": f"fuse FU{number} 2 A\n" for number in range(10_000)}
    panel, mistakes = read("".join(f'include "{name}"\n' for name in files), **files)
    assert f"more than {MOST_FILES} files are included" == only(mistakes)
    assert MOST_FILES - 1 == len(panel.devices)


def test_includes_inside_one_another_are_bounded() -> None:
    files = {f"f{number}.panel": f'include "f{number + 1}.panel"\n' for number in range(3_000)}
    _, mistakes = read('include "f0.panel"\n', **files)
    assert f"files include one another more than {DEEPEST_INCLUDE} deep" == only(mistakes)


def test_a_file_included_twice_is_read_once() -> None:
    panel, mistakes = read('include "a.panel"\ninclude "a.panel"\n', **{"a.panel": "fuse FU1 2 A"})
    assert [] == mistakes
    assert ["FU1"] == list(panel.devices)


def test_files_that_include_one_another_are_told_with_the_way_round() -> None:
    _, mistakes = read(
        'include "a.panel"', **{"a.panel": 'include "b.panel"', "b.panel": 'include "a.panel"'}
    )
    assert "`a.panel` includes itself" == only(mistakes)
    assert "the way round: a.panel, then b.panel, then a.panel" == mistakes[0].help


def test_only_the_first_file_may_fail_to_load() -> None:
    with pytest.raises(CannotLoad):
        gather("x.panel", Texts({}))


def test_names_that_a_missing_file_may_hold_are_not_told_as_well() -> None:
    _, mistakes = read(
        'include "parts.panel"\nFU1:1 --1-- FU2:1\nuse ZONE as Z1\ncircuit "x" in power\n'
    )
    assert "`parts.panel` cannot be included: there is no such file" == only(mistakes)


# ---- assemblies --------------------------------------------------------------------------


def bomb(*, with_connections: bool) -> str:
    connections = "  connections P\n" if with_connections else ""
    levels = [
        f"assembly A{level}\n{connections}"
        + "".join(f"  use A{level + 1} as U{use}\n" for use in range(10))
        + "end\n"
        for level in range(DEEPEST_USE - 1)
    ]
    last = f"assembly A{DEEPEST_USE - 1}\n  connections P\nend\n"
    return "".join(levels) + last + "use A0 as Z\n"


@pytest.mark.parametrize("with_connections", [True, False])
def test_assemblies_that_multiply_are_bounded(with_connections: bool) -> None:
    """Ten uses in each of sixteen levels would come to ten thousand million million statements."""
    panel, mistakes = read(bomb(with_connections=with_connections))
    assert f"assemblies come to more than {MOST_WRITTEN_OUT:,} statements" == only(mistakes)
    assert len(panel.devices) <= MOST_WRITTEN_OUT


def test_assemblies_used_inside_one_another_are_bounded() -> None:
    chain = "".join(f"assembly A{level}\n  use A{level + 1} as U\nend\n" for level in range(40))
    _, mistakes = read(chain + "assembly A40\nend\nuse A0 as Z\n")
    assert f"assemblies use one another more than {DEEPEST_USE} deep" == only(mistakes)


def test_what_is_wrong_in_an_assembly_is_told_once_however_often_it_is_used() -> None:
    zone = "assembly ZONE\n  valve Y1 24 W\n  fuse FU1 2 A\n  FU1 --1-- Y9:1\nend\n"
    uses = "".join(f"use ZONE as Z{number}\n" for number in range(50))
    _, mistakes = read(zone + uses)
    assert [2, 4] == [mistake.place.span.line for mistake in mistakes]


def test_a_long_statement_just_within_the_bound_is_read() -> None:
    chain = "X1" + " -- X2 -- X1" * ((LONGEST_STATEMENT - 2) // 12)
    panel, mistakes = read("terminal X1\nterminal X2\n" + chain)
    assert 1 == len(panel.wires)
    assert {"wire X1:1 to X2:1 is drawn twice"} == {
        mistake.message for mistake in mistakes[:MOST_MISTAKES]
    }
