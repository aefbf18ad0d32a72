"""`netcheck report` as its user meets it."""

from __future__ import annotations

import csv
import os
import subprocess
import sys
from html import escape
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from netcheck.report.sheets import as_workbook
from tests.report.hostile import PANEL

ROOT = Path(__file__).parents[2]
SHED = ROOT / "samples" / "panels" / "potting_shed.panel"


def report(*arguments: str, given: str | None = None) -> Result:
    result = CliRunner().invoke(group, ["report", *arguments], input=given)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_a_sound_panel_gets_its_files_and_status_0(tmp_path: Path) -> None:
    result = report(str(SHED), "-o", str(tmp_path / "out"))
    assert (0, "") == (result.exit_code, result.stdout)
    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert {"report.html", "lists.xlsx", "wires.csv", "devices.csv", "isolation.csv"} <= set(names)
    assert [] == [name for name in names if name.startswith(".")]


def test_a_panel_with_findings_gets_its_files_and_status_1(tmp_path: Path) -> None:
    fault = next((ROOT / "samples" / "faults" / "missing-load").glob("*.panel"))
    assert 1 == report(str(fault), "-o", str(tmp_path)).exit_code
    assert "danger" in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_a_text_with_a_mistake_is_status_2_and_its_page_says_where(tmp_path: Path) -> None:
    panel = tmp_path / "a.panel"
    panel.write_text(PANEL + "bulb H9\n", encoding="utf-8")
    assert 2 == report(str(panel), "-o", str(tmp_path / "out")).exit_code
    assert "cannot read" in (tmp_path / "out" / "report.html").read_text(encoding="utf-8")


def test_what_describes_nothing_is_2_and_nothing_is_written(tmp_path: Path) -> None:
    result = report("-", "-o", str(tmp_path / "out"), given="# nothing\n")
    assert 2 == result.exit_code
    assert "describes no device" in result.stderr
    assert not (tmp_path / "out").exists()


def test_a_file_that_is_not_there_is_2_with_its_name(tmp_path: Path) -> None:
    result = report(str(tmp_path / "none.panel"), "-o", str(tmp_path / "out"))
    assert 2 == result.exit_code
    assert "none.panel" in result.stderr


NO_SOURCE = """\
panel "On the shelf"
switch S1 normally open 13-14 60 V DC 4 A
lamp H1 24 V DC 1 W
circuit "Lamp"
  S1:14 --2-- H1:X1
"""


def test_a_panel_without_a_source_gets_every_file_and_no_sheet_breaks(tmp_path: Path) -> None:
    result = report("-", "-o", str(tmp_path), given=NO_SOURCE)
    assert (1, "") == (result.exit_code, result.stderr.replace("making the report of -\n", ""))
    assert "No source" in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_the_folder_may_have_any_name_a_file_system_knows(tmp_path: Path) -> None:
    folder = tmp_path / "Gewächshaus 2, für die Werkstatt 温室"
    assert 0 == report(str(SHED), "-o", str(folder)).exit_code
    assert (folder / "report.html").stat().st_size


def test_the_page_has_the_rows_of_the_lists(tmp_path: Path) -> None:
    report(str(SHED), "-o", str(tmp_path))
    page = (tmp_path / "report.html").read_text(encoding="utf-8")
    for path in tmp_path.glob("*.csv"):
        section = page.partition(f'id="sheet-{path.stem}"')[2].partition("</section>")[0]
        heads = section.count('class="group"') + section.count("<thead>")
        with path.open(encoding="utf-8", newline="") as file:
            _, *rows = csv.reader(file)
        if path.stem == "calculations":  # lines worked out alike share a row, sources are a list
            assert [] == [row for row in rows if escape(row[1] or row[5]) not in section]
        else:
            assert len(rows) == section.count("<tr>") - heads, path.stem


def test_a_folder_that_cannot_be_made_is_2_with_its_name(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file", encoding="utf-8")
    result = report(str(SHED), "-o", str(tmp_path / "out" / "in"))
    assert 2 == result.exit_code
    assert "cannot write to" in result.stderr


def test_a_link_in_the_folder_is_replaced_and_never_followed(tmp_path: Path) -> None:
    outside = tmp_path / "outside.txt"
    outside.write_text("kept", encoding="utf-8")
    folder = tmp_path / "out"
    folder.mkdir()
    os.symlink(outside, folder / "report.html")
    assert 0 == report(str(SHED), "-o", str(folder)).exit_code
    assert "kept" == outside.read_text(encoding="utf-8")
    assert not (folder / "report.html").is_symlink()


def test_without_the_workbook_library_all_else_is_written_and_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)
    result = report(str(SHED), "-o", str(tmp_path))
    assert 0 == result.exit_code
    assert "no lists.xlsx" in result.stderr
    assert not (tmp_path / "lists.xlsx").exists()
    assert (tmp_path / "report.html").exists()


def test_a_workbook_that_cannot_be_made_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)
    with pytest.raises(as_workbook.NoWorkbookLibrary):
        as_workbook.written(())


def test_a_review_imports_nothing_of_the_report() -> None:
    program = (
        "import sys; from netcheck.cli.main import run\n"
        f"run(['review', {str(SHED)!r}])\n"
        "print(*[name for name in sys.modules if 'xlsx' in name or 'report.page' in name "
        "or 'report.sheets' in name or 'report.drawing' in name], file=sys.stderr)"
    )
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, check=True, capture_output=True, text=True
    )
    assert "" == run.stderr.strip()
