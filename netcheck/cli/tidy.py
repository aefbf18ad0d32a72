"""`netcheck tidy`: writes panels' texts one way, without changing a word."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import click

from netcheck.cli.given import STANDARD_INPUT, given_panels, readable, standard_input
from netcheck.cli.loader import FileLoader
from netcheck.cli.outputs import write_whole
from netcheck.cli.screen import cannot_write, note, say
from netcheck.cli.status import Status
from netcheck.report.terminal import visible

if TYPE_CHECKING:
    from netcheck.revisions.tidy import NotTidied

MEANING = """\b
Exit status:
  0  all is tidy, or has been made so
  1  with --check or --diff: something is not tidy
  2  wrong use, or a text with mistakes, which is left as it is"""

MOST_SHOWN = 5


@click.command("tidy", epilog=MEANING)
@click.argument("paths", nargs=-1, required=True, metavar="PATH...")
@click.option("--check", is_flag=True, help="Write nothing; name the texts that are not tidy.")
@click.option("--diff", is_flag=True, help="Write nothing; show what would change.")
@click.pass_context
def command(ctx: click.Context, paths: tuple[str, ...], check: bool, diff: bool) -> None:
    """Even out indents, blanks and columns of the texts in PATH.

    PATH is a file, a folder (every .panel file in it) or `-`, which writes standard input tidied
    to standard output.  Remarks and meaning stay; each text is read again and compared before it
    is written.
    """
    from netcheck.revisions.tidy import NotTidied, tidy

    given = given_panels(paths, None, None)
    unsaved = {STANDARD_INPUT: standard_input()} if STANDARD_INPUT in paths else {}
    loader = FileLoader(given.roots, unsaved)
    readable_paths = readable(given, loader)
    status = Status.NOTHING
    for mistake in given.mistakes:
        note(visible(mistake.message))
        status = Status.WRONG
    for path in readable_paths:
        source = loader.load(path)
        try:
            text = _as_saved(source.text, tidy(source))
        except NotTidied as refused:
            _refuse(path, refused)
            status = Status.WRONG
            continue
        if path == STANDARD_INPUT and not (check or diff):
            say(text)
        elif text != source.text:
            status = max(status, _differs(path, source.text, text, check, diff))
    ctx.exit(status)


def _as_saved(before: str, after: str) -> str:
    """The tidied text with the line ends and the byte order mark it had: they are its repository's
    business.  Of several sorts of line ends the first is kept."""
    found = re.search("\r\n|\n|\r", before)
    mark = "\ufeff" if before.startswith("\ufeff") else ""
    return mark + after.replace("\n", found[0] if found else "\n")


def _differs(path: str, before: str, after: str, check: bool, diff: bool) -> Status:
    if diff:
        import difflib

        lines = difflib.unified_diff(
            before.split("\n"), after.split("\n"), path, f"{path} (tidy)", lineterm=""
        )
        say("".join(f"{visible(line)}\n" for line in lines))
    if check or diff:
        note(f"{visible(path)} is not tidy")
        return Status.FOUND
    try:
        write_whole(path, after)
    except OSError as error:
        cannot_write(path, error)
        return Status.WRONG
    note(f"{visible(path)} is tidy now")
    return Status.NOTHING


def _refuse(path: str, refused: NotTidied) -> None:
    for mistake in refused.mistakes[:MOST_SHOWN]:
        span = mistake.place.span
        where = f"{span.path}, line {span.line}, column {span.column}"
        note(visible(f"{where}: {mistake.message}"))
    more = len(refused.mistakes) - MOST_SHOWN
    note(visible(f"{path} is left as it is" + (f", for {more} more mistakes" if more > 0 else "")))
