"""All tables as one workbook.  Every text is written as text: no formula, no link."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime

from netcheck.report.sheets.table import Cell, Table

LONGEST_NAME = 31
NARROWEST, WIDEST = 8, 60
"""Letters that a column is wide at least, and at most."""
ROOM = 180
"""Letters on a line of paper that lies, 11 points made 8: what fits a page is not smaller."""
LONGEST_TEXT = 32_767


class NoWorkbookLibrary(Exception):
    """XlsxWriter is not installed."""


def written(tables: Sequence[Table]) -> bytes:
    """The workbook, the same bytes for the same tables.  NoWorkbookLibrary if none can be made."""
    try:
        import xlsxwriter
    except ImportError:
        raise NoWorkbookLibrary from None
    out = io.BytesIO()
    plain = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    book = xlsxwriter.Workbook(out, plain)
    book.set_properties({"created": datetime(2000, 1, 1)})  # no date of the day: same bytes
    head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
    body = book.add_format({"text_wrap": True, "valign": "top"})
    for table in tables:
        sheet = book.add_worksheet(table.name[:LONGEST_NAME])
        sheet.freeze_panes(1, 0)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(0)
        sheet.set_footer("&L&A&R&P of &N")
        for column, (title, wide) in enumerate(zip(table.columns, _widths(table), strict=True)):
            sheet.set_column(column, column, wide)
            sheet.write_string(0, column, _text(title), head)
        for line, row in enumerate(table.rows, 1):
            for column, cell in enumerate(row):
                if isinstance(cell, str):
                    sheet.write_string(line, column, _text(cell), body)
                else:
                    sheet.write_number(line, column, cell, body)
    book.close()
    return out.getvalue()


def _widths(table: Table) -> list[int]:
    """For the longest line of each column; the widest are cut down until all fit a page."""
    wanted = [
        max(len(line) for cell in (title, *cells) for line in str(cell).split("\n")) + 2
        for title, *cells in zip(table.columns, *table.rows, strict=True)
    ]
    widest = WIDEST
    while widest > NARROWEST and sum(min(one, widest) for one in wanted) > ROOM:
        widest -= 1
    return [min(widest, max(NARROWEST, one)) for one in wanted]


def _text(cell: Cell) -> str:
    """What XML cannot hold is shown as a replacement character."""
    unprintable = "\N{REPLACEMENT CHARACTER}"
    shown = "".join(one if one.isprintable() or one == "\n" else unprintable for one in str(cell))
    return shown[:LONGEST_TEXT]
