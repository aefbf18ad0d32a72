"""The terminal: colour, width, progress, and a reader that goes away."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from types import TracebackType
from typing import IO, Any

import click

from netcheck.record import record

QUIET_S = 2.0
"""Seconds of work before progress is shown."""
BAR_COLUMNS = 20


def wants_colour(choice: str) -> bool:
    """Whether to colour standard output: as told, else only on a terminal and without NO_COLOR."""
    if choice != "auto":
        return choice == "always"
    if os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return False
    return sys.stdout.isatty()


def screen_width() -> int | None:
    """Columns of the terminal on standard output; None if it is none and `COLUMNS` asks for none.

    A shell keeps `COLUMNS` to itself: who exports it wants a pipe, too, to be as wide.
    """
    return _columns() if sys.stdout.isatty() or _are_asked_for() else None


def _are_asked_for() -> bool:
    """As `shutil.get_terminal_size` takes it: what is no number above nought says nothing."""
    try:
        return int(os.environ.get("COLUMNS", "")) > 0
    except ValueError:
        return False


def _columns() -> int:
    import shutil

    return shutil.get_terminal_size().columns


def say(text: str, colour: bool = False) -> None:
    """Write to standard output.  A reader that has seen enough and left is no error.

    Raises OSError if it cannot be written, for example because a disk is full.
    """
    try:
        click.echo(text, nl=False, color=colour)
        sys.stdout.flush()
    except BrokenPipeError:
        no_more_output()
    except OSError:
        no_more_output()
        raise


def no_more_output() -> None:
    """Send the rest of standard output nowhere, so that Python does not complain on leaving."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


def note(text: str) -> None:
    """Write a line to standard error."""
    click.echo(text, err=True)


def cannot_write(path: str, error: OSError) -> None:
    """Say what could not be written, and why; `-` and nothing are standard output."""
    what = repr(path) if path not in ("", "-") else "to standard output"
    note(f"netcheck: cannot write {what}: {error.strerror or error}")


@record
class Fault:
    """What went wrong in netcheck itself, and where; it may have been in another process."""

    what: str
    trace: str = ""


def fault_of(error: BaseException) -> Fault:
    trace = ""
    if os.environ.get("NETCHECK_TRACEBACK") == "1":
        import traceback

        trace = "".join(traceback.format_exception(error))
    return Fault(f"{type(error).__name__}: {error}"[:200], trace)


def internal_error(fault: Fault, doing: str) -> None:
    """Say that netcheck itself failed, on what, and how to help; details only if asked for."""
    from netcheck.report.terminal import visible

    what = visible(fault.what)
    note(
        f"netcheck: a fault in netcheck itself, not in your panel, {visible(doing)} ({what})\n"
        "Please report it together with the text it was given.  NETCHECK_TRACEBACK=1 shows more."
    )
    if fault.trace:
        note(fault.trace)


def share_done(done: int, all: int, what: str) -> str:
    """A bar, the count, and what is being done: `[####------] 812 of 2000, reviewing a.panel`."""
    full = BAR_COLUMNS * done // max(all, 1)
    return f"[{'#' * full}{'-' * (BAR_COLUMNS - full)}] {done} of {all}, {what}"


class Progress:
    """Shows on a terminal what is being done, once it takes longer than two seconds."""

    def __init__(
        self, doing: Callable[[], str], stream: IO[str] | None = None, quiet_s: float = QUIET_S
    ) -> None:
        self._doing = doing
        self._stream = sys.stderr if stream is None else stream
        self._quiet_s = quiet_s
        self._shown = 0
        self._stop: Any = None
        self._thread: Any = None

    def __enter__(self) -> Progress:
        if self._stream.isatty():
            import threading

            self._stop = threading.Event()
            self._thread = threading.Thread(target=self._watch, daemon=True)
            self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._thread is not None:
            self._stop.set()
            self._thread.join()
            self.clear()

    def _watch(self) -> None:
        wait_s = self._quiet_s
        while not self._stop.wait(wait_s):
            self.show()
            wait_s = 1.0

    def show(self) -> None:
        from netcheck.report.terminal import columns, padded, visible

        text = visible(self._doing())
        while columns(text) >= _columns():
            text = text[:-1]
        self._stream.write("\r" + padded(text, self._shown))
        self._stream.flush()
        self._shown = columns(text)

    def clear(self) -> None:
        if self._shown:
            self._stream.write("\r" + " " * self._shown + "\r")
            self._stream.flush()
