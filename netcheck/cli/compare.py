"""`netcheck compare`: what a change does to the machine, not to the lines."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli import options
from netcheck.cli.outputs import Output, read_outputs, refuse_harmful, write_each
from netcheck.cli.screen import Progress, note, share_done
from netcheck.cli.status import Status
from netcheck.report.terminal import visible

if TYPE_CHECKING:
    from netcheck.cli.loader import FileLoader
    from netcheck.loading import Loader
    from netcheck.revisions.comparison import Comparison, Read

MEANING = """\b
OLD and NEW are each a file, a folder, or a git revision with a colon behind it and, if only a
part of it is meant, a path: `main:`, `v1.2:panels/pump.panel`.  Without NEW: the files as they
are now.

\b
Exit status:
  0  the same panel
  1  something has changed
  2  wrong use, or something that cannot be read
  3  whether loads are as before is not decided"""


@click.command("compare", epilog=MEANING)
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="[NEW]", required=False)
@click.option(
    "--output",
    "outputs",
    metavar="FORM=PATH",
    callback=read_outputs,
    multiple=True,
    help="Write it as text, json or markdown to a file, or to standard output with `-`; "
    "may be given several times.  Without it: text=-",
)
@options.as_of
@click.pass_context
def command(
    ctx: click.Context, old: str, new: str | None, outputs: tuple[Output, ...], as_of: str
) -> None:
    """Say what a change does: to loads, devices, wires and findings.

    Order and layout of the text are no difference, and a renamed device is one renamed.
    """
    before = given(old, new)
    after = given(new, old) if new is not None else given(before.path, old)
    refuse_harmful(outputs, [path for side in (before, after) for path in side.paths.values()])
    gc.enable()
    compared: list[Comparison] = []
    names = sorted({*before.paths, *after.paths})

    def doing() -> str:
        what = f"comparing {before.loader.latest or after.loader.latest}"
        return share_done(len(compared), len(names), what) if len(names) > 1 else what

    if not names:
        raise click.UsageError(f"there is no panel in {old!r} nor in {after.named!r}")
    renamed = _renamed_files(before, after)
    names = [name for name in names if name not in renamed.values()]
    with Progress(doing):
        compared += compare_each(before, after, names, renamed, as_of)
    for failure in (failure for one in compared for failure in one.failures):
        note(f"netcheck: a fault in netcheck itself, not in your panel: {visible(failure)}")
    status = status_of(compared)
    if not write(compared, outputs, before.named, after.named):
        status = Status.WRONG
    ctx.exit(status)


class Side:
    """One side of a comparison: the panels in it by the names they are paired by."""

    def __init__(self, named: str, path: str, paths: dict[str, str], loader: FileLoader) -> None:
        self.named, self.path, self.paths, self.loader = named, path, paths, loader


def given(text: str, other: str | None) -> Side:
    """What OLD or NEW names.  A revision without a path is that of the other side, or all."""
    revision, path = _as_revision(text)
    if revision:
        beside = other if other and not _as_revision(other)[0] else ""
        return _of_revision(text, revision, path or beside or os.curdir)
    known, there = _as_revision(other or "")
    same = not there or os.path.normpath(there) == os.path.normpath(text)
    return _of_files(text, may_be_gone=bool(known) and same)


def _as_revision(text: str) -> tuple[str, str]:
    """The revision's name and the path behind it; no name for what is a file or a folder."""
    revision, colon, path = text.partition(":")
    return (revision, path) if colon and revision and not os.path.exists(text) else ("", text)


def _of_files(text: str, may_be_gone: bool) -> Side:
    """What is there now; with `may_be_gone` nothing may be, for all was taken away."""
    from netcheck.cli.given import given_panels
    from netcheck.cli.loader import FileLoader

    found = given_panels([text], None, None)
    emptied = os.path.isdir(text) and not found.paths and len(found.mistakes) == 1
    if may_be_gone and (emptied or not os.path.lexists(text)):
        return Side(text, text, {}, FileLoader({}))
    if found.mistakes:
        raise click.UsageError(found.mistakes[0].message.replace("`", "'"))
    alone = not os.path.isdir(text)
    names = {"" if alone else _within(path, text): path for path in found.paths}
    return Side(text, text, names, FileLoader(found.roots))


def _of_revision(text: str, name: str, path: str) -> Side:
    from netcheck.cli.gate import revision
    from netcheck.cli.git import RevisionLoader
    from netcheck.loading import CannotLoad

    then = revision(name)
    try:
        panels = then.panels(path)
    except CannotLoad as error:
        raise click.UsageError(f"{path!r}: {error.message}") from None
    alone = panels == [path]
    root = (os.path.dirname(path) or os.curdir) if alone else path
    names = {"" if alone else _within(panel, path): panel for panel in panels}
    return Side(text, path, names, RevisionLoader(dict.fromkeys(panels, root), then))


def _within(path: str, folder: str) -> str:
    return os.path.relpath(path, folder).replace(os.sep, "/")


def _renamed_files(before: Side, after: Side) -> Mapping[str, str]:
    """By its new name what a file was called that only one side has, and the other alike."""
    from netcheck.revisions.renamed_files import renamed_files

    gone, come = before.paths.keys() - after.paths.keys(), after.paths.keys() - before.paths.keys()
    if not gone or not come:
        return {}
    return renamed_files(_texts(before, gone), _texts(after, come))


def _texts(side: Side, names: Iterable[str]) -> dict[str, str]:
    from netcheck.cli.given import texts_of

    found = texts_of(side.loader, (side.paths[name] for name in names))
    return {name: found[path] for name, path in side.paths.items() if path in found}


def compare_each(
    before: Side, after: Side, names: Sequence[str], renamed: Mapping[str, str], as_of: str
) -> Iterator[Comparison]:
    """Each panel with what it was: that of the same name, or of the name that `renamed` gives."""
    from netcheck.revisions.comparison import compare

    for name in names:
        was = renamed.get(name, name)
        old, new = _read(before, after, was, name, as_of)
        yield compare(name or after.paths.get(name, after.named), old, new, was)


def _read(
    before: Side, after: Side, was: str, name: str, as_of: str
) -> tuple[Read | None, Read | None]:
    """The panel on both sides: one and the same where all that it is made of is the same."""
    from netcheck.cli.asking import Noting, as_asked

    noting = Noting(before.loader)
    old = _read_one(before, noting, was, as_of)
    one_path = old is not None and before.paths[was] == after.paths.get(name)
    if one_path and as_asked(after.loader, noting.asked) is not None:
        return old, old
    return old, _read_one(after, after.loader, name, as_of)


def _read_one(side: Side, loader: Loader, name: str, as_of: str) -> Read | None:
    from netcheck.loading import CannotLoad
    from netcheck.revisions.comparison import read

    if name not in side.paths:
        return None
    try:
        return read(side.paths[name], loader, as_of)
    except CannotLoad as error:
        raise click.UsageError(f"{side.named!r}: {error.message}") from None


def status_of(compared: Sequence[Comparison]) -> Status:
    if any(one.unread for one in compared):
        return Status.WRONG
    if any(one.failures for one in compared):
        return Status.OPEN
    if any(one.loads and not all(load.reason for load in one.loads) for one in compared):
        return Status.FOUND
    if any(one.not_decided for one in compared):
        return Status.OPEN
    return Status.NOTHING if all(one.same for one in compared) else Status.FOUND


def write(compared: Sequence[Comparison], outputs: Sequence[Output], old: str, new: str) -> bool:
    """Write every output; return whether all could be written."""
    from netcheck.report import comparison

    forms = {
        "text": comparison.render,
        "json": comparison.render_json,
        "markdown": comparison.render_markdown,
    }
    return write_each(outputs, lambda form, _: forms[form](compared, old, new))
