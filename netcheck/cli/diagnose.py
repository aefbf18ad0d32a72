"""`netcheck diagnose`: symptoms and readings in, suspects and the next reading out."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli.one_panel import Asked, Read, of_one_panel, opened, write
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.bench.diagnose_document import DiagnoseDocument
    from netcheck.bench.observations import Looked, Observation
    from netcheck.model.panel import Panel

LARGEST_BYTES = 100_000
MEANING = """\b
Exit status:
  0  suspects are told, or no fault is needed
  2  wrong use, or something that cannot be read
  3  no single fault explains it, or not all of them could be tried"""


@click.command("diagnose", epilog=MEANING)
@of_one_panel
@click.argument("seen_path", metavar="[SYMPTOMS]", required=False)
@click.option(
    "--saw",
    "saw",
    metavar="SYMPTOM",
    multiple=True,
    help='What was seen or read: "M1 does not run with S2 pressed", '
    '"K1:A1 to K1:A2 0 V with S2 pressed"; may be given several times.',
)
@click.pass_context
def command(ctx: click.Context, asked: Asked, seen_path: str | None, saw: tuple[str, ...]) -> None:
    """Rank the single faults of PANEL that explain everything in SYMPTOMS.

    SYMPTOMS is a file with a symptom or a reading on each line; `#` begins a remark.  Told
    are the suspects, and which two points to meter next.
    """
    if asked.faults:
        raise click.UsageError("diagnose looks for the fault: leave --fault away")
    with opened(asked, "diagnosing in") as read:
        lines = [*_lines_of(seen_path), *(("--saw", word) for word in saw)]
        if not lines:
            raise click.UsageError(
                'nothing was seen: name a file, or say --saw "M1 does not run with S2 pressed"'
            )
        document = diagnosed(read, lines)
    written = write(
        asked, read, lambda form, colour, width: rendered(form, document, colour, width)
    )
    ctx.exit(status_of(document) if written and not read.mistakes else Status.WRONG)


def _lines_of(path: str | None) -> list[tuple[str, str]]:
    """Where each line stands, and what it says.  Raises UsageError."""
    if path is None:
        return []
    if os.path.isdir(path):
        raise click.UsageError(f"{path!r} is a folder; name a file of symptoms")
    try:
        with open(path, "rb") as file:
            text = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        raise click.UsageError(f"cannot read {path!r}: {error.strerror or error}") from None
    if len(text) > LARGEST_BYTES:
        raise click.UsageError(f"{path!r} is longer than {LARGEST_BYTES:,} bytes")
    lines = text.decode("utf-8", errors="replace").splitlines()
    said = [(f"{path}, line {number}", line) for number, line in enumerate(lines, start=1)]
    kept = [(place, line.partition("#")[0].strip()) for place, line in said]
    return [(place, line) for place, line in kept if line]


def diagnosed(read: Read, lines: Sequence[tuple[str, str]]) -> DiagnoseDocument:
    from netcheck.bench.diagnose_document import DiagnoseDocument

    if read.panel is None:
        return DiagnoseDocument(read.path, mistakes=read.mistakes)
    from netcheck.bench.diagnosing import diagnose
    from netcheck.bench.standing import stand
    from netcheck.bench.tracing import resting_on

    seen = _observed(read.panel, lines)
    return DiagnoseDocument(
        read.path,
        read.supposed,
        tuple(one.words for one in seen),
        diagnose(read.panel, seen),
        resting_on(stand(read.panel)),
        read.mistakes,
    )


def _observed(panel: Panel, lines: Sequence[tuple[str, str]]) -> list[Observation | Looked]:
    from netcheck.bench.observations import MOST, observation
    from netcheck.model.names import NameMistake
    from netcheck.report.terminal import visible

    if len(lines) > MOST:
        raise click.UsageError(f"{len(lines)} symptoms are more than {MOST}; say the telling ones")
    found = []
    for place, line in lines:
        try:
            found.append(observation(panel, line))
        except NameMistake as mistake:
            help = f"; {mistake.help}" if mistake.help else ""
            raise click.UsageError(visible(f"{place}: {mistake.message}{help}")) from None
    return found


def status_of(document: DiagnoseDocument) -> Status:
    told = document.diagnosis
    if told is None:
        return Status.WRONG
    explained = told.sound_fits or told.suspects
    return Status.NOTHING if explained and not told.not_told and not told.more else Status.OPEN


def rendered(form: str, document: DiagnoseDocument, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.bench import diagnose_json

        return diagnose_json.render(document)
    from netcheck.bench import diagnose_text

    return diagnose_text.render(document, colour=colour, width=width)
