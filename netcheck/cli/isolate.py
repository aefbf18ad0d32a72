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
@click.option(
    "--opened",
    "handles",
    multiple=True,
    metavar="HANDLE",
    help="Tell instead what is still live once this breaker or disconnect is open, or this fuse "
    "out; may be given several times.",
)
@click.pass_context
def command(
    ctx: click.Context, asked: Asked, device: str | None, points: bool, handles: tuple[str, ...]
) -> None:
    """Say what to lock out to work on DEVICE of PANEL, or on each of its devices.

    PANEL is a file or `-` for standard input.  Told are breakers and disconnects with which
    nothing can reach the device, whatever its contacts do; where to prove it dead; what
    stays live beside it, and what holds energy.  With --points told is instead, for each
    point that wires join, every source that can reach it, from elsewhere or backwards
    through a transformer too, and what opens that way; with --opened, what stays live in the
    whole panel once a breaker or disconnect is open.
    """
    if asked.withs or asked.faults:
        raise click.UsageError("isolate takes every contact as closed: leave --with and --fault")
    if handles and (points or device):
        raise click.UsageError("--opened tells of the whole panel: leave DEVICE and --points")
    with opened(asked, "isolating in") as read:
        document = left_live(read, handles) if handles else isolated(read, device, points)
    written = write(
        asked, read, lambda form, colour, width: rendered(form, document, colour, width)
    )
    ctx.exit(Status.NOTHING if written and not read.mistakes else Status.WRONG)


def isolated(read: Read, device: str | None, points: bool) -> IsolateDocument:
    from netcheck.bench.isolate_document import IsolateDocument

    if read.panel is None:
        return IsolateDocument(read.path, mistakes=read.mistakes)
    from netcheck.bench.isolating import Isolator
    from netcheck.bench.unsaid_grounds import unsaid_grounds

    isolator = Isolator(read.panel)
    names = list(read.panel.devices)
    if device is not None:
        refuse_unknown(read.panel, device, names, "name a device such as K1")
        names = [device.partition(":")[0]]
    if points:
        from netcheck.bench.reaching import Reaching

        every = tuple(Reaching(isolator).points(None if device is None else names[0]))
        feeding = {feed.source for point in every for feed in point.feeds}
        unsaid = unsaid_grounds(read.panel, feeding)
        return IsolateDocument(read.path, device is None, (), every, read.mistakes, unsaid=unsaid)
    found = tuple(isolator.of(name) for name in names)
    live = {name for one in found for name in one.sources}
    live |= {beside.device for one in found for beside in one.stays_live}
    unsaid = unsaid_grounds(read.panel, live)
    return IsolateDocument(read.path, device is None, found, (), read.mistakes, unsaid=unsaid)


def left_live(read: Read, handles: tuple[str, ...]) -> IsolateDocument:
    from netcheck.bench.isolate_document import IsolateDocument

    if read.panel is None:
        return IsolateDocument(read.path, mistakes=read.mistakes)
    from netcheck.bench.isolating import HANDLES, Isolator
    from netcheck.bench.opened import opened
    from netcheck.bench.unsaid_grounds import unsaid_grounds

    isolator = Isolator(read.panel)
    fuses = [name for name, one in read.panel.devices.items() if one.kind == "fuse"]
    for name in handles:
        known = (*isolator.handles, *fuses)
        refuse_unknown(read.panel, name, known, "name a breaker such as CB1")
        if name not in known:
            kind = read.panel.devices[name.partition(":")[0]].kind
            raise click.UsageError(
                f"`{name}` ({kind}) is nothing to open by hand: {', '.join(HANDLES)} or fuse"
            )
    told = opened(isolator, tuple(dict.fromkeys(handles)))
    unsaid = unsaid_grounds(read.panel, {one.device for one in told.live})
    return IsolateDocument(read.path, mistakes=read.mistakes, opened=told, unsaid=unsaid)


def rendered(form: str, document: IsolateDocument, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.bench import isolate_json

        return isolate_json.render(document)
    if document.opened is not None:
        from netcheck.bench import opened_text

        return opened_text.render(document, colour=colour, width=width)
    from netcheck.bench import isolate_text

    return isolate_text.render(document, colour=colour, width=width)
