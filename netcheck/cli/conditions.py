"""`netcheck conditions`: when each load is energised, in words."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli.given import STANDARD_INPUT, Given, given_panels, readable, standard_input
from netcheck.cli.loader import FileLoader
from netcheck.cli.outputs import (
    STANDARD_OUTPUT,
    Output,
    read_outputs,
    refuse_harmful,
    write_whole,
)
from netcheck.cli.screen import Progress, note, say, screen_width, wants_colour
from netcheck.cli.status import Status
from netcheck.cli.supposing import supposed, supposing

if TYPE_CHECKING:
    from netcheck.model.panel import Panel
    from netcheck.report.condition_sheet import Sheet
    from netcheck.text import Source

HOW_TO_DESCRIBE = "`netcheck explain language` shows how one is described"

MEANING = """\b
Exit status:
  0  every condition is told
  2  wrong use, or something that cannot be read
  3  a condition is not decided, or too large to print"""


@click.command("conditions", epilog=MEANING)
@click.argument("path", metavar="PANEL")
@click.argument("names", nargs=-1, metavar="[LOAD]...")
@click.option(
    "--output",
    "outputs",
    metavar="FORM=PATH",
    callback=read_outputs,
    multiple=True,
    help="Write them as text or json to a file, or to standard output with `-`; "
    "may be given several times.  Without it: text=-",
)
@click.option(
    "--as", "as_path", metavar="PATH", help="The file whose text `-` reads from standard input."
)
@click.option(
    "--root",
    metavar="FOLDER",
    type=click.Path(exists=True, file_okay=False),
    help="Folder that includes may not leave, if not the panel's own.",
)
@click.option(
    "--colour",
    "--color",
    type=click.Choice(["auto", "always", "never"]),
    default="auto",
    show_default=True,
    help="Colour the text; auto means on a terminal, unless NO_COLOR is set.",
)
@supposing
@click.pass_context
def command(
    ctx: click.Context,
    path: str,
    names: tuple[str, ...],
    outputs: tuple[Output, ...],
    as_path: str | None,
    root: str | None,
    colour: str,
    withs: tuple[str, ...],
    faults: tuple[str, ...],
) -> None:
    """Say when each load of PANEL is energised, and what starts, keeps and stops each relay.

    PANEL is a file or `-` for standard input.  LOAD is a device, such as M1 or K1, or one
    of its terminals, such as PLC1:I0; without any, all loads are told.
    """
    if as_path and path != STANDARD_INPUT:
        raise click.UsageError("--as names the text that `-` reads; give `-` as PANEL")
    if os.path.isdir(path):
        raise click.UsageError(f"{path!r} is a folder; name one panel")
    given = given_panels([path], as_path, root)
    refuse_harmful(outputs, given.paths)
    unsaved = {as_path or STANDARD_INPUT: standard_input()} if path == STANDARD_INPUT else {}
    loader = FileLoader(given.roots, unsaved)
    with Progress(lambda: f"working out the conditions of {loader.latest}"):
        sheet, sources = told(given, loader, names, withs, faults)
    status = status_of(sheet)
    if not write(sheet, sources, outputs, colour=wants_colour(colour)):
        status = Status.WRONG
    ctx.exit(status)


def told(
    given: Given,
    loader: FileLoader,
    names: Sequence[str],
    withs: Sequence[str] = (),
    faults: Sequence[str] = (),
) -> tuple[Sheet, Mapping[str, Source]]:
    """Work out the conditions of what can be read; what cannot is a mistake of the sheet."""
    from netcheck.finding import Mistake, Place
    from netcheck.model.build import build_panel
    from netcheck.reading.project import gather
    from netcheck.record import replace
    from netcheck.report.condition_sheet import DESCRIBES_NOTHING, Sheet, sheet_of
    from netcheck.text import Span

    (path,) = given.paths
    if not readable(given, loader):
        return Sheet(path, None, mistakes=tuple(given.mistakes)), {}
    gathered = gather(path, loader)
    panel, found = build_panel(path, gathered)
    mistakes = (*gathered.mistakes, *found)
    sources = {**gathered.sources, path: loader.load(path)}
    if not panel.devices:
        nothing = Mistake(DESCRIBES_NOTHING, Place(Span(path, 1, 1, 2)), HOW_TO_DESCRIBE)
        return Sheet(path, None, mistakes=(*mistakes, nothing)), sources
    from netcheck.network.nodes import find_nodes
    from netcheck.states.behaviour import Behaviour
    from netcheck.states.conditions import Conditions

    asked = _asked(panel, names)
    panel, words = supposed(panel, withs, faults)
    conditions = Conditions(Behaviour(panel, find_nodes(panel)))
    return replace(sheet_of(conditions, asked), mistakes=mistakes, supposed=words), sources


def _asked(panel: Panel, names: Sequence[str]) -> list[str]:
    """The names that are loads or relays.  UsageError for the first that is not."""
    loads = [name for name in panel.devices if _takes_current(panel, name)]
    for name in names:
        device = name.partition(":")[0]
        if device not in panel.devices:
            from netcheck.reading.near import did_you_mean

            hint = did_you_mean(device, loads, "without a name, all loads are told", cutoff=0.5)
            raise click.UsageError(f"there is no `{device}` in {panel.path!r}; {hint}")
        if device not in loads:
            kind = panel.devices[device].kind
            raise click.UsageError(f"`{device}` is no load ({kind}): nothing in it takes current")
        if name != device and name not in panel.devices[device].terminals:
            from netcheck.reading.near import did_you_mean

            terminals = panel.devices[device].terminals
            hint = did_you_mean(name, terminals, f"it has {', '.join(terminals[:12])}")
            raise click.UsageError(f"`{device}` has no terminal `{name}`; {hint}")
    return list(dict.fromkeys(names))


def _takes_current(panel: Panel, device: str) -> bool:
    return any(panel.parts[index].load is not None for index in panel.devices[device].parts)


def status_of(sheet: Sheet) -> Status:
    if sheet.mistakes:
        return Status.WRONG
    left_open = sheet.not_decided or sheet.too_large or sheet.open
    return Status.OPEN if left_open else Status.NOTHING


def write(
    sheet: Sheet, sources: Mapping[str, Source], outputs: Sequence[Output], *, colour: bool
) -> bool:
    """Write every output, files first; return whether all could be written."""
    written = True
    for output in sorted(outputs, key=lambda output: output.path == STANDARD_OUTPUT):
        try:
            if output.path == STANDARD_OUTPUT:
                say(_rendered(output.form, sheet, sources, colour, screen_width()), colour)
            else:
                write_whole(output.path, _rendered(output.form, sheet, sources, False, None))
        except OSError as error:
            note(f"netcheck: cannot write {output.path!r}: {error.strerror or error}")
            written = False
    return written


def _rendered(
    form: str, sheet: Sheet, sources: Mapping[str, Source], colour: bool, width: int | None
) -> str:
    if form == "json":
        from netcheck.report import conditions_json

        return conditions_json.render(sheet)
    from netcheck.report import conditions

    return conditions.render(sheet, sources, colour=colour, width=width)
