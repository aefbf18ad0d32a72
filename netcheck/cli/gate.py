"""What of a review counts: against a register, a revision, a day.

Nothing here is loaded by a review that asks for none of it.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress

import click

from netcheck.cli.git import NoRevision, Revision, RevisionLoader
from netcheck.cli.given import Given, cannot_load, texts_of
from netcheck.cli.loader import FileLoader, decoded, read_file
from netcheck.finding import Mistake, Place, Review
from netcheck.loading import CannotLoad
from netcheck.record import replace
from netcheck.register import NoRegister, Register, entries_of, held_against, read
from netcheck.report.said import tidy_path
from netcheck.text import Source, Span

Reviewing = Callable[[Given, FileLoader], Review]


def revision(name: str) -> Revision:
    """The revision around the current folder.  UsageError where there is none."""
    try:
        return Revision(name)
    except NoRevision as error:
        raise click.UsageError(str(error)) from None


def changed_only(given: Given, loader: FileLoader, since: str) -> list[str]:
    """Take out the panels that read as they did `since` then, with all they include and choose.

    Returns their paths.  What cannot be read is never taken out.
    """
    from netcheck.cli.asking import Noting, as_asked
    from netcheck.reading.project import gather

    then = RevisionLoader(given.roots, revision(since))
    same = []
    for path in given.paths:
        noting = Noting(loader)
        try:
            gathered = gather(path, noting)
        except CannotLoad:
            continue
        if not gathered.mistakes and as_asked(then, noting.asked) is not None:
            same.append(path)
    for path in same:
        del given.roots[path]
    return same


def new_only(review: Review, given: Given, since: str, reviewing: Reviewing) -> Review:
    """The review with what was found `since` then already, no better and no worse, accepted."""
    then = revision(since)
    called = _renamed_since(given, then)
    roots = {called.get(path, path): root for path, root in given.roots.items()}
    before = reviewing(Given(roots), RevisionLoader(roots, then))
    now = {tidy_path(was): tidy_path(path) for path, was in called.items()}
    entries = tuple(entries_of(before, lambda path: now.get(tidy_path(path), tidy_path(path))))
    return held_against(review, Register(entries, f"not new: found in {since} too"), tidy_path)


def _renamed_since(given: Given, then: Revision) -> dict[str, str]:
    """What files that the revision does not have were called in it, if they are there no more."""
    from netcheck.revisions.renamed_files import renamed_files

    come = {path: root for path, root in given.roots.items() if not then.has(path)}
    gone: dict[str, str] = {}
    for root in sorted(set(come.values())):
        with suppress(CannotLoad):
            gone |= {path: root for path in then.panels(root) if not os.path.lexists(path)}
    if not gone:
        return {}
    before, now = RevisionLoader(gone, then), FileLoader(come)
    return renamed_files(texts_of(before, gone), texts_of(now, come))


def registered(
    review: Review, sources: dict[str, Source], path: str, as_of: str
) -> tuple[Review, dict[str, Source]]:
    """The review with what the register at `path` covers accepted; a mistake if it is none."""
    try:
        source = Source(path, decoded(read_file(path)))
        register = read(source, f"in the register {path}")
    except CannotLoad as error:
        return _with_mistake(review, cannot_load(path, error)), sources
    except NoRegister as error:
        place = Place(Span(path, error.line, 1, 2))
        return _with_mistake(review, Mistake(error.message, place)), sources
    return held_against(review, register, named_from(path), as_of), {**sources, path: source}


def named_from(register: str) -> Callable[[str], str]:
    """How a register writes a file: from its own folder, wherever netcheck is started."""
    folder = os.path.dirname(os.path.abspath(register))
    return lambda path: os.path.relpath(os.path.abspath(path), folder).replace(os.sep, "/")


def _with_mistake(review: Review, mistake: Mistake) -> Review:
    return replace(review, mistakes=(*review.mistakes, mistake))
