"""A table of a report: on the page, as CSV and in a workbook it holds the same."""

from __future__ import annotations

import re

from netcheck.record import record

Cell = str | int | float


@record
class Table:
    """Rows under column titles.

    `name` is its file's; `notes` stand above it, `empty` in its place where it has no rows.
    `ticks` are columns left blank for a pen.  `open` counts what in it was left undecided.
    """

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    empty: str = "none"
    ticks: frozenset[int] = frozenset()
    open: int = 0
    grouped: bool = False
    """Whether rows of one first cell stand together under it."""
    shared: tuple[int, ...] = ()
    """Columns that on the page stand with the name of a group: their cells are part of it."""
    once: tuple[int, ...] = ()
    """Columns of which a group has one cell at most, which on the page stands with its name."""
    joined: int | None = None
    """The column whose cells share a row on the page where all others in it are the same."""
    key: str = ""
    """The group that only explains signs used in the others: a list under the table."""
    picture: str = ""
    """The same as SVG, for the page alone."""


_FIGURES = re.compile(r"(\d+)")


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that puts wire 9 before wire 10."""
    return tuple(
        (0, int(piece[:15]), piece) if piece.isdecimal() and piece.isascii() else (1, 0, piece)
        for piece in _FIGURES.split(text)
        if piece
    )
