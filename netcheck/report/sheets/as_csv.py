"""A table as CSV that a spreadsheet opens without running any of it."""

from __future__ import annotations

import csv
import io

from netcheck.report.sheets.table import Cell, Table

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
QUOTE = "'"
"""Before a text that a spreadsheet would take for a formula."""


def written(table: Table) -> str:
    """UTF-8 text, CRLF, one row of titles; a text is never a formula."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([harmless(title) for title in table.columns])
    writer.writerows([[harmless(cell) for cell in row] for row in table.rows])
    return out.getvalue()


def harmless(cell: Cell) -> str:
    """A cell as text: control characters shown, and nothing that begins like a formula."""
    if not isinstance(cell, str):
        return str(cell)
    shown = "".join(
        character if character.isprintable() or character == "\n" else "\N{REPLACEMENT CHARACTER}"
        for character in cell
    )
    starts = shown.lstrip()[:1]
    # Full-width signs are taken for formulas too where a spreadsheet is set to an Asian language.
    risky = cell.startswith(FORMULA_STARTS) or (starts and starts in "=+-@＝＋－＠")
    return QUOTE + shown if shown and risky else shown
