"""`netcheck diagnose --ask`: question and answer at the panel, a reading at a time.

What was said is a list of lines, as a file of symptoms has them: saving writes it, resuming
reads it, undoing takes the last one away.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import click

from netcheck.cli.outputs import write_whole
from netcheck.cli.screen import say, screen_width

if TYPE_CHECKING:
    from netcheck.bench.diagnose_document import DiagnoseDocument
    from netcheck.bench.next_reading import Next
    from netcheck.bench.page import Page

ANSWERS = "Answer with what the meter shows: `24 V DC`, `120 V AC`, `0`, `floats`.  Or say"
COMMANDS = (
    ("skip", "another two points"),
    ("undo", "take the last line back"),
    ("list", "all that was said so far"),
    ("save FILE", "write it down; name FILE as SYMPTOMS to go on from there"),
    ("quit", "end, with the whole answer"),
)
LINES = "or any other line, such as `H1 is on with S2 pressed` or `wire 204 seen`."

Diagnosed = Callable[[Sequence[str], Sequence[tuple[str, str]]], "DiagnoseDocument"]
"""From the lines said, and the pairs not to ask for.  Raises UsageError."""


class Asking:
    """A dialogue; `lines` are what was said so far."""

    def __init__(self, diagnosed: Diagnosed, lines: Sequence[str], *, colour: bool) -> None:
        self._diagnosed = diagnosed
        self._lines = list(lines)
        self._colour = colour
        self._skipped: list[tuple[str, str]] = []
        self._written = ""

    def run(self) -> DiagnoseDocument:
        """Until the answer is `quit`, or there is none."""
        self._help()
        document = self._diagnosed(self._lines, self._skipped)
        self._show(document)
        while (answer := _answer()) not in ("quit", None):
            before = list(self._lines)
            try:
                if self._take(" ".join(str(answer).split()), document):
                    document = self._diagnosed(self._lines, self._skipped)
                    self._show(document)
            except click.UsageError as error:
                self._lines = before
                self._say(f"not taken: {error.message}")
        return document

    def _take(self, answer: str, document: DiagnoseDocument) -> bool:
        """Whether it changed what is known.  Raises UsageError."""
        word, _, rest = answer.partition(" ")
        step = document.diagnosis.next if document.diagnosis else None
        if answer in ("", "help", "?"):
            self._help()
        elif answer == "list":
            self._say("\n".join(self._lines))
        elif word == "save":
            self._save(rest)
        elif answer == "undo":
            return self._undo()
        elif answer == "skip":
            return self._skip(step)
        else:
            self._lines.append(_line_of(answer, step))
            return True
        return False

    def _undo(self) -> bool:
        if len(self._lines) < 2:
            self._say("the first line stays: there is nothing to go by without it")
            return False
        self._say(f"taken back: {self._lines.pop()}")
        return True

    def _skip(self, step: Next | None) -> bool:
        if step is None:
            self._say("there is no reading to skip")
            return False
        self._skipped.append((step.red, step.black))
        return True

    def _save(self, path: str) -> None:
        if not path:
            raise click.UsageError("say where: `save readings.txt`")
        if os.path.lexists(path) and path != self._written:
            raise click.UsageError(f"{path!r} is there already; name another")
        try:
            write_whole(path, "".join(f"{line}\n" for line in self._lines))
        except OSError as error:
            raise click.UsageError(f"cannot write {path!r}: {error.strerror or error}") from None
        self._written = path
        self._say(f"saved: {path}")

    def _show(self, document: DiagnoseDocument) -> None:
        from netcheck.bench.diagnose_text import render_round

        say(
            render_round(document, colour=self._colour, width=screen_width()) + "\n",
            self._colour,
        )

    def _help(self) -> None:
        page = self._page()
        page.say(ANSWERS, hang=0)
        for command, does in COMMANDS:
            page.row([("", 2), (command, 14)], does)
        page.say(LINES, hang=0)
        say(page.text, self._colour)

    def _say(self, text: str) -> None:
        page = self._page()
        for line in text.splitlines():
            page.say(line)
        say(page.text, self._colour)

    def _page(self) -> Page:
        from netcheck.bench.page import Page

        return Page(colour=self._colour, width=screen_width())


def _answer() -> str | None:
    """None where there is no more to read."""
    try:
        return str(click.prompt("reads", prompt_suffix="> ", default="", show_default=False))
    except click.Abort:
        return None


def _line_of(answer: str, step: Next | None) -> str:
    """The line that an answer stands for: of a bare reading, that of the pair asked for."""
    figure = answer.split(" ")[0]
    bare = figure.lstrip("+-").replace(".", "", 1).isdigit()
    if step is None or not (bare or answer == "floats"):
        return answer
    value = f"{figure} V" if answer == figure and bare else answer
    with_ = f" with {' and '.join(step.withs)}" if step.withs else ""
    return f"{step.red} to {step.black} {value}{with_}"
