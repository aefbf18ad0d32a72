"""Source text and the places in it.

Everything read from a panel's text remembers its `Span`, so that a finding can
point at the words that cause it.  Lines and columns count from 1, columns count
code points, and `end_column` is exclusive.
"""

from __future__ import annotations

from functools import cached_property

from netcheck.record import record


@record
class Span:
    """A run of characters on one line of one source."""

    path: str
    line: int
    column: int
    end_column: int

    def through(self, other: Span) -> Span:
        """From the start of this span to the end of `other`, kept to this line."""
        if other.path != self.path or other.line != self.line:
            return self
        return Span(
            self.path,
            self.line,
            min(self.column, other.column),
            max(self.end_column, other.end_column),
        )


@record
class Source:
    """One text as it was given: its path, exactly as the user wrote it, and its characters.

    A byte order mark is dropped; line ends may be LF, CRLF or CR.
    """

    path: str
    text: str

    @cached_property
    def lines(self) -> tuple[str, ...]:
        """The lines without their line ends.  Other control characters end no line."""
        text = self.text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
        return tuple(text.split("\n"))

    def line(self, number: int) -> str:
        """Line `number` counted from 1, or an empty string past the end."""
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""
