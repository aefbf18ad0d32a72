"""`netcheck exercise`: an unknown fault in the panel, looked for with a meter."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli import options
from netcheck.cli.one_panel import Asked, opened
from netcheck.cli.screen import Progress, note
from netcheck.cli.status import Status

if TYPE_CHECKING:
    from netcheck.bench.drills import Task
    from netcheck.model.panel import Panel

LEVELS = ("easy", "medium", "hard")
MEANING = """\b
Exit status:
  0  the fault was named
  2  wrong use, or something that cannot be read
  3  it was not, or the panel has nothing to practise on"""


@click.command("exercise", epilog=MEANING)
@click.argument("path", metavar="PANEL")
@click.option(
    "--difficulty",
    type=click.Choice(LEVELS),
    default="easy",
    show_default=True,
    help="easy: breaks in the load's own circuit; medium: also loose terminals, and circuits it "
    "waits for; hard: also shorts, ground faults, wrong supplies, swapped wires.",
)
@click.option(
    "--seed",
    type=click.IntRange(0, 2**32 - 1),
    metavar="NUMBER",
    help="The number of the exercise: the same one is the same fault again, here and on the "
    "page of a report.  Without it: any.",
)
@options.root
@click.pass_context
def command(
    ctx: click.Context, path: str, difficulty: str, seed: int | None, root: str | None
) -> None:
    """Look for an unknown fault in PANEL: operate it, meter it, name the fault.

    The fault is put into the description alone.  At the end are told the readings taken
    against a good plan, and what safe work was missed.
    """
    if path == "-":
        raise click.UsageError("standard input is for the answers: name the panel's file")
    panel, tasks = _prepared(path, root)
    if panel is None:
        ctx.exit(Status.WRONG)
    if not tasks:
        note("netcheck: this panel has no load for which faults are prepared")
        ctx.exit(Status.OPEN)
    from netcheck.bench.exercising import Exercise, chosen
    from netcheck.cli.practising import Practice

    number = _any_number() if seed is None else seed
    exercise = Exercise(panel, chosen(tasks, difficulty, number))
    found = Practice(exercise, f"{difficulty}, number {number}").run()
    ctx.exit(Status.NOTHING if found else Status.OPEN)


def _prepared(path: str, root: str | None) -> tuple[Panel | None, Sequence[Task]]:
    """The panel and what can be looked for in it; no panel where its text has mistakes."""
    asked = Asked(path, (), None, root, "never", (), ())
    with opened(asked, "preparing") as read:
        if read.mistakes or read.panel is None:
            note(
                f"netcheck: {path!r} cannot be read whole; "
                f"`netcheck review` tells what is wrong: {read.mistakes[0].message}"
            )
            return None, ()
    from netcheck.bench.drills import tasks_of

    with Progress(lambda: f"looking for faults that can be put into {path}"):
        return read.panel, tasks_of(read.panel)


def _any_number() -> int:
    import secrets

    return secrets.randbelow(100_000)
