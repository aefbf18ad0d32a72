"""Panel texts that say in remarks what a review of them must come to.

A remark stands on the line that causes the outcome; its column is free:

    # expect: rule name, "words of the message"
    # expect not checked: rule name, "words of the reason"
    # expect not decided: rule name, "words of the reason"
    # expect error: words of the message

Of the second and third the words may be left out.  Several may stand on one line.
What is expected and what came must pair off one to one: nothing unmet, nothing surplus.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from netcheck.finding import Review
from netcheck.loading import CannotLoad
from netcheck.text import Source

MARK = re.compile(r"#\s*expect\b", re.IGNORECASE)
RULED = re.compile(
    r'(?P<kind>| not checked| not decided): *(?P<rule>[a-z0-9 ]+?)(?:, *"(?P<words>[^"]+)")?'
)
FAILING = re.compile(r" error: *(?P<words>.+)")
FINDING, ERROR = "finding", "error"


class UnreadableRemark(Exception):
    """A remark that begins like an expectation and is none: it would expect nothing."""


@dataclass(frozen=True, slots=True)
class Expected:
    """One outcome as a remark promises it; `rule` is empty for an error."""

    file: str
    line: int
    kind: str
    rule: str
    words: str

    def __str__(self) -> str:
        said = f'"...{self.words}..."' if self.words else "any words"
        return (
            f"{self.file}:{self.line}: {self.kind}: {f'{self.rule}: ' if self.rule else ''}{said}"
        )


@dataclass(frozen=True, slots=True)
class Actual:
    """One outcome as the review gave it."""

    file: str
    line: int
    kind: str
    rule: str
    message: str
    also: tuple[str, ...] = ()
    """Other rules that could not be checked for the same reason."""

    def meets(self, expected: Expected) -> bool:
        here = (self.file, self.line, self.kind) == (expected.file, expected.line, expected.kind)
        of_rule = expected.rule in (self.rule, *self.also)
        return here and of_rule and expected.words in self.message

    def __str__(self) -> str:
        rule = f"{self.rule}: " if self.rule else ""
        return f"{self.file}:{self.line}: {self.kind}: {rule}{self.message}"


class Texts:
    """A loader over a dictionary, path to text; includes are found beside what includes them."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        self.texts = texts

    def load(self, path: str) -> Source:
        if path not in self.texts:
            raise CannotLoad("there is no such file")
        return Source(path, self.texts[path])

    def resolve(self, included: str, from_path: str) -> str:
        return posixpath.normpath(posixpath.join(posixpath.dirname(from_path), included))

    def project_file(self, path: str) -> Source | None:
        known = posixpath.join(posixpath.dirname(path), "netcheck.toml")
        return Source(known, self.texts[known]) if known in self.texts else None


def expected_of(sources: Iterable[Source]) -> list[Expected]:
    """Every expectation in the remarks of these texts.  Raises UnreadableRemark."""
    found = []
    for source in sources:
        for number, line in enumerate(source.lines, 1):
            found += [_read(source.path, number, said) for said in MARK.split(line)[1:]]
    return found


def _read(file: str, line: int, said: str) -> Expected:
    said = said.rstrip()
    if failing := FAILING.fullmatch(said):
        return Expected(file, line, ERROR, "", failing["words"])
    ruled = RULED.fullmatch(said)
    if ruled is None or (not ruled["kind"] and not ruled["words"]):
        raise UnreadableRemark(f"{file}:{line}: expect{said}")
    return Expected(
        file, line, ruled["kind"].strip() or FINDING, ruled["rule"], ruled["words"] or ""
    )


def actual_of(review: Review) -> list[Actual]:
    """Every outcome of a review, failures of the program itself included."""
    found = [
        Actual(f.place.span.path, f.place.span.line, FINDING, f.rule, f.message)
        for f in review.findings
    ]
    found += [
        Actual(o.place.span.path, o.place.span.line, "not checked", o.rule, o.reason, o.also)
        for o in review.not_checked
    ]
    found += [
        Actual(o.place.span.path, o.place.span.line, "not decided", o.rule, o.reason)
        for o in review.not_decided
    ]
    found += [
        Actual(m.place.span.path, m.place.span.line, ERROR, "", m.message) for m in review.mistakes
    ]
    return found + [Actual("", 0, "failure", "", failure) for failure in review.failures]


def differences(expected: Iterable[Expected], actual: Iterable[Actual]) -> list[str]:
    """What is unmet and what is surplus, each as one line; empty if all pairs off."""
    unmet, surplus = [], list(actual)
    # The longest words first, so that a vaguer expectation does not take their outcome.
    for wanted in sorted(expected, key=lambda one: -len(one.words)):
        met = next((outcome for outcome in surplus if outcome.meets(wanted)), None)
        if met is None:
            unmet.append(f"unmet    {wanted}")
        else:
            surplus.remove(met)
    return sorted(unmet) + sorted(f"surplus  {outcome}" for outcome in surplus)
