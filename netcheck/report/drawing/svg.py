"""A sheet of the drawing as SVG: ink on paper, as the page has them; no colour that a copier
would lose."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.model.panel import Panel
from netcheck.report.drawing.clauses import standard_of
from netcheck.report.drawing.figures import (
    PITCH,
    SMALL,
    WIDE,
    Run,
    Shape,
    Sheet,
    Text,
    cut,
    text_width,
)
from netcheck.report.page.html import safe

STYLE = """
.sheet text { font-family: 'DejaVu Sans Mono', Menlo, ui-monospace, Consolas, monospace;
  fill: var(--ink, #111); }
.sheet .n, .sheet .t { font-weight: bold; }
.sheet .w { font-style: italic; } .sheet .s { text-anchor: middle; }
.sheet path, .sheet rect, .sheet circle, .sheet polyline { fill: none;
  stroke: var(--ink, #111); stroke-width: 1.2; }
.sheet .wire { stroke-width: 1.1; } .sheet .heavy { stroke-width: 1.9; }
.sheet .rail { stroke-width: 2.8; } .sheet .field { stroke-dasharray: 9 2; }
.sheet .pe { stroke-dasharray: 7 2.5 1.5 2.5; }
.sheet .link { stroke-width: .8; stroke-dasharray: 2.5 2.5; }
.cut .ground { fill: var(--ground, #d9d9d9); stroke: none; }
.cut .on { stroke-width: 3.4; } .sheet .spot { fill: var(--ink, #111); }
.sheet .dot { fill: var(--paper, #fff); stroke-width: 1; } .sheet .edge { stroke-width: .6; }
"""

DRAWN = "drawn off and at rest"
AT_REST = (
    "Drawn off and at rest: no power, coils dead, disconnects and breakers off, buttons and "
    "process switches at rest, selectors in their first position.  Under the rung of a coil "
    "stand its contacts with sheet and rung, under a contact its coil."
)
"""The de-energized or shelf state: DOE-HDBK-1016/1-93, reading electrical diagrams and schematics.
That disconnects and breakers are drawn off too is common practice, from memory."""

LEGEND = (
    ("wire", "wire"),
    ("wire field", "core of a cable"),
    ("wire pe", "protective earth"),
    ("link", "moves together"),
    ("rail", "strip, bridged"),
)


def written(panel: Panel, sheet: Sheet, of: int) -> str:
    """One sheet as an element that can stand in a page or alone in a file."""
    title = f"Sheet {sheet.number} of {of}: {sheet.title}"
    pieces = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {sheet.height:g}" '
        f'class="sheet" role="img" aria-label="{safe(title)}">',
        f"<title>{safe(title)}</title>",
        *map(_run, sheet.runs),
        *map(_shape, sheet.shapes),
        *(
            f'<circle class="dot" cx="{dot.x:.1f}" cy="{dot.y:.1f}" r="2.1" '
            f'data-terminal="{safe(dot.terminal)}"/>'
            for dot in sheet.dots
        ),
        *map(written_text, sheet.texts),
        *_frame(panel, sheet, of),
        "</svg>",
    ]
    return "\n".join(pieces)


def _shape(shape: Shape) -> str:
    part = "" if shape.part is None else f' data-part="{shape.part}"'
    within = f'<g data-part="{shape.pictured}">{shape.picture}</g>' if shape.picture else ""
    return f'<g data-device="{safe(shape.device)}"{part}>{shape.svg}{within}</g>'


def _run(run: Run) -> str:
    wire = "" if run.wire is None else f' data-wire="{run.wire}"'
    return f'<polyline class="{line_style(run)}" points="{line_points(run)}"{wire}/>'


def line_points(run: Run) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in run.points)


def line_style(run: Run) -> str:
    return f"{run.sort} {run.style}".strip()


def written_text(text: Text) -> str:
    anchor = "" if text.anchor == "start" else f' text-anchor="{text.anchor}"'
    style = f' class="{text.style}"' if text.style else ""
    whole = f"<title>{safe(text.whole)}</title>" if text.whole not in ("", text.text) else ""
    return (
        f'<text x="{text.x:.1f}" y="{text.y:.1f}" font-size="{text.size:g}"{anchor}{style}>'
        f"{whole}{safe(text.text)}</text>"
    )


def _frame(panel: Panel, sheet: Sheet, of: int) -> Iterator[str]:
    """The foot of a sheet: what it is, by which practice, and what its lines mean."""
    y = sheet.height - 2 * PITCH - 8
    yield f'<path class="edge" d="M8 {y:g}H{WIDE - 8:g}"/>'
    y += PITCH
    said = f"symbols after {standard_of(panel)}"
    yield written_text(Text(WIDE - 10, y, said, anchor="end"))
    name = panel.settings.title or panel.path
    title = f"Sheet {sheet.number} of {of}: {sheet.title.lower()}, {name}"
    letters = int((WIDE - 40) / text_width("n", SMALL)) - len(said)
    yield written_text(Text(10, y, cut(title, letters), anchor="start", style="n", whole=title))
    y += PITCH
    x = 10.0
    for style, words in LEGEND:
        yield f'<path class="{style}" d="M{x:.1f} {y - 5:g}h24"/>'
        yield written_text(Text(x + 28, y, words, anchor="start"))
        x += 28 + text_width(words, SMALL) + 10
    yield written_text(Text(WIDE - 10, y, DRAWN, anchor="end"))
