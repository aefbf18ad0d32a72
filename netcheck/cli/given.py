"""The panels a user names: files, folders, standard input."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

import click

from netcheck.cli.loader import LARGEST_BYTES, SUFFIX, FileLoader, refuse_outside
from netcheck.finding import Mistake, Place
from netcheck.loading import CannotLoad
from netcheck.record import draft, fresh
from netcheck.text import Span

if TYPE_CHECKING:
    from netcheck.loading import Loader

STANDARD_INPUT = "-"


def standard_input() -> bytes:
    """Return what stands there, a byte more than is allowed at most; UsageError if it is closed."""
    if sys.stdin is None:
        raise click.UsageError("there is no standard input to read")
    return sys.stdin.buffer.read(LARGEST_BYTES + 1)


@draft
class Given:
    """Paths to review in order, each with the folder it may not leave, and what is amiss."""

    roots: dict[str, str] = fresh(factory=dict)
    mistakes: list[Mistake] = fresh(factory=list)

    @property
    def paths(self) -> list[str]:
        return list(self.roots)


def given_panels(arguments: Sequence[str], as_path: str | None, root: str | None) -> Given:
    """Return what `arguments` name.

    A folder stands for the panels in it, in the order of their paths.  `-` stands for
    the path `as_path`.  Includes stay in `root`, or else in the folder that was named
    or that holds the file.  A path named twice is taken once.
    """
    given = Given()
    seen: set[str] = set()
    for argument in arguments:
        if argument != STANDARD_INPUT and os.path.isdir(argument):
            found, folder = _found(argument, given.mistakes), argument
        else:
            path = as_path or argument if argument == STANDARD_INPUT else argument
            found, folder = [path], os.path.dirname(path) or os.curdir
        for path in found:
            if (same := os.path.normpath(path)) not in seen:
                seen.add(same)
                given.roots[path] = root or folder
    return given


def readable(given: Given, loader: FileLoader) -> list[str]:
    """Return the paths that can be loaded; each of the others becomes a mistake."""
    paths = []
    for path in given.paths:
        try:
            loader.load(path)
        except CannotLoad as error:
            given.mistakes.append(cannot_load(path, error))
        else:
            paths.append(path)
    return paths


def texts_of(loader: Loader, paths: Iterable[str]) -> dict[str, str]:
    """The texts of those of the paths that can be loaded."""
    found = {}
    for path in paths:
        with suppress(CannotLoad):
            found[path] = loader.load(path).text
    return found


def cannot_load(path: str, error: CannotLoad) -> Mistake:
    span = Span(path, error.line, error.column, error.column)
    return Mistake(f"`{path}`: {error.message}", Place(span))


def _found(folder: str, mistakes: list[Mistake]) -> list[str]:
    """The panels in `folder`.  What keeps one from being found is noted, never passed over."""
    paths = []
    for path in _walked(folder, mistakes):
        try:
            if os.path.islink(path):
                refuse_outside(path, folder)
        except CannotLoad as error:
            mistakes.append(cannot_load(path, error))
        else:
            paths.append(path)
    if not paths:
        mistakes.append(cannot_load(folder, CannotLoad(f"no file in it ends in `{SUFFIX}`")))
    return sorted(paths)


def _walked(folder: str, mistakes: list[Mistake]) -> Iterator[str]:
    def note(error: OSError) -> None:
        reason = CannotLoad(f"this folder cannot be read: {error.strerror or error}")
        mistakes.append(cannot_load(os.fspath(error.filename), reason))

    for here, folders, files in os.walk(folder, onerror=note):
        folders[:] = [name for name in folders if not _passed_over(here, name)]
        yield from (
            os.path.normpath(os.path.join(here, name)) for name in files if name.endswith(SUFFIX)
        )


def _passed_over(here: str, name: str) -> bool:
    """Whether a folder holds tools' data and other people's files: dot folders, environments."""
    return name.startswith(".") or os.path.exists(os.path.join(here, name, "pyvenv.cfg"))
