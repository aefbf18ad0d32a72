"""Everything a review says as one list, worst first, for forms that other programs read.

What could not be read, decided or checked stands in it beside the findings, under a name of
its own: a program that only counts entries must not take it for a pass.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

from netcheck.finding import Finding, NotChecked, NotDecided, Place, Review, Severity
from netcheck.record import record, replace

CANNOT_READ = "cannot read"
NOT_DECIDED = "not decided"
NOT_CHECKED = "not checked"
ACCEPTED = "accepted"
SWITCHED_OFF = "switched off"

OPEN_KINDS = {
    CANNOT_READ: "A text, or a part of it, that could not be understood",
    NOT_DECIDED: "A question that no proof answered",
    NOT_CHECKED: "A check that lacked data",
}
"""What is no finding of a rule, and what it means."""


@record
class Said:
    """One entry: `kind` is a severity or one of the words above, `rule` the rule that speaks.

    `identity` tells it from every other entry of its file, whatever lines move.
    `finding` is there for a finding, `reason` for one that is accepted.
    """

    kind: str
    rule: str
    message: str
    place: Place
    identity: str
    help: str = ""
    related: tuple[Place, ...] = ()
    finding: Finding | None = None
    reason: str = ""

    @property
    def is_accepted_danger(self) -> bool:
        """Whether it can hurt somebody though nothing is to be done about it."""
        return self.kind == ACCEPTED and (
            self.finding is not None and self.finding.severity is Severity.DANGER
        )

    @property
    def path(self) -> str:
        return self.place.span.path

    @property
    def headline(self) -> str:
        """Kind and message in one sentence, for who sees only that."""
        return f"{self.kind}: {self.message}"


def everything(review: Review) -> list[Said]:
    """What a form lists that has one list only: accepted dangers, what counts, the rest.

    What is accepted and can hurt somebody all the same comes first.
    """
    known = accepted(review)
    dangers = [one for one in known if one.is_accepted_danger]
    others = [one for one in known if not one.is_accepted_danger]
    return [*dangers, *said(review), *others, *switched_off(review)]


def said(review: Review) -> list[Said]:
    """Mistakes, findings, what is not decided and not checked, in this order."""
    return list(_numbered(_all(review)))


def accepted(review: Review) -> list[Said]:
    """The findings that are accepted, with the reasons."""
    return list(_numbered(_accepted(review)))


def switched_off(review: Review) -> list[Said]:
    """The rules that were not asked, each where that is chosen."""
    return list(_numbered(_switched_off(review)))


def _switched_off(review: Review) -> Iterator[Said]:
    for off in review.switched_off:
        message = f"`{off.rule}` is switched off by {tidy_path(off.place.span.path)}"
        identity = f"{SWITCHED_OFF} | {off.rule}"
        yield Said(SWITCHED_OFF, off.rule, message, off.place, identity, reason=off.reason)


def fingerprint(entry: Said, *, with_file: bool = False) -> str:
    """64 figures that stay while lines move and words change, and go with what is meant.

    `with_file` also tells the same fault in two files apart.
    """
    told = f"{entry.path}\n{entry.identity}" if with_file else entry.identity
    return hashlib.sha256(told.encode(errors="backslashreplace")).hexdigest()


def _all(review: Review) -> Iterator[Said]:
    for mistake in review.mistakes:
        yield Said(
            CANNOT_READ,
            CANNOT_READ,
            mistake.message,
            mistake.place,
            f"{CANNOT_READ} | {mistake.message}",
            mistake.help,
            mistake.related,
        )
    for finding in review.findings:
        yield _of(finding)
    for question in review.not_decided:
        yield _left_open(NOT_DECIDED, question, question.reason)
    for entry in review.not_checked:
        others = f" (and so for {', '.join(entry.also)})" if entry.also else ""
        yield _left_open(NOT_CHECKED, entry, f"{entry.reason}{others}")


def _left_open(kind: str, entry: NotChecked | NotDecided, message: str) -> Said:
    named = " ".join(sorted(entry.devices))
    identity = f"{kind} | {entry.rule} | {named} | {entry.reason}"
    return Said(kind, entry.rule or kind, message, entry.place, identity)


def _accepted(review: Review) -> Iterator[Said]:
    for entry in review.accepted:
        finding = entry.finding
        reason = f"{entry.reason} (until {entry.until})" if entry.until else entry.reason
        message = f"{finding.severity.value}, {finding.message}"
        yield Said(
            ACCEPTED,
            finding.rule,
            message,
            finding.place,
            f"{ACCEPTED} | {finding.identity}",
            finding=finding,
            reason=reason,
        )


def _of(finding: Finding) -> Said:
    return Said(
        finding.severity.value,
        finding.rule,
        finding.message,
        finding.place,
        finding.identity,
        finding.help,
        finding.related,
        finding,
    )


def _numbered(entries: Iterator[Said]) -> Iterator[Said]:
    """What is said twice of one file is told apart by a number."""
    seen: dict[tuple[str, str], int] = {}
    for entry in entries:
        key = entry.path, entry.identity
        seen[key] = seen.get(key, 0) + 1
        again = seen[key] > 1
        yield replace(entry, identity=f"{entry.identity} | {seen[key]}") if again else entry


def tidy_path(path: str) -> str:
    """A path as code hosts compare them: with `/`, without a leading `./`."""
    path = path.replace("\\", "/")
    while path.startswith("./"):
        path = path[2:]
    return path
