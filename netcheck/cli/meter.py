"""`netcheck meter`: what a meter should read, and what misleads."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli.one_panel import Asked, Read, of_one_panel, opened, refuse_unknown, write
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.bench.meter_document import MeterDocument
    from netcheck.model.panel import Panel

MEANING = """\b
Exit status:
  0  every reading is told
  2  wrong use, or something that cannot be read
  3  something is not decided, or cannot be solved in numbers"""


@click.command("meter", epilog=MEANING)
@of_one_panel
@click.argument("points", nargs=-1, metavar="[POINT]...")
@click.option(
    "--between",
    "pairs",
    nargs=2,
    multiple=True,
    metavar="RED BLACK",
    help="Two terminals to put the leads on; may be given several times.",
)
@click.option("--against", metavar="TERMINAL", help="Where the black lead stays.")
@click.option("--off", is_flag=True, help="Power off: ohms instead of volts.")
@click.option("--clamp", "clamping", is_flag=True, help="Amperes of each conductor.")
@click.pass_context
def command(
    ctx: click.Context,
    asked: Asked,
    points: tuple[str, ...],
    pairs: tuple[tuple[str, str], ...],
    against: str | None,
    off: bool,
    clamping: bool,
) -> None:
    """Say what a meter should read in PANEL, at each POINT or at every terminal.

    PANEL is a file or `-` for standard input.  POINT is a device, such as K1, a terminal,
    such as K1:A1, or a wire, such as "wire 204".  Everything is at rest with the sources on,
    unless `--with` says otherwise; relays settle from there.
    """
    if off and (against or clamping):
        raise click.UsageError("--off reads ohms: leave --against and --clamp away")
    if against and pairs:
        raise click.UsageError("--between names both leads: leave --against away")
    if clamping and (against or pairs):
        raise click.UsageError("--clamp goes round a conductor: leave --against and --between away")
    with opened(asked, "metering in") as read:
        document = metered(read, points, pairs, against, off=off, clamping=clamping)
    status = Status.OPEN if document.open_questions else Status.NOTHING
    written = write(
        asked, read, lambda form, colour, width: rendered(form, document, colour, width)
    )
    ctx.exit(status if written and not read.mistakes else Status.WRONG)


def metered(
    read: Read,
    points: Sequence[str],
    pairs: Sequence[tuple[str, str]],
    against: str | None,
    *,
    off: bool,
    clamping: bool,
) -> MeterDocument:
    from netcheck.bench.meter_document import MeterDocument

    if read.panel is None or read.broken is None:
        return MeterDocument(read.path, mistakes=read.mistakes)
    from netcheck.bench.metered import ohm_readings, volt_readings
    from netcheck.record import replace

    ends = [tuple(terminal_called(read.panel, end) for end in pair) for pair in pairs]
    if off:  # A wire is rung out from end to end.
        ends += [terminals_called(read.panel, point) for point in points if _is_wire(point)]
        points = [point for point in points if not _is_wire(point)]
    terminals = [t for point in points for t in terminals_called(read.panel, point)]
    for pair in ends:
        if len(set(pair)) < len(pair):
            raise click.UsageError(f"both leads are on {pair[0]}; name two terminals")
    if off:
        document = ohm_readings(read.broken, terminals, ends)
    else:
        reference = terminal_called(read.panel, against) if against else ""
        document = volt_readings(read.broken, terminals, ends, reference, clamping=clamping)
    return replace(document, path=read.path, supposed=read.supposed, mistakes=read.mistakes)


def _is_wire(name: str) -> bool:
    return name.startswith("wire ")


def terminals_called(panel: Panel, name: str) -> tuple[str, ...]:
    """All terminals of a device, or the one that is named, or the ends of a wire."""
    if _is_wire(name):
        from netcheck.model.names import NameMistake
        from netcheck.model.wire_names import wire_in_words
        from netcheck.report.terminal import visible

        try:
            wire = wire_in_words(panel.wires, name)
        except NameMistake as mistake:
            help = f"; {mistake.help}" if mistake.help else ""
            raise click.UsageError(visible(f"{mistake.message}{help}")) from None
        return wire.a, wire.b
    refuse_unknown(panel, name, list(panel.devices), "name a device or a terminal like K1:A1")
    return panel.devices[name].terminals if name in panel.devices else (name,)


def terminal_called(panel: Panel, name: str) -> str:
    """One place for a lead.  UsageError where a device has several."""
    found = terminals_called(panel, name)
    if len(found) > 1 and not _is_wire(name):
        listed = ", ".join(f"`{terminal}`" for terminal in found[:8])
        raise click.UsageError(f"`{name}` has several terminals; say which: {listed}")
    return found[0]


def rendered(form: str, document: MeterDocument, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.bench import meter_json

        return meter_json.render(document)
    from netcheck.bench import meter_text

    return meter_text.render(document, colour=colour, width=width)
