"""Lines of a screen as narrow as a telephone's: fields, lists, hanging indents."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from netcheck.report.terminal import columns, padded, visible, wrapped

NARROWEST = 40
NAME_WIDTH = 11
BELOW = 4
"""Columns that is set in what finds no room beside what it belongs to."""
LEAST_ROOM = 14
"""Of the last cell of a row."""
STYLES = {"live": "1;31", "bad": "1;31", "good": "1;32", "mark": "1", "name": "2"}


class Page:
    """`width` in columns; None wraps nothing."""

    def __init__(self, *, colour: bool, width: int | None) -> None:
        self._colour = colour
        self.width = None if width is None else max(width, NARROWEST)
        self.lines: list[str] = []

    def paint(self, style: str, text: str) -> str:
        return f"\x1b[{STYLES[style]}m{text}\x1b[0m" if self._colour and text else text

    def blank(self) -> None:
        if self.lines and self.lines[-1]:
            self.lines.append("")

    def say(self, text: str, style: str = "", indent: int = 0, hang: int = 2) -> None:
        """A sentence, its further lines set in."""
        room = None if self.width is None else self.width - indent - hang
        first, *more = wrapped(visible(text), room)
        self.lines.append(" " * indent + (self.paint(style, first) if style else first))
        for line in more:
            spaces = " " * (indent + hang)
            self.lines.append(spaces + (self.paint(style, line) if style else line))

    def field(self, name: str, texts: Iterable[str]) -> None:
        """A name, and beside it a sentence or several, a line each at least."""
        room = None if self.width is None else self.width - NAME_WIDTH
        lines = []
        for text in texts:
            first, *more = wrapped(visible(text), None if room is None else room - 2)
            lines += [first, *(f"  {line}" for line in more)]
        for place, line in enumerate(lines):
            lead = name if place == 0 else ""
            self.lines.append(self.paint("name", padded(lead, NAME_WIDTH)) + line)

    def row(self, cells: Sequence[tuple[str, int]], last: str, style: str = "") -> None:
        """Cells of fixed width, then one that wraps below itself, or below them all where they
        leave it no room."""
        leads = [""]
        for text, size in cells:
            cell = padded(visible(text), size) + ("" if columns(text) < size else " ")
            if leads[-1].strip() and not self._has_room(leads[-1], columns(cell.rstrip())):
                leads.append(" " * BELOW)
            leads[-1] += cell
        if not self._has_room(leads[-1], min(columns(visible(last)), LEAST_ROOM)):
            leads.append(" " * BELOW)
        room = None if self.width is None else self.width - columns(leads[-1])
        first, *more = wrapped(visible(last), room)
        lines = [lead.rstrip() for lead in (*leads[:-1], leads[-1] + first)]
        lines += [" " * columns(leads[-1]) + text for text in more]
        painted = len(leads) if style else 0
        self.lines += [self.paint(style, line) for line in lines[:painted]] + lines[painted:]

    def _has_room(self, lead: str, size: int) -> bool:
        return self.width is None or columns(lead) + size <= self.width

    @property
    def text(self) -> str:
        return "\n".join(line.rstrip() for line in self.lines).rstrip("\n") + "\n"
