"""Colour, width and progress follow the terminal."""

from __future__ import annotations

import io
import sys
import threading

import pytest

from netcheck.cli.screen import Progress, screen_width, wants_colour


class Terminal(io.StringIO):
    """A stream that says it is a terminal and notes when something is written."""

    def __init__(self) -> None:
        super().__init__()
        self.written = threading.Event()

    def isatty(self) -> bool:
        return True

    def write(self, text: str) -> int:
        self.written.set()
        return super().write(text)


def on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", Terminal())
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "72")
    monkeypatch.delenv("NO_COLOR", raising=False)


def test_a_terminal_gets_colour_and_its_width(monkeypatch: pytest.MonkeyPatch) -> None:
    on_a_terminal(monkeypatch)
    assert wants_colour("auto")
    assert 72 == screen_width()


def test_no_color_and_dumb_terminals_are_honoured_unless_told_otherwise(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The NO_COLOR convention: present and not empty means no colour, an option overrides it."""
    on_a_terminal(monkeypatch)
    monkeypatch.setenv("NO_COLOR", "")
    assert wants_colour("auto")
    monkeypatch.setenv("NO_COLOR", "1")
    assert not wants_colour("auto")
    assert wants_colour("always")
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert not wants_colour("auto")


def test_a_pipe_gets_neither_colour_nor_wrapping(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    assert not wants_colour("auto")
    assert screen_width() is None


@pytest.mark.parametrize(
    ("columns", "width"), [("40", 40), ("", None), ("0", None), ("-3", None), ("wide", None)]
)
def test_columns_in_the_environment_are_a_pipes_width_too(
    columns: str, width: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`shutil.get_terminal_size` looks at COLUMNS first, terminal or not; a shell exports it only
    where it is told to."""
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    monkeypatch.setenv("COLUMNS", columns)
    assert width == screen_width()
    assert not wants_colour("auto")


def test_progress_is_shown_on_a_terminal_and_taken_away() -> None:
    stream = Terminal()
    with Progress(lambda: "reviewing \x1b[2Jbay3.panel", stream, quiet_s=0):
        assert stream.written.wait(30)
    shown = stream.getvalue()
    assert shown.startswith("\rreviewing \\x1b[2Jbay3.panel")
    assert "" == shown.rsplit("\r", 2)[1].strip()
    assert shown.endswith("\r")


def test_quick_work_shows_no_progress() -> None:
    stream = Terminal()
    with Progress(lambda: "reviewing", stream, quiet_s=3600):
        pass
    assert "" == stream.getvalue()


def test_a_pipe_gets_no_progress() -> None:
    stream = io.StringIO()
    with Progress(lambda: "reviewing", stream, quiet_s=0) as progress:
        assert progress
    assert "" == stream.getvalue()
