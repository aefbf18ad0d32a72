"""The symbols, each with its item in the standard: from memory, as nobody here read either."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest

from netcheck.report.drawing.clauses import CLAUSES, PRACTICE, entries, sort_of
from netcheck.report.drawing.symbols import symbol
from tests.report.drawing.test_drawing import FAULTS, PANELS, SAMPLES, drawn

SHARED = [
    # IEEE Std 315 draws them alike: two bars, and a slash through those that are closed.
    {"contact, open", "pole, open", "trip, open"},
    {"contact, closed", "pole, closed", "trip, closed"},
]


def test_a_symbol_means_one_thing_and_a_thing_has_one_symbol() -> None:
    by_sort: dict[tuple[bool, str], set[str]] = defaultdict(set)
    by_shape: dict[tuple[bool, str], set[str]] = defaultdict(set)
    for path in [*SAMPLES, *FAULTS]:
        panel, sheets = drawn(path)
        iec = panel.settings.practice.iec
        for shape in (shape for sheet in sheets for shape in sheet.shapes):
            if shape.part is None:
                continue
            part = panel.parts[shape.part]
            device = panel.devices[part.device]
            sort, svg = sort_of(panel, device, part), symbol(panel, device, part)
            by_sort[iec, sort].add(svg)
            by_shape[iec, svg].add(sort)
    assert [] == [key for key, shapes in by_sort.items() if len(shapes) > 1]
    several = [sorts for sorts in by_shape.values() if len(sorts) > 1]
    assert [] == [sorts for sorts in several if not any(sorts <= shared for shared in SHARED)]
    assert len(by_sort) > 50


@pytest.mark.parametrize("path", PANELS, ids=lambda path: path.stem)
def test_every_symbol_of_a_drawing_is_listed_with_its_item(path: Path) -> None:
    panel, sheets = drawn(path)
    listed = {entry.sort: entry for entry in entries(panel, sheets)}
    shapes = [shape for sheet in sheets for shape in sheet.shapes]
    drawn_parts = {shape.part for shape in shapes} | {shape.pictured for shape in shapes}
    parts = [panel.parts[index] for index in drawn_parts if index is not None]
    shown = {sort_of(panel, panel.devices[part.device], part) for part in parts}
    assert shown == set(listed)
    for sort, entry in listed.items():
        clause = CLAUSES[sort]
        assert entry.item == (clause.iec if panel.settings.practice.iec else clause.ieee)


def test_few_symbols_have_no_item() -> None:
    none = [sort for sort, one in CLAUSES.items() if one.ieee == one.iec == PRACTICE]
    assert ["output", "load", "joint"] == none
