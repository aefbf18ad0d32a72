"""Bars that show at a glance what a table says in figures: hatched, so that a copier keeps them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.record import record
from netcheck.report.drawing.figures import Text, cut
from netcheck.report.drawing.svg import written_text
from netcheck.report.page.html import safe

WIDE = 760.0
NAMES = 190.0
FIGURES = 150.0
HIGH = 17.0
STEP = 27.0
SIZE = 10.0
SPACING = {"close": 3.0, "wide": 8.0}
MOST_LETTERS = int(NAMES / (SIZE * 0.605)) - 1


@record
class Piece:
    """A stretch of a bar; `hatch` is `close`, `wide` or empty."""

    amount: float
    hatch: str


@record
class Bar:
    """One bar, from the left in pieces; `limit` is drawn as a heavy mark across it."""

    name: str
    pieces: tuple[Piece, ...]
    figure: str
    limit: float | None = None

    @property
    def most(self) -> float:
        return max(self.total, self.limit or 0.0)

    @property
    def total(self) -> float:
        return sum(piece.amount for piece in self.pieces)


def bars(title: str, found: Sequence[Bar], key: Sequence[tuple[str, str]]) -> str:
    """An SVG of all bars to one scale; `key` tells what each hatch means."""
    most = max((one.most for one in found), default=0.0)
    if not most:
        return ""
    scale = (WIDE - NAMES - FIGURES) / most
    height = STEP * (len(found) + 1) + 6
    pieces = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {height:g}" '
        f'class="chart" role="img" aria-label="{safe(_in_words(title, found))}">',
        f"<title>{safe(title)}</title>",
    ]
    for number, one in enumerate(found):
        pieces += _bar(one, 4 + STEP * number, scale)
    pieces += _key(key, height - 9)
    return "\n".join([*pieces, "</svg>"])


def _in_words(title: str, found: Sequence[Bar]) -> str:
    return f"{title}: " + "; ".join(f"{one.name} {one.figure}" for one in found)


def _bar(one: Bar, y: float, scale: float) -> Iterator[str]:
    name = cut(one.name, MOST_LETTERS)
    yield written_text(Text(NAMES - 8, y + 12, name, SIZE, "end", "", one.name))
    x = NAMES
    for piece in one.pieces:
        wide = piece.amount * scale
        yield from _hatched(x, y, wide, piece.hatch)
        x += wide
    if one.limit is not None:
        at = NAMES + one.limit * scale
        yield f'<path class="limit" d="M{at:.1f} {y - 3:.1f}V{y + HIGH + 3:.1f}"/>'
    end = NAMES + one.most * scale + 8
    yield written_text(Text(end, y + 12, one.figure, SIZE, "start", "", one.figure))


def _hatched(x: float, y: float, wide: float, hatch: str, high: float = HIGH) -> Iterator[str]:
    yield f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{high:g}"/>'
    spacing = SPACING.get(hatch)
    if spacing:
        strokes = (x + spacing * step for step in range(1, int(wide / spacing) + 1))
        lines = "".join(f"M{at:.1f} {y:.1f}v{high:g}" for at in strokes if at < x + wide - 0.5)
        if lines:
            yield f'<path class="hatch" d="{lines}"/>'


def _key(key: Sequence[tuple[str, str]], y: float) -> Iterator[str]:
    x = NAMES
    for hatch, words in key:
        if hatch == "limit":
            yield f'<path class="limit" d="M{x + 12:.1f} {y - 10:.1f}v12"/>'
        else:
            yield from _hatched(x, y - 10, 24, hatch, 12)
        yield written_text(Text(x + 30, y, words, SIZE - 1, "start", "", words))
        x += 42 + len(words) * (SIZE - 1) * 0.605
