"""Reports that several files of tests look at, each made once, and a browser for each file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from netcheck.cli.main import group
from tests.bench.panels import SAMPLES
from tests.browser import Browser, browser
from tests.report.hostile import PANEL

HOSTILE = "hostile"

ReportOf = Callable[[Path], Path]


@pytest.fixture(scope="module")
def session() -> Iterator[Browser]:
    with browser() as found:
        yield found


@pytest.fixture(scope="session")
def report_of(tmp_path_factory: pytest.TempPathFactory) -> ReportOf:
    """The page that the command writes for a panel."""

    @cache
    def report(panel: Path) -> Path:
        folder = tmp_path_factory.mktemp(panel.stem)
        result = CliRunner().invoke(group, ["report", str(panel), "-o", str(folder)])
        assert result.exit_code in (0, 1, 3), result.output
        return folder / "report.html"

    return report


class Pages(dict[str, Path]):
    """The reports of the sample panels by name, made when first asked for; and of hostile words."""

    def __init__(self, report_of: ReportOf, folder: Path) -> None:
        super().__init__()
        self._report_of = report_of
        self._hostile = folder / f"{HOSTILE}.panel"
        self._hostile.write_text(PANEL, encoding="utf-8")

    def __missing__(self, name: str) -> Path:
        panel = self._hostile if name == HOSTILE else SAMPLES / f"{name}.panel"
        self[name] = self._report_of(panel)
        return self[name]


@pytest.fixture(scope="session")
def pages(report_of: ReportOf, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    return Pages(report_of, tmp_path_factory.mktemp("hostile"))
