"""Many panels: results that are kept already first, the rest here or in processes of their own.

Whatever the number of processes, and whether kept or not, each panel's review is the same and
is told in the order of the panels.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TypeVar

import click

from netcheck.cli.loader import FileLoader
from netcheck.cli.screen import Fault, fault_of
from netcheck.finding import NotDecided, Place, Review
from netcheck.record import record
from netcheck.text import Source, Span

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from netcheck.cli.kept import Kept

Command = TypeVar("Command", bound=Callable[..., object])
Reviewing = Callable[..., tuple[Review, Mapping[str, Source]]]

MOST_WORKERS = 64
ENDED = Fault("a process that was to review it ended before it was done")


@record
class Many:
    """How many panels are gone about: processes, and the folder of kept results.

    No `cache` is the user's own folder for such things; an empty one keeps none.
    """

    workers: int = 1
    cache: str | None = ""


def many(command: Command) -> Command:
    """Adds the options; the command gets `workers`, `cache` and `no_cache`, for `asked_for`."""
    for option in (
        click.option(
            "--no-cache", is_flag=True, help="Work everything out anew, and keep no results."
        ),
        click.option(
            "--cache",
            metavar="FOLDER",
            type=click.Path(file_okay=False),
            help="Where results are kept, if not in the folder you have for such things.  They "
            "are used again only where netcheck, its options and every file they came from are "
            "the same, and only where several panels are reviewed.",
        ),
        click.option(
            "--workers",
            metavar="N",
            type=click.IntRange(1, MOST_WORKERS),
            default=1,
            show_default=True,
            help="Processes that review panels side by side.",
        ),
    ):
        command = option(command)
    return command


def asked_for(workers: int, cache: str | None, no_cache: bool) -> Many:
    """Raises UsageError where the options contradict each other."""
    if cache and no_cache:
        raise click.UsageError("--cache and --no-cache contradict each other")
    if no_cache:
        return Many(workers)
    return Many(workers, cache or None)


@record
class Done:
    """The review of one panel, the texts it points into, and what went wrong in netcheck."""

    path: str
    review: Review
    sources: Mapping[str, Source]
    fault: Fault | None = None


@record
class Task:
    """All that is asked of every panel."""

    reviewing: Reviewing
    loader: FileLoader
    options: Mapping[str, Any]
    kept: Kept | None = None

    def one(self, path: str) -> Done:
        """Review it.  A fault in netcheck leaves this panel open, and no other."""
        try:
            if self.kept is None:
                return Done(path, *self.reviewing([path], self.loader, **self.options))
            return self._kept(path, self.kept)
        except click.UsageError:
            raise
        except Exception as error:
            return unfinished(path, fault_of(error))

    def _kept(self, path: str, kept: Kept) -> Done:
        from netcheck.cli.asking import Noting

        noting = Noting(self.loader)
        review, sources = self.reviewing([path], noting, **self.options)
        if not review.failures:
            kept.keep(path, review, sources, noting.asked)
        return Done(path, review, sources)

    def known(self, path: str) -> Done | None:
        found = self.kept.find(path, self.loader) if self.kept is not None else None
        return Done(path, *found) if found is not None else None


def unfinished(path: str, fault: Fault) -> Done:
    reason = NotDecided("a fault in netcheck itself ended this review", Place(Span(path, 1, 1, 1)))
    return Done(path, Review(not_decided=(reason,), panels=(path,)), {}, fault)


def each(task: Task, paths: Sequence[str], workers: int) -> Iterator[Done]:
    """The reviews of `paths`, in their order."""
    known = {path: done for path in paths if (done := task.known(path)) is not None}
    left = [path for path in paths if path not in known]
    if workers > 1 and len(left) > 1:
        worked = _side_by_side(task, left, min(workers, len(left)))
    else:
        worked = map(task.one, left)
    for path in paths:
        yield known.pop(path) if path in known else next(worked)
    if left and task.kept is not None:
        task.kept.prune()


# ---- processes -----------------------------------------------------------------------------------


def _side_by_side(task: Task, paths: Sequence[str], workers: int) -> Iterator[Done]:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import active_children, get_context

    # Started anew and not forked: the same on every system, and safe beside the progress's thread.
    with ProcessPoolExecutor(
        workers, get_context("spawn"), initializer=_begin, initargs=(task,)
    ) as pool:
        try:
            yield from _gathered(pool, paths)
        except BaseException:  # nobody waits for what they are at any more
            for process in active_children():
                process.terminate()
            raise
        finally:
            pool.shutdown(cancel_futures=True)


def _gathered(pool: Executor, paths: Sequence[str]) -> Iterator[Done]:
    from concurrent.futures.process import BrokenProcessPool

    with _interrupts_held_back():
        waiting = [(path, pool.submit(_work, path)) for path in paths]
    for path, future in waiting:
        try:
            yield future.result()
        except BrokenProcessPool:
            yield unfinished(path, ENDED)


@contextmanager
def _interrupts_held_back() -> Iterator[None]:
    """Processes started meanwhile never see one: the first process takes note, and ends them."""
    import signal

    if not hasattr(signal, "pthread_sigmask"):  # no such thing on Windows
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, (signal.SIGINT,))
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


_task: Task | None = None


def _begin(task: Task) -> None:
    """In a new process.  That somebody interrupts netcheck is for the first process to notice."""
    import signal

    global _task
    _task = task
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _work(path: str) -> Done:
    assert _task is not None
    return _task.one(path)
