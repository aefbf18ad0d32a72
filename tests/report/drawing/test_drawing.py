"""The drawing of every sample panel, measured: facts of drafting, from memory where no other
source stands beside them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from netcheck.cli.loader import FileLoader
from netcheck.model.build import build_panel
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.reading.project import gather
from netcheck.report.drawing.chains import chains_of
from netcheck.report.drawing.composing import draw
from netcheck.report.drawing.figures import WIDE, Run, Shape, Sheet, Text
from netcheck.report.drawing.filling import FOOT, TALL
from netcheck.report.drawing.rows import Fitting
from netcheck.report.drawing.svg import DRAWN, written
from tests.report.drawing.measures import crossings, overlaps, run_over

ROOT = Path(__file__).parents[3]
PANELS = sorted((ROOT / "samples" / "panels").glob("*.panel"))
SOUND = sorted((ROOT / "samples" / "sound").glob("*.panel"))
SAMPLES = [*PANELS, *SOUND]
FAULTS = sorted((ROOT / "samples" / "faults").rglob("*.panel"))


@cache
def drawn(path: Path) -> tuple[Panel, tuple[Sheet, ...]]:
    loader = FileLoader({str(path): str(path.parent)}, {})
    panel, _ = build_panel(str(path), gather(str(path), loader))
    return panel, tuple(draw(panel))


def each(paths: list[Path]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("path", paths, ids=lambda path: path.stem)


@each(SAMPLES)
def test_no_text_and_no_symbol_overlaps_another(path: Path) -> None:
    _, sheets = drawn(path)
    assert [] == [(sheet.number, *pair) for sheet in sheets for pair in overlaps(sheet)]


@each(SAMPLES)
def test_no_conductor_runs_through_a_text_or_a_symbol(path: Path) -> None:
    _, sheets = drawn(path)
    assert [] == [(sheet.number, *pair) for sheet in sheets for pair in run_over(sheet)]


@each(SAMPLES)
def test_no_two_conductors_cross(path: Path) -> None:
    _, sheets = drawn(path)
    assert 0 == sum(len(crossings(sheet)) for sheet in sheets)


@each(SAMPLES)
def test_all_stands_on_its_sheet(path: Path) -> None:
    _, sheets = drawn(path)
    boxes = [
        (thing, thing.box, sheet.height)
        for sheet in sheets
        for thing in list[Text | Shape]([*sheet.texts, *sheet.shapes])
    ]
    assert [] == [
        thing
        for thing, (left, top, right, bottom), height in boxes
        if left < 0 or top < 0 or right > WIDE or bottom > height - FOOT
    ]


@each(SAMPLES)
def test_every_wire_is_drawn_once(path: Path) -> None:
    panel, sheets = drawn(path)
    shown = [run.wire for sheet in sheets for run in sheet.runs if run.wire is not None]
    assert sorted(wire.index for wire in panel.wires) == sorted(shown)


@each(SAMPLES)
def test_every_wire_ends_on_its_terminals(path: Path) -> None:
    panel, sheets = drawn(path)
    astray = []
    for sheet in sheets:
        standing = {(dot.terminal, round(dot.x, 1), round(dot.y, 1)) for dot in sheet.dots}
        for run in sheet.runs:
            if run.wire is None:
                continue
            wire = panel.wire_numbered[run.wire]
            first, last = ((round(x, 1), round(y, 1)) for x, y in (run.points[0], run.points[-1]))
            ends = [{(wire.a, *first), (wire.b, *last)}, {(wire.b, *first), (wire.a, *last)}]
            if not any(pair <= standing for pair in ends):
                astray.append(wire.full_label)
    assert [] == astray


@each(SAMPLES)
def test_every_part_stands_between_its_own_terminals(path: Path) -> None:
    panel, _ = drawn(path)
    chains = chains_of(panel, Fitting(panel))
    astray = [
        link.label
        for chain in chains
        for link, ends in zip(chain.links, pairwise(chain.terminals), strict=True)
        if {link.a, link.b} != set(ends)
    ]
    assert [] == astray


@each(SAMPLES)
def test_no_part_is_drawn_twice(path: Path) -> None:
    _, sheets = drawn(path)
    shown = [shape.part for sheet in sheets for shape in sheet.shapes if shape.part is not None]
    assert len(set(shown)) == len(shown)


@each(SAMPLES)
def test_every_contact_and_coil_that_is_wired_is_drawn(path: Path) -> None:
    panel, sheets = drawn(path)
    shown = {shape.part for sheet in sheets for shape in sheet.shapes}
    wired = [
        part
        for part in panel.parts
        if {part.a, part.b} <= set(panel.wires_at) and not part.inside and not part.spare
    ]
    missing = [
        part.label
        for part in wired
        if (part.conducts is Conducts.CONTACT or part.role == "coil") and part.index not in shown
    ]
    assert [] == missing


@each(PANELS)
def test_sheets_are_filled_but_for_the_last(path: Path) -> None:
    _, sheets = drawn(path)
    shares = [sheet.rungs[-1].bottom / (sheet.height - FOOT) for sheet in sheets]
    assert all(share > 0.75 for share in shares[:-1])
    assert {TALL} >= {sheet.height for sheet in sheets[:-1]}
    assert sheets[-1].height <= TALL


@each(PANELS)
def test_a_device_is_named_once_in_a_box_however_many_terminals_it_has_there(path: Path) -> None:
    panel, sheets = drawn(path)
    for sheet in sheets:
        named = [text.whole for text in sheet.texts if text.style == "n"]
        for name, device in panel.devices.items():
            boxes = sum(shape.device == name and shape.part is None for shape in sheet.shapes)
            if device.kind == "controller":
                assert named.count(name) == boxes


@each(PANELS)
def test_every_sheet_says_that_it_is_drawn_off_and_at_rest(path: Path) -> None:
    panel, sheets = drawn(path)
    assert all(DRAWN in written(panel, sheet, len(sheets)) for sheet in sheets)
    for shape in (shape for sheet in sheets for shape in sheet.shapes if shape.part is not None):
        part = panel.parts[shape.part or 0]
        if panel.devices[part.device].kind == "disconnect":
            assert re.search(r"L(11 -11|9 -9)", shape.svg)


def joined_in_the_text(panel: Panel) -> frozenset[frozenset[str]]:
    unions: Unions[str] = Unions()
    for wire in panel.wires:
        unions.join(wire.a, wire.b)
    return groups(unions, {end for wire in panel.wires for end in (wire.a, wire.b)})


def groups(unions: Unions[str], names: set[str]) -> frozenset[frozenset[str]]:
    found: dict[str, set[str]] = {}
    for name in names:
        found.setdefault(unions.find(name), set()).add(name)
    return frozenset(frozenset(group) for group in found.values())


def joined_on_paper(svgs: list[str]) -> frozenset[frozenset[str]]:
    """From the picture alone: a polyline of a wire joins the terminals its ends lie on."""
    unions: Unions[str] = Unions()
    names: set[str] = set()
    for svg in svgs:
        root = ElementTree.fromstring(svg)
        at: dict[tuple[str, str], list[str]] = {}
        for dot in root.iter("{http://www.w3.org/2000/svg}circle"):
            if name := dot.get("data-terminal"):
                at.setdefault((dot.attrib["cx"], dot.attrib["cy"]), []).append(name)
        for line in root.iter("{http://www.w3.org/2000/svg}polyline"):
            if line.get("data-wire") is None:
                continue
            points = line.attrib["points"].split()
            ends = [at[tuple(point.split(","))] for point in (points[0], points[-1])]  # type: ignore[index]
            names.update(name for end in ends for name in end)
            unions.join(ends[0][0], ends[1][0])
    return groups(unions, names)


@each(SAMPLES)
def test_what_the_drawing_joins_is_what_the_text_joins(path: Path) -> None:
    panel, sheets = drawn(path)
    svgs = [written(panel, sheet, len(sheets)) for sheet in sheets]
    assert joined_in_the_text(panel) == joined_on_paper(svgs)


def coil_references(sheets: tuple[Sheet, ...]) -> Iterator[str]:
    for sheet in sheets:
        yield from (text.text for text in sheet.texts if text.text.startswith("coil "))


@each(SAMPLES)
def test_a_contact_says_on_which_sheet_and_rung_its_coil_stands(path: Path) -> None:
    panel, sheets = drawn(path)
    rungs = {text.text for sheet in sheets for text in sheet.texts if text.style == "r"}
    told = list(coil_references(sheets))
    assert [] == [text for text in told if text.removeprefix("coil ") not in rungs]
    moved = [
        shape
        for sheet in sheets
        for shape in sheet.shapes
        if shape.part is not None
        and panel.parts[shape.part].conducts is Conducts.CONTACT
        and panel.mechanisms[panel.parts[shape.part].mechanism].moved_by_coil
        and panel.parts[shape.part].role != "main pole"
    ]
    assert len(told) >= len(moved)


@each(PANELS)
def test_a_coil_lists_its_contacts_with_sheet_and_rung(path: Path) -> None:
    _, sheets = drawn(path)
    rungs = {text.text for sheet in sheets for text in sheet.texts if text.style == "r"}
    listed = [
        text.text
        for sheet in sheets
        for text in sheet.texts
        if re.search(r"\d (opens|closes) ", text.text)
    ]
    assert listed
    assert [] == [text for text in listed if not {text.split()[-1]} & (rungs | {"spare"})]


@each(SAMPLES)
def test_the_same_panel_is_drawn_the_same(path: Path) -> None:
    panel, sheets = drawn(path)
    again = draw(panel)
    assert [written(panel, one, 1) for one in sheets] == [written(panel, one, 1) for one in again]


def test_symbols_follow_the_practice_of_the_panel() -> None:
    iec, sheets = drawn(ROOT / "samples" / "panels" / "potting_shed.panel")
    nec, others = drawn(ROOT / "samples" / "panels" / "greenhouse.panel")
    assert "IEC 60617" in written(iec, sheets[0], 1)
    assert "IEEE Std 315" in written(nec, others[0], 1)


def test_the_measures_see_what_they_are_to_see() -> None:
    sheet = Sheet(1, "Control", 700)
    sheet.texts += [Text(100, 100, "K1"), Text(104, 102, "K2")]
    sheet.shapes.append(Shape((90, 60, 120, 80), "", "K3"))
    sheet.runs += [
        Run("wire", ((50.0, 70.0), (200.0, 70.0)), 1, 1),
        Run("wire", ((150.0, 20.0), (150.0, 90.0)), 2, 2),
    ]
    assert [("K1", "K2")] == list(overlaps(sheet))
    assert [("K3", 1)] == list(run_over(sheet))
    assert 1 == len(crossings(sheet))


def test_every_faulty_sample_is_drawn_whole_and_clear() -> None:
    astray = []
    for path in FAULTS:
        panel, sheets = drawn(path)
        shown = sorted(run.wire for one in sheets for run in one.runs if run.wire is not None)
        astray += [path.name] if shown != sorted(wire.index for wire in panel.wires) else []
        astray += [path.name for one in sheets if [*overlaps(one), *run_over(one)]]
        astray += [path.name for one in sheets if crossings(one)]
    assert [] == astray
