"""`netcheck isolate`: what to lock out, where to prove it dead, what stays live."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from netcheck.cli.one_panel import Asked, Read, of_one_panel, opened, refuse_unknown, write
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.bench.isolate_document import IsolateDocument

MEANING = """\b
Exit status:
  0  told
  2  wrong use, or something that cannot be read"""


@click.command("isolate", epilog=MEANING)
@of_one_panel
@click.argument("device", metavar="[DEVICE]", required=False)
@click.option(
    "--points", is_flag=True, help="For each terminal every source that can reach it, by which way."
)
@click.pass_context
def command(ctx: click.Context, asked: Asked, device: str | None, points: bool) -> None:
    """Say what to lock out to work on DEVICE of PANEL, or on each of its devices.

    PANEL is a file or `-` for standard input.  Told are breakers and disconnects with which
    nothing can reach the device, whatever its contacts do; where to prove it dead; what
    stays live beside it, and what holds energy.  With --points told is instead, for each
    point that wires join, every source that can reach it, from elsewhere or backwards
    through a transformer too, and what opens that way.
    """
    if asked.withs or asked.faults:
        raise click.UsageError("isolate takes every contact as closed: leave --with and --fault")
    with opened(asked, "isolating in") as read:
        document = isolated(read, device, points)
    written = write(
        asked, read, lambda form, colour, width: rendered(form, document, colour, width)
    )
    ctx.exit(Status.NOTHING if written and not read.mistakes else Status.WRONG)


def isolated(read: Read, device: str | None, points: bool) -> IsolateDocument:
    from netcheck.bench.isolate_document import IsolateDocument

    if read.panel is None:
        return IsolateDocument(read.path, mistakes=read.mistakes)
    from netcheck.bench.isolating import Isolator

    isolator = Isolator(read.panel)
    names = list(read.panel.devices)
    if device is not None:
        refuse_unknown(read.panel, device, names, "name a device such as K1")
        names = [device.partition(":")[0]]
    if points:
        from netcheck.bench.reaching import Reaching

        every = tuple(Reaching(isolator).points(None if device is None else names[0]))
        return IsolateDocument(read.path, device is None, (), every, read.mistakes)
    found = tuple(isolator.of(name) for name in names)
    return IsolateDocument(read.path, device is None, found, (), read.mistakes)


def rendered(form: str, document: IsolateDocument, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.bench import isolate_json

        return isolate_json.render(document)
    from netcheck.bench import isolate_text

    return isolate_text.render(document, colour=colour, width=width)
