"""The counts that end every report."""

from __future__ import annotations

import pytest

from netcheck.finding import Proved, Review
from netcheck.record import replace
from netcheck.report.closing import CAUTION, closing_line, counts
from tests.report.example import MISTAKE, REVIEW, place


def test_the_counts_name_every_severity_and_everything_left_open() -> None:
    expected = "1 danger, 1 defect, 0 queries; 3 not checked, 1 not decided, 1 accepted"
    assert expected == closing_line(REVIEW)


def test_nothing_found_says_by_how_many_checks_and_what_was_not_checked() -> None:
    assert "nothing found by 31 checks, 0 not checked" == closing_line(Review(checks=31))
    nothing = replace(REVIEW, findings=())
    expected = "nothing found by 31 checks, 3 not checked; 1 not decided, 1 accepted"
    assert expected == closing_line(nothing)


def test_what_cannot_be_read_comes_first() -> None:
    line = closing_line(Review(mistakes=(MISTAKE, MISTAKE), checks=1))
    assert "cannot read 2 places; nothing found by 1 check, 0 not checked" == line


@pytest.mark.parametrize("review", [Review(), Review(checks=31), REVIEW])
def test_no_report_calls_anything_safe(review: Review) -> None:
    words = f"{closing_line(review)} {' '.join(CAUTION)}".lower()
    for promise in ("safe", "pass", "ok", "good", "clean"):
        assert promise not in words.replace(",", " ").replace(".", " ").split()


def test_the_counts_add_up_to_the_findings() -> None:
    number = counts(REVIEW)
    assert len(REVIEW.findings) == sum(number[word] for word in ("danger", "defect", "query"))


def test_intents_that_were_proved_are_counted_last() -> None:
    proved = (Proved("stop stops", place("relai")), Proved("it runs", place("relai")))
    line = closing_line(Review(checks=31, proved=proved))
    assert "nothing found by 31 checks, 0 not checked; 2 intents proved" == line
    assert closing_line(Review(checks=31, proved=proved[:1])).endswith("; 1 intent proved")


def test_what_is_not_the_panel_as_drawn_says_so_in_its_last_line_too() -> None:
    supposed = ("with S2 pressed", "fault: K1 welded")
    line = closing_line(Review(checks=31, supposed=supposed))
    assert line.startswith("not as drawn (with S2 pressed; fault: K1 welded): nothing found")
