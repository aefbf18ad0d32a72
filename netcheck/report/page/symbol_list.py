"""The symbols of a drawing, each with its item in the standard."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.report.drawing.clauses import Entry
from netcheck.report.page.html import Html, joined, tag

ROOM = 'viewBox="-20 -17 40 34" width="60" height="51" class="sheet symbol"'


def symbol_list(entries: Sequence[Entry], standard: str) -> Html:
    """For who asks what a symbol means, on the screen and on paper."""
    items = [
        tag("li", _picture(entry), tag("span", entry.words, Html("<br>"), tag("small", entry.item)))
        for entry in entries
    ]
    said = f"What the symbols stand for, with their items in {standard}, from memory"
    return joined((tag("h3", said), tag("ul", *items, class_="symbols")), "\n")


def _picture(entry: Entry) -> Html:
    return Html(f'<svg {ROOM} aria-hidden="true">{entry.svg}</svg>')
