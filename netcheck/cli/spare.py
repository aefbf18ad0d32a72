"""`netcheck spare`: would another device do in the place of one that is drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from netcheck.cli import options
from netcheck.cli.one_panel import Asked, Read, of_one_panel, opened, write
from netcheck.cli.status import Status
from netcheck.record import replace

if TYPE_CHECKING:
    from netcheck.bench.spare_document import SpareDocument

MEANING = """\b
Exit status:
  0  nothing gets worse with it, as far as the text says
  1  it cannot be wired, something is found with it, a load runs otherwise, or
     it opens at more amperes than what stands there
  2  wrong use, or something that cannot be read
  3  nothing worse, but something is left open that was not"""


@click.command("spare", epilog=MEANING)
@of_one_panel
@click.argument("line", metavar="DEVICE-LINE")
@options.as_of
@click.pass_context
def command(ctx: click.Context, asked: Asked, line: str, as_of: str) -> None:
    """Say whether a spare would do in the place of a device of PANEL.

    DEVICE-LINE is the device's line as it would stand in the text, such as
    "contactor K1 coil 24 V DC 5 W; 2 main poles 600 V AC 25 A".  Told are the terminals that
    it lacks, findings that are new or worse, what loads get, and the figures that change.
    """
    if asked.withs or asked.faults:
        raise click.UsageError("spare judges every state: leave --with and --fault")
    with opened(asked, "fitting the spare into") as read:
        document, read = sparing(read, line, as_of)
    written = write(
        asked, read, lambda form, colour, width: rendered(form, document, colour, width)
    )
    ctx.exit(status_of(document) if written else Status.WRONG)


def sparing(read: Read, line: str, as_of: str) -> tuple[SpareDocument, Read]:
    """What is told, and with it the mistakes of the spare's own line; with mistakes no panel, for
    nothing of it is told."""
    from netcheck.bench.spare_document import SpareDocument
    from netcheck.bench.sparing import SPARE, NoSpare, spared
    from netcheck.text import Source

    if read.loader is None or read.mistakes:
        return SpareDocument(read.path, mistakes=read.mistakes), replace(read, panel=None)
    try:
        return SpareDocument(read.path, spared(read.path, read.loader, line, as_of)), read
    except NoSpare as refused:
        sources = {**read.sources, SPARE: Source(SPARE, " ".join(line.split()))}
        read = replace(read, panel=None, mistakes=refused.mistakes, sources=sources)
        return SpareDocument(read.path, mistakes=refused.mistakes), read


def status_of(document: SpareDocument) -> Status:
    one = document.sparing
    if one is None:
        return Status.WRONG
    other = any(not load.reason for load in one.comparison.loads)
    if not one.fits or one.worse or one.is_larger or other:
        return Status.FOUND
    return Status.OPEN if one.left_open else Status.NOTHING


def rendered(form: str, document: SpareDocument, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.bench import spare_json

        return spare_json.render(document)
    from netcheck.bench import spare_text

    return spare_text.render(document, colour=colour, width=width)
