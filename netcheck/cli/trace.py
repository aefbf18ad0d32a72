"""`netcheck trace`: a load from its source and back home, and how to probe it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from netcheck.cli.one_panel import Asked, Read, of_one_panel, opened, refuse_unknown, write
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.bench.standing import Standing
    from netcheck.bench.trace_document import TraceDocument
    from netcheck.model.devices import Part
    from netcheck.model.panel import Panel

MEANING = """\b
Exit status:
  0  traced
  2  wrong use, or something that cannot be read
  3  something of it is not decided, or cannot be solved in numbers"""

AS_DRAWN = ("as drawn", "")
"""Lines of an account that the way itself shows."""


@click.command("trace", epilog=MEANING)
@of_one_panel
@click.argument("load", metavar="LOAD")
@click.pass_context
def command(ctx: click.Context, asked: Asked, load: str) -> None:
    """Trace LOAD of PANEL from its source through wires and contacts, and back home.

    PANEL is a file or `-` for standard input.  LOAD is a device, such as M1 or K1, or one
    of its terminals, such as PLC1:I0.  Everything is at rest with the sources on, unless
    `--with` says otherwise; relays settle from there.
    """
    with opened(asked, "tracing in") as read:
        document = traced(read, load)
    status = Status.OPEN if document.left_open else Status.NOTHING
    written = write(
        asked, read, lambda form, colour, width: rendered(form, document, colour, width)
    )
    ctx.exit(status if written and not read.mistakes else Status.WRONG)


def traced(read: Read, name: str) -> TraceDocument:
    from netcheck.bench.trace_document import TraceDocument

    if read.panel is None:
        return TraceDocument(read.path, mistakes=read.mistakes)
    from netcheck.bench.tracing import Tracer

    parts = loads_called(read.panel, name)
    tracer = Tracer(read.panel, read.broken, read.drawn, whole=not read.mistakes)
    found = tuple(tracer.of(part) for part in parts)
    return TraceDocument(
        read.path,
        read.supposed,
        found,
        {
            one.load: conditions_of(tracer.sound, one.part)
            for one in found
            if not one.energising.tells_of and not (read.mistakes and one.energising.why_not)
        },
        read.mistakes,
    )


def loads_called(panel: Panel, name: str) -> list[Part]:
    """The load parts that a device's or terminal's name means.  UsageError for no load."""
    loads = list(dict.fromkeys(part.device for part in panel.parts if part.load is not None))
    has = f"its loads: {', '.join(loads[:12])}" if loads else "nothing in it takes current"
    refuse_unknown(panel, name, loads, has)
    device = name.partition(":")[0]
    parts = [panel.parts[index] for index in panel.devices[device].parts]
    fit = [part for part in parts if part.load is not None and not part.spare]
    if not fit:
        kind = panel.devices[device].kind
        raise click.UsageError(f"`{device}` is no load ({kind}): nothing in it takes current")
    if name == device:
        return fit
    fit = [part for part in fit if name in (part.a, part.b)]
    if not fit:
        raise click.UsageError(f"no load of `{device}` ends at `{name}`; name the device alone")
    return fit


def conditions_of(standing: Standing, part: Part) -> tuple[str, ...]:
    """When a load is energised, as `netcheck conditions` says it."""
    from netcheck.report.condition_sheet import Accounts, sheet_of
    from netcheck.report.condition_words import Said
    from netcheck.states.conditions import Conditions

    sheet = sheet_of(Conditions(standing.states), [part.a])
    loads = [load for load in sheet.loads if part.index in load.parts]
    accounts = Accounts(sheet, standing.panel)
    found = []
    for load in loads:
        for line in accounts.of(load):
            if line.name not in AS_DRAWN:
                said = f"{line.name} {line.said.lead}".strip()
                if line.said == Said("never"):
                    said = "in this panel, as it stands, never"
                found.append(f"{said} {'; '.join(line.said.alternatives)}".strip())
    return tuple(found)


def rendered(form: str, document: TraceDocument, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.bench import trace_json

        return trace_json.render(document)
    from netcheck.bench import trace_text

    return trace_text.render(document, colour=colour, width=width)
