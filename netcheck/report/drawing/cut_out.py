"""The piece of the drawing that a finding is about: its rungs, its path drawn heavy, its spot
pointed at."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise

from netcheck.finding import Finding
from netcheck.model.devices import device_of
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.report.drawing.figures import WIDE, Box, Point, Rung, Sheet
from netcheck.report.drawing.svg import line_points, line_style, written_text
from netcheck.report.page.html import safe

TALLEST = 380.0
"""A piece that would be higher shows what stands around the spot."""
AIR = 7.0
POINTERS = ((0, 1), (0.8, 0.8), (-0.8, 0.8), (0, -1), (0.8, -0.8), (-0.8, -0.8), (1, 0), (-1, 0))
"""Ways from which a pointer may come to a terminal, the best first: from below, where a wire
has no letters."""
TIP, TAIL, SLIM = 3.0, 17.0, 5.5
"""How far from the terminal a pointer begins and ends, and half its width there."""


@record
class _Subject:
    """What a finding names, as the drawing knows it."""

    spots: tuple[str, ...]
    terminals: frozenset[str]
    devices: frozenset[str]
    wires: frozenset[int]

    def weight(self, rung: Rung) -> int:
        """How much of it stands in a rung: the spot before the path, the path before names."""
        found = 100 * len(rung.terminals.intersection(self.spots))
        found += 10 * len(rung.wires & self.wires)
        return found + 3 * len(rung.terminals & self.terminals) + len(rung.devices & self.devices)


def cut_out(panel: Panel, sheets: Sequence[Sheet], finding: Finding) -> str:
    """The piece as SVG; empty where nothing that the finding names is drawn."""
    subject = _subject(panel, finding)
    weights = [
        (subject.weight(rung), sheet, number)
        for sheet in sheets
        for number, rung in enumerate(sheet.rungs)
    ]
    best = max(weights, key=lambda one: one[0], default=None)
    if best is None or not best[0]:
        return ""
    _, sheet, number = best
    top, bottom = _band(sheet, number, subject)
    return "\n".join(_written(sheet, subject, top, bottom))


def _subject(panel: Panel, finding: Finding) -> _Subject:
    named = set(finding.wires)
    on_path = {step.at for step in finding.path}
    passed = {step.by for step in finding.path}
    wires = {
        wire.index
        for wire in panel.wires
        if panel.called(wire) in named
        or ({wire.a, wire.b} <= on_path and {wire.label, wire.full_label} & passed)
    }
    spots = [step.at for step in finding.path if step.here]
    if not spots and not wires:
        first = [name for name in finding.devices[:1] if name in panel.devices]
        spots = [end for name in first for end in panel.devices[name].terminals]
    return _Subject(tuple(spots), frozenset(on_path), frozenset(finding.devices), frozenset(wires))


def _band(sheet: Sheet, number: int, subject: _Subject) -> tuple[float, float]:
    """From the heaviest rung up and down as far as rungs belong to it and there is room."""
    first = last = number
    while True:
        beside = [
            (subject.weight(sheet.rungs[at]), at)
            for at in (first - 1, last + 1)
            if 0 <= at < len(sheet.rungs) and subject.weight(sheet.rungs[at])
        ]
        if not beside:
            break
        _, at = max(beside)
        low, high = min(first, at), max(last, at)
        if sheet.rungs[high].bottom - sheet.rungs[low].top > TALLEST:
            break
        first, last = low, high
    return _whole(sheet, sheet.rungs[first].top, sheet.rungs[last].bottom)


def _whole(sheet: Sheet, top: float, bottom: float) -> tuple[float, float]:
    """So much more that no symbol and no letter in it is cut."""
    boxes: list[Box] = [*(one.box for one in sheet.shapes), *(one.box for one in sheet.texts)]
    while True:
        cut = [box for box in boxes if box[1] < bottom and top < box[3]]
        wanted = min([top, *(box[1] for box in cut)]), max([bottom, *(box[3] for box in cut)])
        if wanted == (top, bottom):
            return top - AIR, bottom + AIR
        top, bottom = wanted


def _written(sheet: Sheet, subject: _Subject, top: float, bottom: float) -> Iterator[str]:
    title = f"From sheet {sheet.number}"
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 {top:.1f} {WIDE:g} '
        f'{bottom - top:.1f}" class="sheet cut" role="img" aria-label="{safe(title)}">'
    )
    yield f"<title>{safe(title)}</title>"
    devices = {device_of(name) for name in subject.spots} if not subject.terminals else set[str]()
    yield from _shaded(sheet, devices, top, bottom)
    for run in sheet.runs:
        if any(top <= y <= bottom for _, y in run.points):
            on = " on" if run.wire in subject.wires else ""
            yield f'<polyline class="{line_style(run)}{on}" points="{line_points(run)}"/>'
    yield from (one.svg + one.picture for one in sheet.shapes if _inside(one.box, top, bottom))
    for dot in sheet.dots:
        if top <= dot.y <= bottom:
            yield f'<circle class="dot" cx="{dot.x:.1f}" cy="{dot.y:.1f}" r="2.1"/>'
    yield from (written_text(one) for one in sheet.texts if _inside(one.box, top, bottom))
    if not devices:
        yield from _pointers(sheet, subject.spots, top, bottom)
    yield "</svg>"


def _inside(box: Box, top: float, bottom: float) -> bool:
    return top <= box[1] and box[3] <= bottom


def _shaded(sheet: Sheet, devices: set[str], top: float, bottom: float) -> Iterator[str]:
    """A grey ground behind the symbols of a device that is the spot as a whole."""
    for shape in sheet.shapes:
        if shape.device in devices and _inside(shape.box, top, bottom):
            left, high, right, low = shape.box
            yield (
                f'<rect class="ground" x="{left - 4:.1f}" y="{high - 4:.1f}" '
                f'width="{right - left + 8:.1f}" height="{low - high + 8:.1f}"/>'
            )


def _pointers(sheet: Sheet, spots: Collection[str], top: float, bottom: float) -> Iterator[str]:
    """A wedge at each terminal of the spot, from where it hides no letter and no line."""
    for dot in sheet.dots:
        if dot.terminal in spots and top <= dot.y <= bottom:
            _, _, ends = min(
                (len(list(_hidden(sheet, _box(ends)))), number, ends)
                for number, ends in enumerate(_wedge(dot.x, dot.y, *way) for way in POINTERS)
            )
            points = " ".join(f"{x:.1f},{y:.1f}" for x, y in ends)
            yield f'<polygon class="spot" points="{points}"/>'


def _wedge(x: float, y: float, across: float, down: float) -> tuple[Point, Point, Point]:
    """A triangle that points at (x, y)."""
    end = x + TAIL * across, y + TAIL * down
    return (
        (x + TIP * across, y + TIP * down),
        (end[0] - SLIM * down, end[1] + SLIM * across),
        (end[0] + SLIM * down, end[1] - SLIM * across),
    )


def _box(points: Sequence[Point]) -> Box:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _hidden(sheet: Sheet, box: Box) -> Iterator[Box]:
    """What of a sheet stands in a box: letters and symbols first of all, so twice; then lines."""
    for one in [text.box for text in sheet.texts] * 2 + [shape.box for shape in sheet.shapes] * 2:
        if one[0] < box[2] and box[0] < one[2] and one[1] < box[3] and box[1] < one[3]:
            yield one
    for run in sheet.runs:
        for start, end in pairwise(run.points):
            line = _box((start, end))
            if line[0] < box[2] and box[0] < line[2] and line[1] < box[3] and box[1] < line[3]:
                yield line
