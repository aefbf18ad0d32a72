"""The symbols of a drawing, each with its item in the standard."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.report.drawing.clauses import Entry
from netcheck.report.page.html import Html, tag

ROOM = 'viewBox="-20 -17 40 34" width="60" height="51" class="sheet symbol"'


def symbol_list(entries: Sequence[Entry], standard: str) -> Html:
    """Folded up, for who asks what a symbol means."""
    head = tag("tr", *(tag("th", title, scope="col") for title in ("Symbol", "Stands for",
               f"In {standard}, from memory")))  # fmt: skip
    rows = [
        tag("tr", tag("td", _picture(entry)), tag("td", entry.words), tag("td", entry.item))
        for entry in entries
    ]
    table = tag("table", tag("thead", head), tag("tbody", *rows))
    return tag("details", tag("summary", "What the symbols stand for"), table, class_="symbols")


def _picture(entry: Entry) -> Html:
    return Html(f'<svg {ROOM} aria-hidden="true">{entry.svg}</svg>')
