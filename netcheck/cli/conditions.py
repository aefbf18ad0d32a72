"""`netcheck conditions`: when each load is energised, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli.one_panel import Asked, Read, of_one_panel, opened, refuse_unknown, write
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.model.panel import Panel
    from netcheck.report.condition_sheet import Sheet

MEANING = """\b
Exit status:
  0  every condition is told
  2  wrong use, or something that cannot be read
  3  a condition is not decided, or too large to print"""


@click.command("conditions", epilog=MEANING)
@of_one_panel
@click.argument("names", nargs=-1, metavar="[LOAD]...")
@click.pass_context
def command(ctx: click.Context, asked: Asked, names: tuple[str, ...]) -> None:
    """Say when each load of PANEL is energised, and what starts, keeps and stops each relay.

    PANEL is a file or `-` for standard input.  LOAD is a device, such as M1 or K1, or one
    of its terminals, such as PLC1:I0; without any, all loads are told.
    """
    with opened(asked, "working out the conditions of", at_the_bench=False) as read:
        sheet = told(read, names)
    written = write(asked, read, lambda form, colour, width: rendered(form, sheet, colour, width))
    ctx.exit(status_of(sheet) if written else Status.WRONG)


def told(read: Read, names: Sequence[str]) -> Sheet:
    """Work out the conditions of what can be read; what cannot is a mistake of the sheet."""
    from netcheck.record import replace
    from netcheck.report.condition_sheet import Sheet, sheet_of

    if read.drawn is None or read.broken is None:
        return Sheet(read.path, None, mistakes=read.mistakes)
    from netcheck.network.nodes import find_nodes
    from netcheck.states.behaviour import Behaviour
    from netcheck.states.conditions import Conditions

    loads = _loads(read.drawn, names)
    conditions = Conditions(Behaviour(read.broken, find_nodes(read.broken)))
    return replace(sheet_of(conditions, loads), mistakes=read.mistakes, supposed=read.supposed)


def _loads(panel: Panel, names: Sequence[str]) -> list[str]:
    """The names that are loads or relays.  UsageError for the first that is not."""
    loads = [name for name in panel.devices if _takes_current(panel, name)]
    for name in names:
        refuse_unknown(panel, name, loads, "without a name, all loads are told")
        device = name.partition(":")[0]
        if device not in loads:
            kind = panel.devices[device].kind
            raise click.UsageError(f"`{device}` is no load ({kind}): nothing in it takes current")
    return list(dict.fromkeys(names))


def _takes_current(panel: Panel, device: str) -> bool:
    return any(panel.parts[index].load is not None for index in panel.devices[device].parts)


def status_of(sheet: Sheet) -> Status:
    if sheet.mistakes:
        return Status.WRONG
    left_open = sheet.not_decided or sheet.too_large or sheet.open
    return Status.OPEN if left_open else Status.NOTHING


def rendered(form: str, sheet: Sheet, colour: bool, width: int | None) -> str:
    if form == "json":
        from netcheck.report import conditions_json

        return conditions_json.render(sheet)
    from netcheck.report import conditions

    return conditions.render(sheet, colour=colour, width=width)
