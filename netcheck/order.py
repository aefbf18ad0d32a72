"""The order in which a review is printed: the same bytes every time."""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.finding import (
    SEVERITY_ORDER,
    Accepted,
    Family,
    Finding,
    Mistake,
    NotChecked,
    NotDecided,
    Proved,
    Review,
    Severity,
    SwitchedOff,
)
from netcheck.text import Span


def in_order(reviews: Iterable[Review]) -> Review:
    """All reviews as one: worst first, then by place and rule; equal findings are numbered.

    Reviews that are in order already may be among them: the numbers are given anew.
    """
    found = sorted(reviews, key=lambda review: (review.panels, review.clean))
    findings = sorted((f for r in found for f in r.findings), key=_finding_key)
    mistakes = sorted((m for r in found for m in r.mistakes), key=_mistake_key)
    return Review(
        _numbered(findings),
        tuple(sorted((n for r in found for n in r.not_checked), key=_open_key)),
        tuple(sorted((n for r in found for n in r.not_decided), key=_open_key)),
        tuple(sorted((a for r in found for a in r.accepted), key=_accepted_key)),
        tuple(dict.fromkeys(mistakes)),
        tuple(dict.fromkeys(text for r in found for text in r.assumed)),
        tuple(path for r in found for path in r.panels),
        max((r.checks for r in found), default=0),
        tuple(sorted((p for r in found for p in r.proved), key=_proved_key)),
        failures=tuple(text for r in found for text in r.failures),
        clean=tuple(path for r in found for path in r.clean),
        calculations=tuple(sheet for r in found for sheet in r.calculations),
        switched_off=_switched_off(found),
    )


def _switched_off(reviews: list[Review]) -> tuple[SwitchedOff, ...]:
    """Once each; what one project file chose for many panels is one choice."""
    every = dict.fromkeys(off for one in reviews for off in one.switched_off)
    return tuple(sorted(every, key=lambda off: (*_at(off.place.span), off.rule)))


def _finding_key(finding: Finding) -> tuple[object, ...]:
    """A short that its protection clears comes after the dangers that nothing clears."""
    cleared = finding.severity is Severity.DANGER and finding.family is Family.MISSING_LOAD
    return (
        SEVERITY_ORDER.index(finding.severity),
        cleared,
        *_at(finding.place.span),
        finding.rule,
        finding.message,
    )


def _open_key(one: NotChecked | NotDecided) -> tuple[object, ...]:
    return (*_at(one.place.span), one.rule, one.reason)


def _accepted_key(one: Accepted) -> tuple[object, ...]:
    return _finding_key(one.finding)


def _mistake_key(one: Mistake) -> tuple[object, ...]:
    return (*_at(one.place.span), one.message)


def _proved_key(one: Proved) -> tuple[object, ...]:
    return (*_at(one.place.span), one.what)


def _at(span: Span) -> tuple[str, int, int]:
    return span.path, span.line, span.column


def _numbered(findings: list[Finding]) -> tuple[Finding, ...]:
    seen: dict[tuple[str, str], int] = {}
    numbered = []
    for finding in findings:
        if finding.ordinal != 1:
            finding = finding.with_ordinal(1)
        key = finding.place.span.path, finding.identity
        seen[key] = seen.get(key, 0) + 1
        numbered.append(finding if seen[key] == 1 else finding.with_ordinal(seen[key]))
    return tuple(numbered)
