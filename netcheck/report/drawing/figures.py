"""What a sheet of the drawing is made of, in units of which a sheet is 1050 wide.

Every line, letter and symbol is kept with its measures, so that what overlaps can be seen
without an eye.
"""

from __future__ import annotations

from netcheck.record import draft, fresh, record

WIDE = 1050.0
"""How wide a sheet is."""
LETTER = 0.605
"""How wide a letter of a fixed-width face is, of its size."""
SMALL = 13.7
"""Size of all letters.  On letter paper, 263 mm between its margins, a capital is then 2.5 mm high
(ISO 3098-1 names letters by the height of a capital, and has 2.5 mm in its series; that nothing
on a drawing should be lower is common practice, from memory).  A capital is 0.729 of the size in
the faces that are asked for first."""
PITCH = 15.5
"""From one line of text to the next."""

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""


def text_width(text: str, size: float) -> float:
    return len(text) * size * LETTER


@record
class Text:
    """One line of text; `y` is its base line, `anchor` what of it stands at `x`."""

    x: float
    y: float
    text: str
    size: float = SMALL
    anchor: str = "middle"
    style: str = ""
    whole: str = ""
    """The text before it was cut short."""

    @property
    def box(self) -> Box:
        wide = text_width(self.text, self.size)
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        left = self.x - wide * share
        return left, self.y - self.size * 0.76, left + wide, self.y + self.size * 0.2


@record
class Shape:
    """A symbol of a part, as SVG, and what room it takes; or the box of a whole device, with
    the part that is `pictured` in it, and its `picture`."""

    box: Box
    svg: str
    device: str
    part: int | None = None
    pictured: int | None = None
    picture: str = ""


@record
class Run:
    """A line from point to point: a `wire` by its number in the panel, or what leads to one.

    `sort` is wire, lead, rail, tie (one terminal in two places of the sheet) or link
    (moved together).
    """

    sort: str
    points: tuple[Point, ...]
    wire: int | None = None
    node: int = -1
    style: str = ""


@record
class Dot:
    """A terminal where it stands on a sheet."""

    terminal: str
    x: float
    y: float


@record
class Rung:
    """What of a sheet one rung takes, from `top` to `bottom`, and what stands in it."""

    top: float
    bottom: float
    terminals: frozenset[str]
    devices: frozenset[str]
    wires: frozenset[int]


@draft
class Sheet:
    """One sheet, as far as it is drawn."""

    number: int
    title: str
    height: float
    texts: list[Text] = fresh(factory=list)
    shapes: list[Shape] = fresh(factory=list)
    runs: list[Run] = fresh(factory=list)
    dots: list[Dot] = fresh(factory=list)
    rungs: list[Rung] = fresh(factory=list)


def cut(text: str, letters: int) -> str:
    return text if len(text) <= letters else text[: max(1, letters - 1)] + "\N{HORIZONTAL ELLIPSIS}"


def in_lines(text: str, letters: int, most: int) -> list[str]:
    """`text` in at most so many lines of so many letters, broken between words if it can be."""
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + 1 + len(word) <= letters:
            lines[-1] += " " + word
        else:
            lines.append(word)
    kept = lines[:most]
    if len(lines) > most and kept:
        kept[-1] = cut(kept[-1] + " " + lines[most], letters)
    return [cut(line, letters) for line in kept]
