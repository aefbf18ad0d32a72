"""How a review is told to a person."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from syrupy.assertion import SnapshotAssertion

from netcheck.finding import (
    Finding,
    Mistake,
    NotChecked,
    PathStep,
    Place,
    Review,
    Severity,
    Working,
)
from netcheck.record import replace
from netcheck.report.closing import CAUTION
from netcheck.report.terminal import columns
from netcheck.report.text import render
from netcheck.text import Source, Span
from tests.report.example import MISTAKE, PANEL, REVIEW, SHORT, SOURCES, TOO_SMALL, place

COLOUR = re.compile(r"\x1b\[[0-9;]*m")


def told(review: Review, width: int | None = None, colour: bool = False) -> str:
    return render(review, SOURCES, colour=colour, width=width)


def alone(finding: Finding, width: int | None = None) -> list[str]:
    """The lines of one finding, without those that close the report."""
    return told(Review(findings=(finding,), checks=31), width).split("\n\n")[0].splitlines()


def test_a_whole_report_reads_like_this(snapshot: SnapshotAssertion) -> None:
    assert told(replace(REVIEW, mistakes=(MISTAKE,))) == snapshot


def test_a_report_on_a_narrow_screen_reads_like_this(snapshot: SnapshotAssertion) -> None:
    assert told(REVIEW, width=60) == snapshot


def test_the_parts_of_a_finding_come_in_the_order_they_are_needed() -> None:
    """What is live, verdict, place, path, next; then figures and what was assumed.

    That order is common practice for a sheet used at an open panel; it has no published source.
    """
    lines = alone(SHORT)
    expected = ["LIVE:", "DANGER:", "at", "also", "when", "steps", "path", "next"]
    expected += ["figures", "assumed", "source", "rule"]
    heads = [line.split()[0] for line in lines if re.match(r"[A-Z]+:|  \w", line)]
    assert expected == heads


def test_one_finding_fits_one_screen_of_24_lines_and_60_columns() -> None:
    lines = alone(SHORT, width=60)
    assert len(lines) <= 24
    assert max(map(columns, lines)) <= 60


def test_the_path_has_one_terminal_a_line_and_one_arrow() -> None:
    lines = alone(SHORT)
    start = next(index for index, line in enumerate(lines) if line.startswith("  path"))
    path = lines[start : start + len(SHORT.path)]
    assert [step.at for step in SHORT.path] == [line[12:].split()[0] for line in path]
    assert ["D1:K"] == [line.split()[1] for line in lines if line.startswith("          > ")]


def test_a_long_path_keeps_its_ends_and_its_spot_and_says_what_it_leaves_out() -> None:
    path = tuple(PathStep(f"K{number}:1", here=number == 50) for number in range(100))
    lines = "\n".join(alone(replace(SHORT, path=path)))
    for shown in (0, 3, 46, 50, 54, 96, 99):
        assert f"K{shown}:1\n" in lines + "\n"
    left_out = sum(map(int, re.findall(r"\.\.\. (\d+) more terminals", lines)))
    assert 100 == left_out + len(re.findall(r"K\d+:1", lines))
    assert "> K50:1" in lines


def test_a_path_without_a_spot_has_no_arrow() -> None:
    assert not any(
        " > " in line for line in alone(replace(SHORT, path=(PathStep("PS1:+"), PathStep("K1:A1"))))
    )


def test_the_very_words_are_underlined_and_labelled() -> None:
    lines = alone(SHORT)
    marks = next(index for index, line in enumerate(lines) if "the diode the wrong way" in line)
    start = lines[marks].index("~")
    assert "D1:K-A" == lines[marks - 1][start : start + lines[marks].count("~")]
    assert "  at        bay3.panel, line 6, column 34" == lines[marks - 2]


@pytest.mark.parametrize(
    "line",
    [
        "\t\tPS1:+ --201--\tK1:A1",
        "  灌水ポンプ\tK1:A1",
        "e\u0301e\u0301e\u0301 K1:A1",
        "\x1b[31m K1:A1",
        "a\u202eb K1:A1",
        "x" * 5000 + " K1:A1 " + "y" * 5000,
        "\t" * 3000 + "灌" * 3000 + "K1:A1",
    ],
)
@pytest.mark.parametrize("width", [None, 40, 60, 200])
def test_the_underline_sits_under_the_words(line: str, width: int | None) -> None:
    """Columns as in Unicode Standard Annex 11: wide characters take two, combining ones none."""
    column = line.index("K1:A1") + 1
    finding = Finding("m", Place(Span("a.panel", 1, column, column + 5)))
    text = render(
        Review(findings=(finding,)), {"a.panel": Source("a.panel", line)}, colour=False, width=width
    )
    shown, mark = text.splitlines()[2:4]
    before = shown[: shown.index("K1:A1")]
    assert (" " * columns(before) + "~~~~~") == mark
    assert columns(shown) <= (width or 112)


def test_a_cut_line_says_that_it_is_cut() -> None:
    line = "x" * 500 + "K1:A1" + "y" * 500
    finding = Finding("m", Place(Span("a.panel", 1, 501, 506)))
    source = {"a.panel": Source("a.panel", line)}
    shown = render(Review(findings=(finding,)), source, colour=False, width=60).splitlines()[2]
    assert shown.strip().startswith("...x")
    assert shown.endswith("y...")


def test_words_at_the_end_of_a_line_and_past_the_text_are_still_marked() -> None:
    for span in (Span("a.panel", 1, 4, 4), Span("a.panel", 9, 1, 1), Span("a.panel", 1, 99, 120)):
        review = Review(mistakes=(Mistake("line ends too soon", Place(span)),))
        text = render(review, {"a.panel": Source("a.panel", "abc")}, colour=False, width=None)
        assert 1 == text.count("~")


@given(st.text(st.characters(codec=None), max_size=60), st.booleans())
def test_nothing_from_a_text_can_steer_the_terminal(words: str, colour: bool) -> None:
    """Nor turn the reading direction: the bidirectional controls of Unicode Annex 9."""
    finding = replace(
        SHORT,
        message=words,
        place=Place(Span(words, 1, 1, 9), words),
        live=words,
        state={words: words},
        steps=(words,),
        path=(PathStep(words, words, here=True),),
        working=(Working(words, words, words, words),),
        assumed=(words,),
        help=words,
        rule=words,
    )
    review = replace(
        REVIEW,
        findings=(finding,),
        mistakes=(Mistake(words, Place(Span(words, 1, 1, 9), words), words),),
        not_checked=(NotChecked(words, place("CB3", words), rule=words),),
        assumed=(words,),
    )
    text = render(review, {words: Source(words, words)}, colour=colour, width=None)
    for line in COLOUR.sub("", text).split("\n"):
        assert all(part.isprintable() or part.isspace() for part in line), line
        assert not set("\x0b\x0c\x1c\x1d\x1e\x85\u2028\u2029\r\t") & set(line)


def test_an_escape_sequence_in_a_name_is_shown_not_sent() -> None:
    text = told(Review(findings=(replace(SHORT, message="`\x1b]0;owned\x07`"),)))
    assert "DANGER: `\\x1b]0;owned\\x07`" in text


def test_colour_only_adds_to_the_words() -> None:
    plain, coloured = told(REVIEW), told(REVIEW, colour=True)
    assert plain != coloured
    assert plain == COLOUR.sub("", coloured)


@pytest.mark.parametrize("width", [None, 60])
def test_places_are_never_wrapped(width: int | None) -> None:
    path = "greenhouse/" * 20 + "bay3.panel"
    finding = replace(SHORT, place=Place(Span(path, 6, 34, 40)))
    assert f"  at        {path}, line 6, column 34" in alone(finding, width)


def test_a_figure_from_memory_says_so_and_a_confirmed_one_does_not() -> None:
    figures = [line for line in alone(TOO_SMALL) if "NEC" in line and "AWG" in line]
    assert ["14 AWG copper may carry", "15 A", "NEC 240.4(D)(3) (from memory)"] == re.split(
        " {2,}", figures[0].strip()
    )
    confirmed = next(line for line in alone(TOO_SMALL) if "210.19" in line)
    assert "from memory" not in confirmed


def test_a_source_that_is_no_standard_says_what_it_is() -> None:
    assert "  source    a source joined to itself (common practice)" in alone(SHORT)
    assert "  source    NEC 2023 240.4(D)" in alone(TOO_SMALL)


def test_the_same_datum_missing_in_two_places_is_said_once_with_both_places() -> None:
    text = told(REVIEW)
    assert 1 == text.count("NOT CHECKED: no length given")
    assert "bay3.panel, line 6, column 9" in text
    assert "bay3.panel, line 8, column 21" in text


def test_a_place_in_no_text_shows_its_path_alone() -> None:
    mistake = Mistake("there is no such file", Place(Span("bay9.panel", 1, 1, 1)))
    text = told(Review(mistakes=(mistake,)))
    assert "  at        bay9.panel\n" in text
    assert "line 1" not in text


@pytest.mark.parametrize("review", [Review(), REVIEW, Review(mistakes=(MISTAKE,))])
@pytest.mark.parametrize("findings_only", [False, True])
def test_every_report_ends_with_the_caution(review: Review, findings_only: bool) -> None:
    text = render(review, SOURCES, colour=False, width=None, findings_only=findings_only)
    assert "\n".join(CAUTION) + "\n" == text[text.index(CAUTION[0]) :]
    assert len(CAUTION) <= 2


def test_findings_only_leaves_out_the_rest_but_never_its_counts() -> None:
    text = render(REVIEW, SOURCES, colour=False, width=None, findings_only=True)
    for word in ("NOT CHECKED", "NOT DECIDED", "ACCEPTED", "ASSUMED"):
        assert word not in text
    assert "3 not checked, 1 not decided, 1 accepted" in text


def test_a_defect_and_a_query_are_named_in_words() -> None:
    assert alone(TOO_SMALL)[0].startswith("DEFECT: ")
    assert alone(replace(TOO_SMALL, severity=Severity.QUERY))[0].startswith("QUERY: ")


def test_every_line_of_the_source_is_shown_as_it_is_written() -> None:
    assert f"            {PANEL.line(6).strip()}" in alone(SHORT)
