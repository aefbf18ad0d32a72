"""What a run's exit status says."""

from __future__ import annotations

from enum import IntEnum

from netcheck.finding import SEVERITY_ORDER, Review, Severity


class Status(IntEnum):
    """Exit statuses; of several that apply WRONG beats FOUND beats OPEN."""

    NOTHING = 0
    """Nothing found, and nothing left open."""
    FOUND = 1
    """Findings of the severity asked for, or worse."""
    WRONG = 2
    """Wrong use, or something that cannot be read or written."""
    OPEN = 3
    """Something was not checked, not decided, or not finished: a fault in netcheck itself."""


MEANING = """\b
Exit status:
  0  nothing found, and nothing left open
  1  findings of the severity asked for, or worse
  2  wrong use, or something that cannot be read
  3  no such finding, but something not checked or not decided"""


def status_of(
    review: Review,
    severity: Severity = Severity.QUERY,
    allow_unchecked: bool = False,
    allow_undecided: bool = False,
) -> Status:
    """Return the status of a finished review.

    `severity` is the mildest that counts.  `allow_unchecked` lets pass what lacked data,
    `allow_undecided` what no proof decided.  A review that ran no check is left open, unless
    all it was asked of was passed over; so is one that netcheck itself failed in.
    """
    if review.mistakes:
        return Status.WRONG
    counting = SEVERITY_ORDER[: SEVERITY_ORDER.index(severity) + 1]
    if any(finding.severity in counting for finding in review.findings):
        return Status.FOUND
    unchecked = review.not_checked and not allow_unchecked
    undecided = review.failures or (review.not_decided and not allow_undecided)
    if undecided or unchecked or not (review.checks or review.passed_over):
        return Status.OPEN
    return Status.NOTHING
