"""Panels that the tests of the sheets share."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from netcheck.cli.loader import FileLoader
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.table import Table

ROOT = Path(__file__).parents[3]
GREENHOUSE = ROOT / "samples" / "panels" / "greenhouse.panel"


@cache
def greenhouse() -> Bench:
    return Bench(read(GREENHOUSE))


def read(path: Path) -> Panel:
    loader = FileLoader({str(path): str(path.parent)}, {})
    return build_panel(str(path), gather(str(path), loader))[0]


def rows_with(table: Table, **cells: str) -> list[dict[str, object]]:
    """Rows as mappings, those of which the named columns (blanks as underscores) hold so."""
    rows: list[dict[str, object]] = [
        dict(zip(table.columns, row, strict=True)) for row in table.rows
    ]
    wanted = {key.replace("_", " "): value for key, value in cells.items()}
    return [row for row in rows if all(row[key] == value for key, value in wanted.items())]
