"""A review as annotations of a GitHub workflow: one command a line on standard output.

A step shows ten annotations of each level and drops the rest without a word; here the last of
ten says how many more there are.
"""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.finding import Review, Severity
from netcheck.report.closing import closing_line
from netcheck.report.said import (
    ACCEPTED,
    CANNOT_READ,
    SWITCHED_OFF,
    Said,
    everything,
    tidy_path,
)
from netcheck.report.terminal import visible

MOST = 10
LEVELS = {
    CANNOT_READ: "error",
    Severity.DANGER: "error",
    Severity.QUERY: "notice",
    ACCEPTED: "notice",
    SWITCHED_OFF: "notice",
}


def render(review: Review) -> str:
    """Return the commands, accepted dangers first, then the worst; last a line with the counts."""
    levels: dict[str, list[Said]] = {"error": [], "warning": [], "notice": []}
    for entry in everything(review):
        levels[LEVELS.get(entry.kind, "warning")].append(entry)
    begun_by_danger = [level for level, entries in levels.items() if _begins_accepted(entries)]
    lines = []
    for level in dict.fromkeys([*begun_by_danger, *levels]):
        entries = levels[level]
        fit = len(entries) <= MOST
        lines += [_annotation(level, entry) for entry in (entries if fit else entries[: MOST - 1])]
        if not fit:
            more = len(entries) - MOST + 1
            lines.append(f"::{level} title=netcheck::{more} more like these are not shown here")
    # With a word before it: a line of a report that begins with `::` would be a command.
    return "\n".join([*lines, f"netcheck: {_data(closing_line(review))}"]) + "\n"


def _begins_accepted(entries: Sequence[Said]) -> bool:
    return bool(entries) and entries[0].is_accepted_danger


def _annotation(level: str, entry: Said) -> str:
    span = entry.place.span
    properties = {
        "file": tidy_path(entry.path),
        "line": str(max(span.line, 1)),
        "col": str(max(span.column, 1)),
        "endColumn": str(max(span.end_column - 1, span.column, 1)),
        "title": entry.rule,
    }
    told = [entry.headline, entry.reason, entry.help, " ".join(_state(entry))]
    text = "\n".join(visible(line) for line in told if line)
    said = ",".join(f"{name}={_property(value)}" for name, value in properties.items())
    return f"::{level} {said}::{_data(text)}"


def _state(entry: Said) -> list[str]:
    if entry.finding is None or not entry.finding.state:
        return []
    state = entry.finding.state.items()
    return ["when", ", ".join(f"{name} {position}" for name, position in state)]


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(visible(text)).replace(":", "%3A").replace(",", "%2C")
