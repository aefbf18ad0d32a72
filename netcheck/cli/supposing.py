"""`--with` and `--fault`, for every command that looks at a panel.

@supposing
@click.pass_context
def command(ctx, path, withs, faults): ...
    panel, words = supposed(panel, withs, faults)
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeVar

import click

if TYPE_CHECKING:
    from netcheck.model.panel import Panel

Command = TypeVar("Command", bound=Callable[..., object])


def supposing(command: Command) -> Command:
    """Adds the two options; the command gets `withs` and `faults`, a tuple of words each."""
    fault = click.option(
        "--fault",
        "faults",
        metavar="FAULT",
        multiple=True,
        help='Suppose that something is broken for good: "K1 welded", "wire 204 open", '
        '"S1:11-12 open", "FU1 blown", "wire 204 grounded"; may be given several times.',
    )
    put = click.option(
        "--with",
        "withs",
        metavar="POSITION",
        multiple=True,
        help='Suppose that something is kept somewhere: "S2 pressed", "SS1 in AUTO", '
        '"MAINS off", "S0 pressed and SS1 in HAND"; may be given several times.  All else follows.',
    )
    return put(fault(command))


def supposed(
    panel: Panel, withs: Sequence[str], faults: Sequence[str]
) -> tuple[Panel, tuple[str, ...]]:
    """The panel with all that, and each supposition in full words: `with S2 pressed`.

    Raises UsageError where the words name nothing of this panel.  The very panel and no
    words, where nothing is supposed.
    """
    if not (withs or faults):
        return panel, ()
    from netcheck.model.names import NameMistake
    from netcheck.model.supposed import suppose
    from netcheck.report.terminal import visible

    try:
        found = suppose(panel, withs, faults)
    except NameMistake as mistake:
        help = f"; {mistake.help}" if mistake.help else ""
        raise click.UsageError(visible(f"{mistake.message}{help}")) from None
    return found.panel, found.words


def refuse_several(paths: Sequence[str], withs: Sequence[str], faults: Sequence[str]) -> None:
    """What is supposed is supposed of one panel."""
    if (withs or faults) and len(paths) > 1:
        raise click.UsageError("--with and --fault suppose something of one panel; name one")
