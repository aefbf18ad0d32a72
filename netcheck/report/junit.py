"""A review in the XML that JUnit began and every build server reads.

One suite for each file that something is said of, and a passing case for every panel that
nothing is said of.  What was not checked, not decided or not readable is an error there: many
readers take a skipped case for a pass.  Skipped are accepted findings, and rules that were
switched off.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.finding import Review, Severity
from netcheck.report.closing import CAUTION, closing_line
from netcheck.report.said import (
    ACCEPTED,
    SWITCHED_OFF,
    Said,
    everything,
    tidy_path,
)
from netcheck.report.terminal import visible

SKIPPED = ACCEPTED, SWITCHED_OFF
FAILURES = frozenset(severity.value for severity in Severity)


def render(review: Review) -> str:
    """Return the document as text that ends with a line end."""
    suites: dict[str, list[str]] = {path: [_passing(path, review)] for path in review.clean}
    counted: dict[str, list[str]] = {path: ["passing"] for path in review.clean}
    for entry in everything(review):
        suites.setdefault(entry.path, []).extend(_case(entry))
        counted.setdefault(entry.path, []).append(_element(entry))
    for path in review.passed_over:
        told = "reads as it did before, and was not reviewed"
        suites[path] = _wrapped("testcase", _names("not reviewed", path), "skipped", told, told)
        counted[path] = ["skipped"]
    if not suites:
        suites[""] = [*_wrapped("testcase", _names("review", ""), "error", "nothing reviewed", "")]
        counted[""] = ["error"]
    every = [element for elements in counted.values() for element in elements]
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<testsuites name="netcheck"{_totals(every)}>',
    ]
    for path, cases in suites.items():
        lines += [
            f"  <testsuite{_attribute('name', tidy_path(path))}{_totals(counted[path])}>",
            *(f"    {line}" for line in cases),
            "  </testsuite>",
        ]
    lines += [f"  <!-- {_comment(closing_line(review))} -->", "</testsuites>"]
    return "\n".join(lines) + "\n"


def _element(entry: Said) -> str:
    if entry.kind in SKIPPED:
        return "skipped"
    return "failure" if entry.kind in FAILURES else "error"


def _totals(elements: Iterable[str]) -> str:
    found = list(elements)
    return (
        f' tests="{len(found)}" failures="{found.count("failure")}"'
        f' errors="{found.count("error")}" skipped="{found.count("skipped")}"'
    )


def _passing(path: str, review: Review) -> str:
    name = f"nothing found by {review.checks} checks"
    return f"<testcase{_names(name, path)}/>"


def _case(entry: Said) -> list[str]:
    span = entry.place.span
    message = entry.reason if entry.kind == ACCEPTED else entry.message
    told = [
        entry.headline,
        f"at {tidy_path(entry.path)}, line {span.line}, column {span.column}",
        *([f"reason: {entry.reason}"] if entry.reason else []),
        *([f"next: {entry.help}"] if entry.help else []),
        f"identity: {entry.identity}",
        *CAUTION,
    ]
    names = _names(entry.identity, entry.path)
    kind = "" if entry.kind in SKIPPED else _attribute("type", entry.kind)
    return _wrapped("testcase", names, _element(entry), message, "\n".join(told), kind)


def _wrapped(
    outer: str, names: str, inner: str, message: str, told: str, kind: str = ""
) -> list[str]:
    body = "\n".join(escaped(visible(line)) for line in told.split("\n"))
    return [
        f"<{outer}{names}>",
        f"  <{inner}{kind}{_attribute('message', message)}>{body}</{inner}>",
        f"</{outer}>",
    ]


def _names(name: str, path: str) -> str:
    return _attribute("classname", tidy_path(path)) + _attribute("name", name)


def _attribute(name: str, value: str) -> str:
    return f' {name}="{escaped(visible(value))}"'


def _comment(text: str) -> str:
    return escaped(visible(text)).replace("--", "- -")


def escaped(text: str) -> str:
    """Text with what XML gives a meaning written as entities; `visible` dealt with the rest."""
    for character, entity in (("&", "amp"), ("<", "lt"), (">", "gt"), ('"', "quot")):
        text = text.replace(character, f"&{entity};")
    return text
