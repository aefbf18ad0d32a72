"""Crossings of the drawing against those of a layered layout of the same graph.

The layered layout is that of Sugiyama, Tagawa and Toda (1981), as fast-sugiyama draws it: its
edges stand as lines between neighbouring layers, so that crossings can be counted.  The drawing
may have one and a half times as many.  It has none at all, for a branch that would cross goes on
at a flag with sheet and rung: that is paid for with flags, which the layered layout has not.

`python -m tests.report.drawing.test_crossings` prints both counts and the flags for each sample.
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import fast_sugiyama

from netcheck.report.drawing.figures import Point
from tests.report.drawing.measures import crossings
from tests.report.drawing.test_drawing import PANELS, drawn, each

ALLOWED = 1.5
Line = tuple[Point, Point]


def layered_crossings(path: Path) -> int:
    """Of a layered layout whose vertices are terminals, and edges wires and parts."""
    panel, sheets = drawn(path)
    shown = {shape.part for sheet in sheets for shape in sheet.shapes if shape.part is not None}
    ends = [(wire.a, wire.b) for wire in panel.wires]
    ends += [(panel.parts[index].a, panel.parts[index].b) for index in sorted(shown)]
    numbers: dict[str, int] = {}
    edges = [
        (numbers.setdefault(a, len(numbers)), numbers.setdefault(b, len(numbers))) for a, b in ends
    ]
    layouts = fast_sugiyama.from_edges([edge for edge in edges if edge[0] != edge[1]])
    total = 0
    for positions, _, _, drawn_edges in layouts:
        at = dict(positions)
        lines = [(at[a], at[b]) for a, b in drawn_edges or ()]
        total += sum(cross(one, other) for one, other in combinations(lines, 2))
    return total


def cross(one: Line, other: Line) -> bool:
    """Whether two lines meet inside both."""
    if set(one) & set(other):
        return False
    return _apart(one, other) and _apart(other, one)


def _apart(line: Line, ends: Line) -> bool:
    (x, y), (x2, y2) = line
    sides = [(x2 - x) * (b - y) - (y2 - y) * (a - x) for a, b in ends]
    return sides[0] * sides[1] < 0


def counts(path: Path) -> tuple[int, int, int]:
    """Crossings of the drawing, those of the layered layout, flags of the drawing."""
    _, sheets = drawn(path)
    own = sum(len(crossings(sheet)) for sheet in sheets)
    texts = [text for sheet in sheets for text in sheet.texts if text.style == "f"]
    flags = sum(text.text.startswith("\N{RIGHTWARDS ARROW}") for text in texts)
    return own, layered_crossings(path), flags


@each(PANELS)
def test_the_drawing_crosses_no_more_than_half_again_as_often_as_a_layered_layout(
    path: Path,
) -> None:
    own, layered, _ = counts(path)
    assert own <= ALLOWED * layered


def test_crossed_lines_are_counted() -> None:
    assert cross(((0, 0), (2, 2)), ((0, 2), (2, 0)))
    assert not cross(((0, 0), (2, 2)), ((0, 0), (2, 0)))
    assert not cross(((0, 0), (2, 0)), ((0, 1), (2, 1)))


if __name__ == "__main__":
    print(f"{'panel':16}{'drawing':>9}{'layered':>9}{'flags':>9}")
    for panel_path in PANELS:
        print(f"{panel_path.stem:16}{''.join(f'{one:9}' for one in counts(panel_path))}")
