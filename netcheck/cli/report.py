"""`netcheck report`: what goes to the bench, to the builder and into the file, in one folder."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from netcheck.cli import options
from netcheck.cli.given import STANDARD_INPUT, given_panels, readable, standard_input
from netcheck.cli.loader import SUFFIX, FileLoader
from netcheck.cli.screen import Progress, note
from netcheck.cli.status import Status, status_of
from netcheck.record import record

if TYPE_CHECKING:
    from netcheck.finding import Review
    from netcheck.model.panel import Panel
    from netcheck.report.drawing.clauses import Entry

PAGE = "report.html"
WORKBOOK = "lists.xlsx"

MEANING = """\b
Exit status:
  0  the report is written, and nothing was found or left open
  1  it is written, and has findings
  2  wrong use, something that cannot be read or cannot be written
  3  it is written, and something in it was not checked or not decided"""


@click.command("report", epilog=MEANING)
@click.argument("path", metavar="PANEL")
@click.option(
    "-o",
    "--output",
    "folder",
    metavar="FOLDER",
    required=True,
    type=click.Path(file_okay=False),
    help="Folder the files go to; it is made where there is none.",
)
@click.option(
    "--as", "as_path", metavar="PATH", help="The file whose text `-` reads from standard input."
)
@options.root
@click.pass_context
def command(
    ctx: click.Context, path: str, folder: str, as_path: str | None, root: str | None
) -> None:
    """Write a report of PANEL: findings, drawing, lists and sheets to work by.

    PANEL is a file or `-` for standard input.  FOLDER then holds report.html, a page that
    needs nothing beside itself; each list as a CSV file; and all of them in lists.xlsx.
    """
    if as_path and path != STANDARD_INPUT:
        raise click.UsageError("--as names the text that `-` reads; give `-` as PANEL")
    if os.path.isdir(path):
        raise click.UsageError(f"{path!r} is a folder; name one panel")
    given = given_panels([path], as_path, root)
    unsaved = {as_path or STANDARD_INPUT: standard_input()} if path == STANDARD_INPUT else {}
    loader = FileLoader(given.roots, unsaved)
    if not readable(given, loader):
        note(f"netcheck: cannot read {given.mistakes[0].message}")
        ctx.exit(Status.WRONG)
    with Progress(lambda: f"making the report of {loader.latest}"):
        panel, review = _reviewed(given.paths[0], loader)
        if not panel.devices:
            note(f"netcheck: {panel.path!r} describes no device; there is nothing to report")
            ctx.exit(Status.WRONG)
        files, left_open = _made(panel, review)
    written = _write(folder, files)
    ctx.exit(_status(review, left_open) if written else Status.WRONG)


def _reviewed(path: str, loader: FileLoader) -> tuple[Panel, Review]:
    from netcheck.review import review

    panels: list[Panel] = []

    def keep(panel: Panel) -> tuple[Panel, tuple[str, ...]]:
        panels.append(panel)
        return panel, ()

    reviewed, _ = review([path], loader, keep)
    return panels[0], reviewed


def _made(panel: Panel, review: Review) -> tuple[Mapping[str, bytes], int]:
    """The files by name, and how many things in them were left open beside the review's own."""
    from netcheck.report.page.document import document
    from netcheck.report.sheets import as_csv, as_workbook
    from netcheck.report.sheets.bench import Bench
    from netcheck.report.sheets.every import make_sheets

    made = make_sheets(Bench(panel))
    drawing, failures = _drawn(panel, review)
    live, unfit = _live(panel)
    failures += unfit
    for failed in [*made.failures, *failures]:
        note(f"netcheck: internal error, please report it: {failed}")
    page = document(
        panel, review, drawing.sheets, made.tables, drawing.pieces, live, drawing.symbols
    )
    files = {PAGE: page.encode("utf-8", "replace")}
    for table in made.tables:
        files[f"{table.name}.csv"] = as_csv.written(table).encode("utf-8", "replace")
    try:
        files[WORKBOOK] = as_workbook.written(made.tables)
    except as_workbook.NoWorkbookLibrary:
        note(f"netcheck: no {WORKBOOK}: it takes `pip install panel-netcheck[report]`")
    return files, sum(table.open for table in made.tables) + len(failures)


@record
class Drawing:
    """The sheets as SVG, the piece of them for each finding, and the symbols on them."""

    sheets: Sequence[str] = ()
    pieces: Sequence[str] = ()
    symbols: Sequence[Entry] = ()


def _drawn(panel: Panel, review: Review) -> tuple[Drawing, list[str]]:
    """An empty drawing, and what netcheck failed at, where it did."""
    from netcheck.report.drawing.clauses import entries
    from netcheck.report.drawing.composing import draw
    from netcheck.report.drawing.cut_out import cut_out
    from netcheck.report.drawing.svg import written

    try:
        sheets = draw(panel)
        pieces = [cut_out(panel, sheets, finding) for finding in review.findings]
        whole = [written(panel, sheet, len(sheets)) for sheet in sheets]
        return Drawing(whole, pieces, entries(panel, sheets)), []
    except Exception as error:
        return Drawing(), [f"Drawing: {type(error).__name__}: {error}"]


def _live(panel: Panel) -> tuple[dict[str, Any] | None, list[str]]:
    """What the live part of the page works with; or nothing, and what netcheck failed at."""
    from netcheck.bench.as_found import as_found
    from netcheck.bench.drills import tasks_of
    from netcheck.bench.exercise_data import exercise_data
    from netcheck.bench.live_model import live_model
    from netcheck.case import Case
    from netcheck.facts.component_values import ComponentValues

    try:
        panel = as_found(panel)
        model = live_model(panel, Case(panel).conclude(ComponentValues))
        return {**model, "exercise": exercise_data(panel, tasks_of(panel))}, []
    except Exception as error:
        return None, [f"Live page: {type(error).__name__}: {error}"]


def _status(review: Review, left_open: int) -> Status:
    status = status_of(review)
    return Status.OPEN if status is Status.NOTHING and left_open else status


def _write(folder: str, files: Mapping[str, bytes]) -> bool:
    """Write every file or say which could not be; one that is there is replaced in one move."""
    try:
        os.makedirs(folder, exist_ok=True)
        for name, content in files.items():
            _write_whole(folder, name, content)
    except OSError as error:
        note(f"netcheck: cannot write to {folder!r}: {error.strerror or error}")
        return False
    return True


def _write_whole(folder: str, name: str, content: bytes) -> None:
    """A link that stands in the place is replaced, never followed.  Raises OSError."""
    import tempfile

    assert os.path.basename(name) == name
    assert not name.endswith(SUFFIX)
    handle, part = tempfile.mkstemp(dir=folder, prefix=".netcheck-")
    try:
        with open(handle, "wb") as file:
            file.write(content)
        os.chmod(part, 0o666 & ~_umask())
        os.replace(part, os.path.join(folder, name))
    except BaseException:
        os.unlink(part)
        raise


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
