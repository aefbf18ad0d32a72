"""`netcheck diagnose --ask`: question and answer at the panel, a reading at a time.

What was said is a list of lines, as a file of symptoms has them: saving writes it, and every
answer after that, so that a line that hangs up loses nothing; resuming reads it, undoing takes
the last one away, or what was skipped since.  What was skipped is a remark in the file.  An
interrupt stops an answer that is worked out, never the dialogue.
"""

from __future__ import annotations

import os
import re
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
    ("again", "show how it stands"),
    ("undo", "take the last answer or skip back"),
    ("list", "all that was said so far"),
    ("save FILE", "write this and each later answer; name FILE as SYMPTOMS to go on"),
    ("quit", "end, with the whole answer"),
)
LINES = (
    "or any other line: `H1 is on with S2 pressed`, `PLC1:I0 is dark`, `CB3 is not tripped`, "
    "`wire 204 seen`."
)
FIRST = (
    "What is wrong?  Say it as in `M1 does not run with S2 pressed`, `CB3 trips`, `H1 is dim`, "
    "`everything is off`."
)
LEAVES = ("q", "exit", "end")
"""Said for `quit`."""
VOLTAGE = "write one like `24 V DC`, `120 V AC`, `0`, `floats`"
SAVED_AT = "# saved at "
"""Begins a file that was saved; the panel's file follows."""

SKIPPED = "# skipped "
"""Begins the line of a pair that is not to be asked for again."""
STOPPED = "stopped; all that was said before stands"
LEAVING = "`save FILE` writes down what was said, `quit` ends; once more leaves as it is"

Step = str | tuple[str, str]
"""A line that was said, or a pair that was skipped."""

_VOLTAGE = r"([+-]?[0-9]+(?:[.,][0-9]+)?) ?([mkK]?[vV])?(?: ?([aAdD][cC]))?"
_NUMBER = r"[+-]?[0-9][0-9.,eE]*|OL"

Diagnosed = Callable[[Sequence[str], Sequence[tuple[str, str]]], "DiagnoseDocument"]
"""From the lines said, and the pairs not to ask for.  Raises UsageError."""


class Asking:
    """A dialogue; `steps` are what was said and skipped so far, `panel` is the file it is about."""

    def __init__(
        self, diagnosed: Diagnosed, steps: Sequence[Step], panel: str, *, colour: bool
    ) -> None:
        self._diagnosed = diagnosed
        self._steps = list(steps)
        self._panel = panel
        self._colour = colour
        self._written = ""

    @property
    def _lines(self) -> list[str]:
        return [step for step in self._steps if isinstance(step, str)]

    @property
    def _skipped(self) -> list[tuple[str, str]]:
        return [step for step in self._steps if not isinstance(step, str)]

    def run(self) -> DiagnoseDocument | None:
        """Until the answer is `quit`, or there is none.  None where nothing was said, or nothing
        was worked out."""
        self._help()
        self._caution()
        document = None
        if self._lines:
            document = self._unless_stopped(self._again)
        else:
            self._say(FIRST)
        while (answer := self._answer("reads" if document else "seen")) not in ("quit", None):
            before, said = list(self._steps), str(answer)
            try:
                if self._take(said, document):
                    document = self._again()
                    self._save_again()
            except KeyboardInterrupt:
                self._steps = before
                self._say(f"{STOPPED}; not taken: {said}")
                self._say_pair(document)
            except click.UsageError as error:
                self._steps = before
                number = re.fullmatch(_NUMBER, said.split(" ")[0])
                words = f"`{said}` is no voltage; {VOLTAGE}" if number else error.message
                self._say(f"not taken: {error.message if _is_bare(said) else words}")
        return document

    def _say_pair(self, document: DiagnoseDocument | None) -> None:
        """What a bare reading is taken for: another pair may be on the screen already."""
        step = document.diagnosis.next if document and document.diagnosis else None
        if step is not None:
            self._say(f"asked for still: {step.red} to {step.black}")

    def _unless_stopped(self, work: Callable[[], DiagnoseDocument]) -> DiagnoseDocument | None:
        try:
            return work()
        except KeyboardInterrupt:
            self._say(f"{STOPPED}; `again` works it out")
            return None

    def _answer(self, prompt: str) -> str | None:
        """None where there is no more to read, or after a second interrupt in a row."""
        try:
            return _answer(prompt)
        except KeyboardInterrupt:
            self._say(f"\n{LEAVING}")
        try:
            return _answer(prompt)
        except KeyboardInterrupt:
            return None

    def _again(self) -> DiagnoseDocument:
        document = self._diagnosed(self._lines, self._skipped)
        self._show(document)
        return document

    def _take(self, answer: str, document: DiagnoseDocument | None) -> bool:
        """Whether it changed what is known.  Raises UsageError."""
        word, _, rest = answer.partition(" ")
        step = document.diagnosis.next if document and document.diagnosis else None
        if answer in ("", "help", "?"):
            self._help()
        elif answer == "list":
            self._say("\n".join(self._lines))
        elif word == "save":
            self._save(rest)
        elif answer == "again":
            return self._is_begun()
        elif answer == "undo":
            return self._undo()
        elif answer == "skip":
            return self._skip(step)
        else:
            self._steps.append(_line_of(answer, step))
            return True
        return False

    def _is_begun(self) -> bool:
        if not self._lines:
            self._say("nothing was said yet")
        return bool(self._lines)

    def _undo(self) -> bool:
        if not self._steps:
            self._say("nothing was said yet")
            return False
        last = self._steps[-1]
        if isinstance(last, str) and len(self._lines) < 2:
            self._say("the first line stays: there is nothing to go by without it")
            return False
        self._steps.pop()
        skipped = not isinstance(last, str)
        self._say(f"asked again: {' to '.join(last)}" if skipped else f"taken back: {last}")
        return True

    def _skip(self, step: Next | None) -> bool:
        if step is None:
            self._say("there is no reading to skip")
            return False
        self._steps.append((step.red, step.black))
        return True

    def _save(self, path: str) -> None:
        if not path:
            raise click.UsageError("say where: `save readings.txt`")
        if os.path.lexists(path) and path != self._written:
            raise click.UsageError(f"{path!r} is there already; name another")
        self._write(path)
        self._written = path
        self._say(f"saved: {path}")

    def _write(self, path: str) -> None:
        try:
            lines = [f"{SAVED_AT}{self._panel}", *map(_written, self._steps)]
            write_whole(path, "".join(f"{line}\n" for line in lines))
        except OSError as error:
            raise click.UsageError(f"cannot write {path!r}: {error.strerror or error}") from None

    def _save_again(self) -> None:
        """The answer stands, even where it can be written down no more."""
        if not self._written:
            return
        try:
            self._write(self._written)
        except click.UsageError as error:
            self._written = ""
            self._say(f"no longer saved: {error.message}")

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

    def _caution(self) -> None:
        """Before the first live reading, not only below the last."""
        from netcheck.bench import cautions
        from netcheck.bench.readings import SHOCK_V

        page = self._page()
        for line in (*cautions.of_live_test(SHOCK_V), cautions.NEVER):
            page.say(line)
        say(page.text, self._colour)

    def _say(self, text: str) -> None:
        page = self._page()
        for line in text.splitlines():
            page.say(line)
        say(page.text, self._colour)

    def _page(self) -> Page:
        from netcheck.bench.page import Page

        return Page(colour=self._colour, width=screen_width())


def _answer(prompt: str) -> str | None:
    """None where there is no more to read.  Telephones begin a line with a capital.

    Raises KeyboardInterrupt.
    """
    try:
        said = click.prompt(prompt, prompt_suffix="> ", default="", show_default=False)
    except click.Abort as abort:
        if isinstance(abort.__context__, KeyboardInterrupt):
            raise KeyboardInterrupt from None
        return None
    word, _, rest = " ".join(str(said).split()).partition(" ")
    if word.lower() in ("floats", "help", "?", *(name.split(" ")[0] for name, _ in COMMANDS)):
        word = word.lower()
    said = f"{word} {rest}".strip()
    return "quit" if said.lower() in LEAVES else said


def _written(step: Step) -> str:
    return step if isinstance(step, str) else f"{SKIPPED}{' to '.join(step)}"


def step_of(line: str) -> Step:
    """What a line of a file says, without remarks; empty if nothing."""
    red, to, black = line.removeprefix(SKIPPED).strip().partition(" to ")
    if line.startswith(SKIPPED) and to:
        return red, black
    return line.partition("#")[0].strip()


def _is_bare(answer: str) -> bool:
    return answer == "floats" or re.fullmatch(_VOLTAGE, answer) is not None


def _line_of(answer: str, step: Next | None) -> str:
    """The line that an answer stands for: of a bare reading, that of the pair asked for.

    Raises UsageError where none is asked for.
    """
    if not _is_bare(answer):
        return answer
    if step is None:
        raise click.UsageError(
            "no two points are asked for now; name them, as in `K1:A1 to K1:A2 24 V`"
        )
    with_ = f" with {' and '.join(step.withs)}" if step.withs else ""
    return f"{step.red} to {step.black} {_voltage(answer)}{with_}"


def _voltage(answer: str) -> str:
    """As a file of symptoms has it: `24v` is `24 V`."""
    found = re.fullmatch(_VOLTAGE, answer)
    if found is None:
        return answer
    figure, unit, kind = (part or "" for part in found.groups())
    plain = figure.replace(",", ".").lstrip("+")
    return f"{plain} {unit[:-1].lower()}V {kind.upper()}".strip()
