"""All tables as one workbook.  Every text is written as text: no formula, no link."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime

from netcheck.report.sheets.table import Cell, Table

LONGEST_NAME = 31
WIDEST = 60
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
        for column, title in enumerate(table.columns):
            cells = [title, *(row[column] for row in table.rows)]
            widest = max((len(line) for cell in cells for line in str(cell).split("\n")), default=0)
            sheet.set_column(column, column, min(WIDEST, max(8, widest + 2)))
            sheet.write_string(0, column, _text(title), head)
        for line, row in enumerate(table.rows, 1):
            for column, cell in enumerate(row):
                if isinstance(cell, str):
                    sheet.write_string(line, column, _text(cell), body)
                else:
                    sheet.write_number(line, column, cell, body)
    book.close()
    return out.getvalue()


def _text(cell: Cell) -> str:
    """What XML cannot hold is shown as a replacement character."""
    unprintable = "\N{REPLACEMENT CHARACTER}"
    shown = "".join(one if one.isprintable() or one == "\n" else unprintable for one in str(cell))
    return shown[:LONGEST_TEXT]
