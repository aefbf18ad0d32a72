"""The `netcheck` command: which commands there are, and how every run ends."""

from __future__ import annotations

import errno
import gc
import io
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from typing import NoReturn

import click

from netcheck import __version__
from netcheck.cli.screen import cannot_write, fault_of, internal_error, no_more_output, note
from netcheck.cli.status import Status

COMMANDS = {
    "review": "Find what is wrong in the panels described in PATH.",
    "report": "Write the page, the drawing and the lists of one panel to a folder.",
    "conditions": "Say when each load is energised, and what moves each relay.",
    "trace": "Trace a load from its source and back home, and say how to probe it.",
    "meter": "Say what a meter should read: volts, ohms or amperes.",
    "diagnose": "Rank the faults that explain what was seen, and say what to meter next.",
    "exercise": "Set an unknown fault to find with a meter: practice for the bench.",
    "lamps": "Say which lamps of a controller should be lit, step by step.",
    "spare": "Say whether another device would do in the place of one that is drawn.",
    "isolate": "Say what to lock out, where to prove it dead, and what stays live.",
    "compare": "Say what a change does to loads, devices, wires and findings.",
    "tidy": "Even out indents, blanks and columns of panels' texts.",
    "outline": "Write a text's meaning, a line each thing; teach `git diff` to show it.",
    "register": "Write down what an old panel shows today, so that only new faults count.",
    "explain": "Say what a rule finds and why, or how the language is written.",
}
"""Each command with its line of help; it is `command` in the module of its name."""

NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""What a full or broken disk says of standard output, where nobody noticed sooner."""


class Commands(click.Group):
    """Loads only the command that is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            raise click.UsageError(f"there is no command {args[0]!r}{_meant(args[0])}", ctx)
        return super().resolve_command(ctx, args)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        found = import_module(f"netcheck.cli.{cmd_name}").command
        assert isinstance(found, click.Command)
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def _meant(name: str) -> str:
    """What somebody may have meant that is no command; nothing where that is nobody's guess."""
    from difflib import get_close_matches
    from pathlib import Path

    if Path(name).suffix == ".panel" or Path(name).is_file():
        return ": `netcheck review FILE` reviews a panel"
    return "".join(f"; did you mean {near!r}?" for near in get_close_matches(name, COMMANDS, 1))


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="netcheck", message="%(prog)s %(version)s")
def group() -> None:
    """Check plain-text descriptions of electrical power and control panels.

    A check of a description is no permission to work: lock out, test dead.
    Local codes and a licensed electrician or engineer decide.
    """


def main() -> None:
    """The installed command."""
    # Looking for garbage takes an eighth of the review of one panel, and finds none.  A review
    # of several turns it on again.
    gc.disable()
    _leave(run(sys.argv[1:]))


def _leave(status: int) -> NoReturn:
    """End the process without taking everything in it apart first: a seventh of a small review.

    Nothing here waits for that: what is written is closed where it is written.
    """
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):  # said already, and there is nobody left to tell
            stream.flush()
    os._exit(status)


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit status; no exception gets out."""
    _prepare_streams()
    before = sys.stdout
    try:
        status = group.main(list(arguments), prog_name="netcheck", standalone_mode=False)
        sys.stdout.flush()
    except click.ClickException as error:
        error.show()
        return Status.WRONG
    except click.Abort:
        note("netcheck: interrupted; nothing was decided")
        return Status.OPEN
    except BrokenPipeError:
        no_more_output()
        return Status.NOTHING
    except SystemExit as leaving:
        # click swaps standard output and leaves with 1 when a reader of its own help went away.
        return Status.NOTHING if sys.stdout is not before else int(leaving.code or 0)
    except OSError as error:
        if error.errno not in NO_ROOM:
            internal_error(fault_of(error), f"in `netcheck {' '.join(arguments)}`")
            return Status.OPEN
        no_more_output()
        cannot_write("", error)
        return Status.WRONG
    except Exception as error:
        internal_error(fault_of(error), f"in `netcheck {' '.join(arguments)}`")
        return Status.OPEN
    return int(status or 0)


def _prepare_streams() -> None:
    """Nothing that is printed may fail: not on a closed stream, not for a letter it lacks."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
        if isinstance(stream := getattr(sys, name), io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
