"""`netcheck lamps`: which lamps of a controller should be lit, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli.one_panel import Asked, Read, of_one_panel, opened, write
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.bench.lamps_document import LampsDocument

MOST_STEPS = 100
MEANING = """\b
Exit status:
  0  every lamp is told
  2  wrong use, or something that cannot be read
  3  of a lamp it is not known whether it is lit, or relays do not come to rest"""


@click.command("lamps", epilog=MEANING)
@of_one_panel
@click.option(
    "--step",
    "steps",
    metavar="POSITION",
    multiple=True,
    help='What is done next: "S2 pressed", "S2 released", "FL1 operated", "PLC1:Q0 on", '
    '"T1 runs out"; may be given several times, in their order.',
)
@click.pass_context
def command(ctx: click.Context, asked: Asked, steps: tuple[str, ...]) -> None:
    """Say which lamps of the controllers in PANEL should be lit, at rest and after each step.

    PANEL is a file or `-` for standard input.  Steps are done one after the other; relays
    follow and remember.  Outputs do what the steps say: the program is not in the text.
    """
    with opened(asked, "watching the lamps in") as read:
        document = lit(read, steps)
    written = write(
        asked, read, lambda form, colour, width: rendered(form, document, colour, width)
    )
    status = Status.OPEN if document.lamps and document.lamps.left_open else Status.NOTHING
    ctx.exit(status if written and not read.mistakes else Status.WRONG)


def lit(read: Read, steps: Sequence[str]) -> LampsDocument:
    from netcheck.bench.lamps_document import LampsDocument

    if read.broken is None:
        return LampsDocument(read.path, mistakes=read.mistakes)
    from netcheck.bench.lamps import lamps
    from netcheck.bench.lamps_now import controllers_of
    from netcheck.model.names import NameMistake
    from netcheck.report.terminal import visible

    if not controllers_of(read.broken):
        raise click.UsageError(visible(f"there is no controller in {read.path!r}"))
    if len(steps) > MOST_STEPS:
        raise click.UsageError(f"{len(steps)} steps are more than {MOST_STEPS}")
    try:
        told = lamps(read.broken, steps, read.panel)
    except NameMistake as mistake:
        help = f"; {mistake.help}" if mistake.help else ""
        raise click.UsageError(visible(f"{mistake.message}{help}")) from None
    return LampsDocument(read.path, read.supposed, told, read.mistakes)


def rendered(form: str, document: LampsDocument, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.bench import lamps_json

        return lamps_json.render(document)
    from netcheck.bench import lamps_text

    return lamps_text.render(document, colour=colour, width=width)
