"""The piece of the drawing beside a finding: whole, on its spot, for every sample fault."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from netcheck.cli.loader import FileLoader
from netcheck.finding import Finding, Review
from netcheck.model.panel import Panel
from netcheck.report.drawing.composing import draw
from netcheck.report.drawing.cut_out import TALLEST, cut_out
from netcheck.report.drawing.figures import Box
from netcheck.review import review
from tests.report.drawing.measures import overlap

ROOT = Path(__file__).parents[3]
FAULTS = sorted((ROOT / "samples" / "faults").rglob("*.panel"))
PICKED = FAULTS[::15]
SVG = "{http://www.w3.org/2000/svg}"


def reviewed(path: Path) -> tuple[Panel, Review]:
    panels: list[Panel] = []

    def keep(panel: Panel) -> tuple[Panel, tuple[str, ...]]:
        panels.append(panel)
        return panel, ()

    found, _ = review([str(path)], FileLoader({str(path): str(path.parent)}, {}), keep)
    return panels[0], found


def pieces(path: Path) -> list[tuple[Finding, str]]:
    panel, found = reviewed(path)
    sheets = draw(panel)
    return [(one, cut_out(panel, sheets, one)) for one in found.findings]


@pytest.mark.parametrize("path", PICKED, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_piece_is_whole_and_no_higher_than_it_may_be(path: Path) -> None:
    for _, svg in pieces(path):
        if not svg:
            continue
        root = ElementTree.fromstring(svg)
        _, top, _, height = map(float, root.attrib["viewBox"].split())
        assert height <= TALLEST + 150
        for text in root.iter(f"{SVG}text"):
            if text.get("class") != "s":  # a letter in a symbol stands where its symbol does
                assert top < float(text.attrib["y"]) < top + height
        assert not re.search("data-", svg)


def box_of(points: str) -> Box:
    pairs = [tuple(map(float, one.split(","))) for one in points.split()]
    xs, ys = [x for x, _ in pairs], [y for _, y in pairs]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("path", FAULTS[::4], ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_what_points_at_the_spot_hides_no_letter(path: Path) -> None:
    panel, found = reviewed(path)
    sheets = draw(panel)
    for finding in found.findings:
        svg = cut_out(panel, sheets, finding)
        spots = list(ElementTree.fromstring(svg or "<svg/>").iter(f"{SVG}polygon"))
        number = re.search(r"From sheet (\d+)", svg)
        for spot in spots:
            assert number
            box = box_of(spot.attrib["points"])
            sheet = sheets[int(number[1]) - 1]
            assert [] == [text.text for text in sheet.texts if overlap(text.box, box)]


def test_the_spot_of_a_short_is_pointed_at_and_its_path_drawn_heavy() -> None:
    path = ROOT / "samples" / "faults" / "missing-load" / "ammeter-across-the-line.panel"
    ((finding, svg),) = pieces(path)
    assert any(step.here for step in finding.path)
    root = ElementTree.fromstring(svg)
    assert 1 == sum(one.get("class") == "spot" for one in root.iter(f"{SVG}polygon"))
    heavy = [one for one in root.iter(f"{SVG}polyline") if "on" in (one.get("class") or "").split()]
    assert sum(step.by.startswith("wire") for step in finding.path) == len(heavy)


def test_a_finding_of_a_device_has_its_symbols_on_grey_ground() -> None:
    folder = ROOT / "samples" / "faults" / "emergency-stop-ahead-of-a-supply"
    ((finding, svg),) = pieces(folder / "clamp-on-the-supply.panel")
    assert not finding.path
    root = ElementTree.fromstring(svg)
    assert 2 == sum(one.get("class") == "ground" for one in root.iter(f"{SVG}rect"))


def test_what_names_nothing_that_is_drawn_has_no_piece() -> None:
    path = ROOT / "samples" / "faults" / "missing-load" / "ammeter-across-the-line.panel"
    panel, found = reviewed(path)
    (finding,) = found.findings
    nothing = Finding(finding.message, finding.place)
    assert "" == cut_out(panel, draw(panel), nothing)
