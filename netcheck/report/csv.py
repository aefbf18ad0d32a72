"""A review as a table of comma-separated values (RFC 4180), a row each, for a spreadsheet.

A cell that a spreadsheet would take for a formula gets an apostrophe before it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from netcheck.finding import Review
from netcheck.report.closing import CAUTION, closing_line
from netcheck.report.said import Said, everything
from netcheck.report.terminal import visible

COLUMNS = (
    *("kind", "rule", "message", "file", "line", "column", "devices", "wires", "state", "steps"),
    *("next", "source", "reason", "identity"),
)
FORMULA = tuple("=+-@\t\r\n|%")


def render(review: Review) -> str:
    """Return the table: its heading, a row for each entry, and the counts as the last row."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for entry in everything(review):
        writer.writerow(map(cell, _row(entry)))
    closing: list[str | int] = [
        "result",
        "",
        closing_line(review),
        "",
        0,
        0,
        *[""] * (len(COLUMNS) - 6),
    ]
    writer.writerow(map(cell, closing))
    caution: list[str | int] = ["caution", "", " ".join(CAUTION), "", 0, 0, *[""] * 8]
    writer.writerow(map(cell, caution))
    return text.getvalue()


def _row(entry: Said) -> Iterable[str | int]:
    finding, span = entry.finding, entry.place.span
    yield from (entry.kind, entry.rule, entry.message, entry.path, span.line, span.column)
    if finding is None:
        yield from ("", "", "", "", entry.help, "")
    else:
        yield from (" ".join(finding.devices), ", ".join(finding.wires))
        yield ", ".join(f"{name} {position}" for name, position in finding.state.items())
        yield from ("; ".join(finding.steps), finding.help, finding.reference.text)
    yield from (entry.reason, entry.identity)


def cell(value: str | int) -> str:
    """A value as no spreadsheet runs it.  Our own numbers stay numbers."""
    if isinstance(value, int):
        return str(value or "")
    shown = visible(value)
    return f"'{shown}" if shown.lstrip().startswith(FORMULA) else shown
