"""The whole page: what the panel is, what was found, the drawing, the sheets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from netcheck import __version__
from netcheck.figure import figure
from netcheck.finding import Review
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.report.closing import CAUTION, closing_line
from netcheck.report.drawing.clauses import Entry, standard_of
from netcheck.report.drawing.svg import AT_REST, STYLE
from netcheck.report.page.findings import found
from netcheck.report.page.html import Content, Html, joined, safe, tag, ticked
from netcheck.report.page.live import desk, policy, scripts
from netcheck.report.page.live_style import LIVE
from netcheck.report.page.style import SHEET
from netcheck.report.page.symbol_list import symbol_list
from netcheck.report.sheets.table import Cell, Table


@record
class Section:
    anchor: str
    title: str
    body: Html
    left_open: int = 0
    form: str = ""
    """`form` where it is filled in by hand, and so starts a sheet of paper of its own; `form short`
    where it is half a sheet at most, and so need only not be cut."""


def document(
    panel: Panel,
    review: Review,
    drawn: Sequence[str],
    tables: Sequence[Table],
    cut_outs: Sequence[str] = (),
    live: Mapping[str, Any] | None = None,
    symbols: Sequence[Entry] = (),
) -> str:
    """The page as text, the same for the same panel; `cut_outs` go with the findings, `live` is
    what the live part works with, `symbols` are those drawn."""
    title = panel.settings.title or panel.path
    legend = symbol_list(symbols, standard_of(panel)) if symbols else Html("")
    sections = list(_sections(review, drawn, tables, cut_outs, live, legend))
    style = SHEET + STYLE + (LIVE if live is not None else "")
    body = joined(
        (
            tag("a", "To the findings", href="#findings", class_="skip"),
            tag("header", tag("h1", title), _facts(panel), _caution(), _contents(sections)),
            tag("main", *(_section(section) for section in sections)),
            tag("footer", _caution(), _signed()),
        ),
        "\n",
    )
    return (
        "<!DOCTYPE html>\n"
        '<html lang="en"><head><meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy(style, live)}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{safe(title)}</title>\n<style>{style}</style></head>\n"
        f"<body>\n{body.text}\n{scripts(live).text}</body></html>\n"
    )


def _facts(panel: Panel) -> Html:
    settings = panel.settings
    said = "" if settings.practice_said else " (taken, for the text names none)"
    facts: list[tuple[str, str]] = [
        ("described in", panel.path),
        ("practice", f"{settings.practice}{said}"),
        ("ambient", "" if settings.ambient_c is None else figure(settings.ambient_c, "degC")),
        ("numbers", f"one for each {settings.numbers}" if settings.numbers else ""),
        ("drop limit", "" if settings.drop_limit is None else _percent(settings.drop_limit)),
        ("sources", "; ".join(_sources(panel))),
        ("holds", f"{len(panel.devices)} devices, {len(panel.wires)} wires, "
                  f"{len(panel.cables)} cables"),
        ("made by", f"netcheck {__version__}"),
    ]  # fmt: skip
    shown = [joined((tag("dt", name), tag("dd", said))) for name, said in facts if said]
    return tag("dl", *shown, class_="facts")


def _percent(share: float) -> str:
    return f"{figure(share * 100)} %"


def _sources(panel: Panel) -> Iterator[str]:
    for source in panel.sources:
        if source.inputs:
            continue
        device = panel.devices[source.device]
        poles = ", ".join(source.poles)
        hertz = "" if source.frequency_hz is None else f" {figure(source.frequency_hz, 'Hz')}"
        yield f"{device.name} {device.description} ({source.kind}{hertz}; {poles})"


def _caution() -> Html:
    return tag("p", " ".join(CAUTION), class_="caution", role="note")


def _contents(sections: Sequence[Section]) -> Html:
    items = [
        tag("li", tag("a", section.title, href=f"#{section.anchor}"),
            f", {section.left_open} left open" if section.left_open else "")
        for section in sections
    ]  # fmt: skip
    return tag("nav", tag("ol", *items), aria_label="Contents")


def _signed() -> Html:
    lines = [tag("span", said) for said in ("Checked against the panel by", "Date", "Revision")]
    return tag("div", *lines, class_="signed")


def _sections(
    review: Review,
    drawn: Sequence[str],
    tables: Sequence[Table],
    cut_outs: Sequence[str],
    live: Mapping[str, Any] | None,
    legend: Html,
) -> Iterator[Section]:
    left = len(review.not_checked) + len(review.not_decided) + len(review.mistakes)
    yield Section("findings", "Findings", _findings(review, cut_outs), left)
    yield Section("drawing", "Drawing", _drawing(drawn, legend), not drawn)
    if live is not None:
        yield Section("live", "Live page and exercise", desk(live))
    for table in tables:
        pieces = int(_side_by_side(table, _shown(table)).removeprefix("by-") or 1)
        short = " short" if len(table.rows) / pieces <= SHORT_FORM else ""
        form = f"form{short}" if table.ticks and table.rows else ""
        yield Section(f"sheet-{table.name}", table.title, _table(table), table.open, form)


SHEETS_LAID_OUT = 3
ROWS_LAID_OUT = 40
"""What there is more of is laid out by a browser only when the window comes near; its class is
`far`.  Paper has all of it."""


def _drawing(drawn: Sequence[str], legend: Html) -> Html:
    """The sheets, each as SVG that was escaped where it was made, and what their symbols mean."""
    if not drawn:
        return tag("p", "Not drawn: netcheck itself failed at it; please report it.")
    sheets = [
        tag("figure", tag("div", Html(svg), class_="wide", tabindex="0", role="region",
                          aria_label=f"Sheet {number} of the drawing"),
            class_="far" if number > SHEETS_LAID_OUT else "near")
        for number, svg in enumerate(drawn, 1)
    ]  # fmt: skip
    return joined((tag("p", AT_REST, class_="faint"), legend, *sheets), "\n")


def _findings(review: Review, cut_outs: Sequence[str]) -> Html:
    closing = tag("p", tag("strong", closing_line(review)))
    assumed: Content = ""
    if review.assumed:
        lines = [tag("li", ticked(line)) for line in review.assumed]
        assumed = joined((tag("h3", "Assumed, where the text says nothing"), tag("ul", *lines)))
    return joined((closing, found(review, cut_outs), assumed), "\n")


SHORT_FORM = 20
"""Rows of a form that takes half a sheet of paper at most."""
FILLED_IN = ("Panel and revision", "Done by", "Date")


def _section(section: Section) -> Html:
    if not section.form:
        return tag("section", tag("h2", section.title), section.body, id=section.anchor)
    filled = tag("div", *(tag("span", said) for said in FILLED_IN), class_="signed of-form")
    return tag(
        "section",
        tag("h2", section.title),
        filled,
        section.body,
        id=section.anchor,
        class_=section.form,
    )


def _table(table: Table) -> Html:
    notes = [tag("p", ticked(note), class_="faint") for note in table.notes]
    if not table.rows:
        return joined((*notes, tag("p", f"{table.empty[:1].upper()}{table.empty[1:]}.")))
    shown = _shown(table)
    head = tag("tr", *(_head(table.columns[column]) for column in shown))
    key = [tag("li", str(row[-1])) for row in table.rows if table.key and row[0] == table.key]
    named = (tag("h3", table.key.capitalize()), tag("ul", *key, class_="key")) if key else ()
    whole = tag("table", tag("thead", head), Html("\n"), *_bodies(table, shown))
    far = "far" if len(table.rows) > ROWS_LAID_OUT else ""
    style = " ".join(filter(None, ("wide", far, _side_by_side(table, shown))))
    region = tag("div", whole, class_=style, tabindex="0", role="region", aria_label=table.title)
    chart = tag("div", Html(table.picture), class_="bars") if table.picture else Html("")
    return joined((*notes, chart, region, *named), "\n")


def _shown(table: Table) -> list[int]:
    """The columns that the page has: none that stands with the groups' names or is empty."""
    return [
        column
        for column in range(int(table.grouped), len(table.columns))
        if column not in (*table.shared, *table.once)
        and (column in table.ticks or any(row[column] != "" for row in table.rows))
    ]


PAPER_MM = 186.0
"""How wide a table may be on the narrower of letter and A4."""
GAP_MM = 6.0
CAPITAL_MM, LETTER_MM, POINT_MM = 1.92, 1.42, 0.8
"""How wide capitals, other letters and figures, and points and blanks of 8 points are, about."""
PAD_MM, PEN_MM = 1.8, 9.0
"""Room beside a cell, and for a box to tick."""
MOST_KEPT = 4
"""Rows of a group that is never cut by the end of a page."""
LONG_CELL = 80
"""Letters in a cell of a table that needs the whole width."""
FEW_ROWS = 16


def _side_by_side(table: Table, shown: Sequence[int]) -> str:
    """How many pieces of a narrow table stand side by side on paper."""
    if len(table.rows) < FEW_ROWS or any(table.columns[column] in SIGNED for column in shown):
        return ""
    if (
        max(len(line) for row in table.rows for one in shown for line in _lines(row[one]))
        > LONG_CELL
    ):
        return ""
    wide = sum(_column_mm(table, column) for column in shown)
    for pieces in (3, 2):
        if wide <= (PAPER_MM - GAP_MM * (pieces - 1)) / pieces:
            return f"by-{pieces}"
    return ""


def _lines(cell: Cell) -> list[str]:
    return str(cell).split("\n")


def _column_mm(table: Table, column: int) -> float:
    """Wide enough for what is never broken, and for nine cells of ten in one line."""
    if column in table.ticks:
        return PEN_MM
    cells = [str(row[column]) for row in table.rows]
    whole = sorted(max(map(_wide_mm, _lines(cell))) for cell in cells)
    unbroken = [*table.columns[column].split()]
    for cell in cells:
        unbroken += [cell] if len(cell) <= SHORT else cell.split()
    return max(whole[len(whole) * 9 // 10], *map(_wide_mm, unbroken)) + PAD_MM


def _wide_mm(text: str) -> float:
    capitals = sum(one.isupper() for one in text)
    points = sum(not one.isalnum() for one in text)
    others = len(text) - capitals - points
    return CAPITAL_MM * capitals + LETTER_MM * others + POINT_MM * points


def _head(title: str) -> Html:
    return tag("th", title, scope="col", class_=_fit(title))


def _bodies(table: Table, shown: Sequence[int]) -> Iterator[Html]:
    """The rows; of a grouped table those of each group, under its name."""
    rows = [row for row in _joined_rows(table) if not (table.key and row[0] == table.key)]
    for _, group in groupby(rows, lambda row: _group(table, row)):
        members = list(group)
        told = [tag("tr", *(_cell(table, one, row[one]) for one in shown)) for row in members]
        if table.grouped:
            told.insert(0, _group_head(table, members, len(shown)))
        kept = {"class_": "kept"} if table.grouped and len(members) <= MOST_KEPT else {}
        yield tag("tbody", joined(told, "\n"), **kept)


def _group(table: Table, row: Sequence[Cell]) -> tuple[Cell, ...]:
    return (row[0], *(row[column] for column in table.shared)) if table.grouped else ()


def _group_head(table: Table, rows: Sequence[Sequence[Cell]], wide: int) -> Html:
    first = rows[0]
    name = str(first[0]) or f"without a {table.columns[0]}"
    shared = ", ".join(str(first[column]) for column in table.shared if first[column] != "")
    once = [
        tag("p", f"{table.columns[column]}: ", str(row[column]).replace("\n", ", "))
        for column in table.once
        for row in rows
        if row[column] != ""
    ]
    said = f"{name}: {shared}" if shared else name
    return tag("tr", tag("th", said, *once, class_="group", colspan=str(wide), scope="rowgroup"))


def _joined_rows(table: Table) -> Iterator[Sequence[Cell]]:
    """The rows; those that differ in the joined column alone as one, where the first stands."""
    at = table.joined
    if at is None:
        yield from table.rows
        return
    alike: dict[tuple[Cell, ...], list[Cell]] = {}
    for row in table.rows:
        alike.setdefault((*row[:at], *row[at + 1 :]), []).append(row[at])
    for rest, cells in alike.items():
        yield *rest[:at], "; ".join(map(str, cells)) if len(cells) > 1 else cells[0], *rest[at:]


SIGNED = ("locked by", "proved dead by", "spares kept", "read")


def _cell(table: Table, column: int, cell: object) -> Html:
    if column in table.ticks:
        return tag("td", "", class_="sign" if table.columns[column] in SIGNED else "pen")
    if not isinstance(cell, str):
        return tag("td", str(cell), class_="n")
    lines = cell.split("\n")
    style = _fit(cell)
    if len(lines) > 1:
        return tag("td", *(tag("p", line) for line in lines), class_=style)
    return tag("td", cell, class_=style)


LONG_WORD = 20
SHORT = 13


def _fit(text: str) -> str:
    """`one` keeps a short text on one line; `cut` lets words be cut that no column can hold."""
    if len(text) <= SHORT:
        return "one"
    return "cut" if max(map(len, text.split()), default=0) > LONG_WORD else "words"
