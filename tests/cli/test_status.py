"""What the exit status says: 2 beats 1 beats 3, and nothing left open is ever 0."""

from __future__ import annotations

import pytest

from netcheck.cli.status import Status, status_of
from netcheck.finding import (
    Accepted,
    Finding,
    Mistake,
    NotChecked,
    NotDecided,
    Place,
    Review,
    Severity,
)
from netcheck.record import replace
from netcheck.text import Span

PLACE = Place(Span("a.panel", 1, 1, 2))
CLEAN = Review(checks=31)
OPEN = replace(CLEAN, not_checked=(NotChecked("no length given", PLACE),))
UNDECIDED = replace(CLEAN, not_decided=(NotDecided("out of time", PLACE),))


def with_finding(severity: Severity, review: Review = CLEAN) -> Review:
    return replace(review, findings=(Finding("m", PLACE, severity=severity),))


def test_nothing_found_and_nothing_open_is_0() -> None:
    assert 0 == status_of(CLEAN)


@pytest.mark.parametrize("severity", list(Severity))
@pytest.mark.parametrize("asked", list(Severity))
def test_a_finding_counts_from_the_severity_asked_for(severity: Severity, asked: Severity) -> None:
    worst_first = [Severity.DANGER, Severity.DEFECT, Severity.QUERY]
    counts = worst_first.index(severity) <= worst_first.index(asked)
    assert (1 if counts else 0) == status_of(with_finding(severity), asked)


@pytest.mark.parametrize("review", [OPEN, UNDECIDED, Review()])
def test_what_is_left_open_is_3(review: Review) -> None:
    assert 3 == status_of(review)


def test_a_mild_finding_does_not_hide_what_is_open() -> None:
    assert 3 == status_of(with_finding(Severity.QUERY, OPEN), Severity.DANGER)


def test_allowing_unchecked_lets_pass_what_lacks_data_and_nothing_else() -> None:
    assert 0 == status_of(OPEN, allow_unchecked=True)
    assert 3 == status_of(UNDECIDED, allow_unchecked=True)
    assert 3 == status_of(Review(), allow_unchecked=True)


def test_what_is_undecided_passes_only_when_told_so_and_a_failure_of_netcheck_never() -> None:
    assert 0 == status_of(UNDECIDED, allow_undecided=True)
    assert 3 == status_of(OPEN, allow_undecided=True)
    failed = replace(UNDECIDED, failures=("a rule broke",))
    assert 3 == status_of(failed, allow_unchecked=True, allow_undecided=True)


def test_panels_passed_over_are_no_review_of_nothing() -> None:
    assert 0 == status_of(Review(passed_over=("a.panel",)))


def test_accepted_findings_do_not_count() -> None:
    accepted = Accepted(Finding("m", PLACE, severity=Severity.DANGER), "it is meant")
    assert 0 == status_of(replace(CLEAN, accepted=(accepted,)))


def test_2_beats_1_beats_3() -> None:
    found = with_finding(Severity.DANGER, OPEN)
    assert Status.FOUND == status_of(found)
    assert Status.WRONG == status_of(replace(found, mistakes=(Mistake("m", PLACE),)))
