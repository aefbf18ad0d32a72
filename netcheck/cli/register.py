"""`netcheck register`: writes down what an old panel shows today."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from netcheck.cli import options
from netcheck.cli.day import checked_day
from netcheck.cli.given import given_panels
from netcheck.cli.loader import SUFFIX, FileLoader
from netcheck.cli.outputs import Output, refuse_harmful, write_whole
from netcheck.cli.screen import cannot_write, note
from netcheck.cli.status import Status
from netcheck.report.terminal import visible

if TYPE_CHECKING:
    from netcheck.cli.review import Run
    from netcheck.register import Entry

MEANING = """\b
Exit status:
  0  the register is written
  2  wrong use, something that cannot be read, or dangers and no day to look at them again
  3  netcheck itself failed"""


def _until(ctx: click.Context, option: click.Parameter, text: str | None) -> str:
    return "" if text is None else checked_day(text)


@click.command("register", epilog=MEANING)
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.option("--to", "target", metavar="FILE", required=True, help="The register to write.")
@click.option(
    "--until",
    metavar="DATE",
    callback=_until,
    help="The day after which its entries hold no longer; dangers need one.",
)
@click.option(
    "--drop-only",
    is_flag=True,
    help="Keep of the register that is there what is still found, and add nothing.",
)
@options.root
@options.as_of
@click.pass_context
def command(
    ctx: click.Context,
    paths: tuple[str, ...],
    target: str,
    until: str,
    drop_only: bool,
    root: str | None,
    as_of: str,
) -> None:
    """Write down today's findings of PATH, so that `netcheck review --register` stops on new ones.

    An entry knows its finding by rule and devices, not by line, and holds no longer when the
    finding gets another severity or other figures.  What the texts accept needs no entry.
    """
    from netcheck.cli.gate import named_from
    from netcheck.cli.review import reviewed
    from netcheck.finding import Severity
    from netcheck.register import entries_of, render

    if target.lower().endswith(SUFFIX):
        raise click.UsageError(f"{target!r} is a panel's text, and is never written over")
    if until and until < as_of:
        raise click.UsageError(f"{until} is past on {as_of}: its entries would hold for no day")
    given = given_panels(paths, None, root)
    refuse_harmful([Output("register", target)], given.paths)
    run = reviewed(given, FileLoader(given.roots), as_of=as_of)
    if status := _unfit(run):
        ctx.exit(status)
    entries = list(entries_of(run.review, named_from(target), until))
    if drop_only:
        kept = _still_there(target)
        entries = [kept[key] for e in entries if (key := (e.file, e.identity)) in kept]
    undated = [e for e in entries if e.severity is Severity.DANGER and not e.until]
    if undated:
        dangers = "1 danger is" if len(undated) == 1 else f"{len(undated)} dangers are"
        note(f"netcheck: {dangers} found; a danger is accepted only until a date: --until DATE")
        ctx.exit(Status.WRONG)
    try:
        write_whole(target, render(entries))
    except OSError as error:
        cannot_write(target, error)
        ctx.exit(Status.WRONG)
    note(f"netcheck: {len(entries)} findings registered in {visible(target)}")


def _unfit(run: Run) -> Status:
    """Say why nothing is to be registered of this review; NOTHING where it can be."""
    for mistake in run.review.mistakes:
        span = mistake.place.span
        note(visible(f"{span.path}, line {span.line}: {mistake.message}"))
    if run.review.mistakes:
        note("netcheck: nothing is registered of texts that cannot be read")
        return Status.WRONG
    if run.failures or run.review.failures:
        note("netcheck: a fault in netcheck itself; nothing is registered")
        return Status.OPEN
    return Status.NOTHING


def _still_there(target: str) -> dict[tuple[str, str], Entry]:
    from netcheck.cli.loader import decoded, read_file
    from netcheck.loading import CannotLoad
    from netcheck.register import NoRegister, read
    from netcheck.text import Source

    try:
        register = read(Source(target, decoded(read_file(target))), "")
    except (CannotLoad, NoRegister) as error:
        raise click.UsageError(f"{target!r}: {error.message}") from None
    return {(entry.file, entry.identity): entry for entry in register.entries}
