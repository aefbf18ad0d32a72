"""What one rule says of a panel text."""

from netcheck.finding import Finding, Review
from netcheck.review import review
from tests.annotated import Texts

PATH = "bench.panel"


def review_of(text: str) -> Review:
    """The whole review of a text, which must be without a mistake."""
    found, _ = review([PATH], Texts({PATH: text}))
    assert [] == [mistake.message for mistake in found.mistakes]
    assert () == found.failures
    return found


def findings_of(text: str, rule: str) -> list[Finding]:
    """A rule's findings; nothing of it may be left unchecked or undecided."""
    found = review_of(text)
    assert [] == [one.reason for one in found.not_checked if rule in one.rules]
    assert [] == [one.reason for one in found.not_decided if one.rule == rule]
    return [finding for finding in found.findings if finding.rule == rule]


def messages_of(text: str, rule: str) -> list[str]:
    return [finding.message for finding in findings_of(text, rule)]


def unchecked_of(text: str, rule: str) -> list[str]:
    return [one.reason for one in review_of(text).not_checked if rule in one.rules]


def undecided_of(text: str, rule: str) -> list[str]:
    return [one.reason for one in review_of(text).not_decided if one.rule == rule]
