"""Measures of a drawn sheet: what overlaps, what crosses, what stands where it should."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from netcheck.report.drawing.figures import Box, Point, Run, Sheet

Segment = tuple[Point, Point]


def overlap(one: Box, other: Box, by: float = 0.2) -> bool:
    return (
        one[0] < other[2] - by
        and other[0] < one[2] - by
        and one[1] < other[3] - by
        and other[1] < one[3] - by
    )


def inside(inner: Box, outer: Box) -> bool:
    return (
        outer[0] <= inner[0]
        and outer[1] <= inner[1]
        and inner[2] <= outer[2]
        and inner[3] <= outer[3]
    )


def overlaps(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Texts and symbols that run over one another; what stands in its device's frame does not."""
    texts = [(text.text, text.box) for text in sheet.texts]
    shapes = [(shape.device, shape.box, shape.part) for shape in sheet.shapes]
    for (one, box), (other, other_box) in combinations(texts, 2):
        if overlap(box, other_box):
            yield one, other
    for (one, box, part), (other, other_box, other_part) in combinations(shapes, 2):
        framed = one == other and (
            (part is None and inside(other_box, box))
            or (other_part is None and inside(box, other_box))
        )
        if overlap(box, other_box) and not framed:
            yield one, other
    for text, box in texts:
        for device, other_box, part in shapes:
            framed = part is None and inside(box, other_box)
            if overlap(box, other_box) and not framed:
                yield text, device


def segments(run: Run) -> Iterator[Segment]:
    yield from zip(run.points, run.points[1:], strict=False)


def meeting(one: Segment, other: Segment) -> Point | None:
    """Where an upright and a level segment cross inside both; None if they do not."""
    for upright, level in ((one, other), (other, one)):
        (x, top), (x2, bottom) = sorted(upright, key=lambda point: point[1])
        (left, y), (right, y2) = sorted(level)
        if x == x2 and y == y2 and left + 0.5 < x < right - 0.5 and top + 0.5 < y < bottom - 0.5:
            return x, y
    return None


def crossings(sheet: Sheet) -> list[tuple[Run, Run]]:
    """Conductors of two nodes that cross."""
    conductors = [run for run in sheet.runs if run.sort in ("wire", "tie", "rail")]
    return [
        (one, other)
        for one, other in combinations(conductors, 2)
        if one.node != other.node
        and any(meeting(a, b) for a in segments(one) for b in segments(other))
    ]


def run_over(sheet: Sheet) -> Iterator[tuple[str, int | None]]:
    """Texts and symbols that a conductor runs through."""
    for run in sheet.runs:
        if run.sort not in ("wire", "tie", "rail"):
            continue
        for (x, y), (x2, y2) in segments(run):
            line = (min(x, x2) + 0.6, min(y, y2) - 0.1, max(x, x2) - 0.6, max(y, y2) + 0.1)
            if x == x2:
                line = (x - 0.1, min(y, y2) + 0.6, x + 0.1, max(y, y2) - 0.6)
            for text in sheet.texts:
                if overlap(line, text.box, 0):
                    yield text.text, run.wire
            for shape in sheet.shapes:
                if overlap(line, shape.box, 0.05):
                    yield shape.device, run.wire
