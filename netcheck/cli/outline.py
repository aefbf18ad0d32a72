"""`netcheck outline`: a text's meaning, a line each thing; and `git diff` taught to show it."""

from __future__ import annotations

import os

import click

from netcheck.cli.git import NoRevision, git
from netcheck.cli.loader import SUFFIX, decoded, read_file
from netcheck.cli.outputs import write_whole
from netcheck.cli.screen import cannot_write, note, say
from netcheck.cli.status import Status
from netcheck.loading import CannotLoad
from netcheck.report.terminal import visible

DRIVER = "diff.panel.textconv"
PROGRAM = "netcheck outline --"
"""Git puts the path behind it, which may begin with a dash."""
ATTRIBUTE = f"*{SUFFIX} diff=panel"

MEANING = """\b
Exit status:
  0  done
  2  wrong use, or something that cannot be read or written"""


@click.command("outline", epilog=MEANING)
@click.argument("path", metavar="[FILE]", required=False)
@click.option(
    "--install", is_flag=True, help="From now on `git diff` of this clone compares outlines."
)
@click.option("--uninstall", is_flag=True, help="Undo that.")
@click.pass_context
def command(ctx: click.Context, path: str | None, install: bool, uninstall: bool) -> None:
    """Write the meaning of FILE with a line for each device, wire and sentence, sorted.

    Moved and re-wrapped lines give the same outline.  Git shows texts this way once --install
    has put that into the settings of this clone; `git diff --no-textconv` shows the lines.
    """
    if (path is not None) + install + uninstall != 1:
        raise click.UsageError("name one FILE, or give --install or --uninstall")
    try:
        if path is None:
            _set_up(install)
        else:
            say(_outline(path))
    except CannotLoad as error:
        note(f"netcheck: {visible(path or '')}: {error.message}")
        ctx.exit(Status.WRONG)
    except NoRevision as error:
        note(f"netcheck: {visible(str(error))}")
        ctx.exit(Status.WRONG)
    except OSError as error:
        cannot_write(error.filename or "", error)
        ctx.exit(Status.WRONG)


def _outline(path: str) -> str:
    """A text that is none is shown as it is, as far as it can be: a diff must not fail on it."""
    from netcheck.revisions.outline import outline
    from netcheck.text import Source

    data = read_file(path)
    try:
        return outline(Source(path, decoded(data)))
    except CannotLoad:
        return data.decode(errors="backslashreplace")


def _set_up(install: bool) -> None:
    """Into this clone's own settings: nothing that others would get with the repository."""
    attributes = os.fsdecode(git("rev-parse", "--git-path", "info/attributes").removesuffix(b"\n"))
    lines = _lines(attributes)
    if install:
        git("config", "--local", DRIVER, PROGRAM)
        lines += [] if ATTRIBUTE in lines else [ATTRIBUTE]
    else:
        if git("config", "--local", "--default", "", "--get", DRIVER).strip():
            git("config", "--local", "--unset-all", DRIVER)
        lines = [line for line in lines if line != ATTRIBUTE]
    os.makedirs(os.path.dirname(attributes), exist_ok=True)
    write_whole(attributes, "".join(f"{line}\n" for line in lines))
    note("git diff shows outlines of panels now" if install else "git diff shows lines again")


def _lines(path: str) -> list[str]:
    try:
        return decoded(read_file(path)).splitlines()
    except CannotLoad:
        return []
