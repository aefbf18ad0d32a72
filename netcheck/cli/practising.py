"""The dialogue of `netcheck exercise`: a line is something done, asked or named."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from netcheck.cli.screen import Progress, say, screen_width

if TYPE_CHECKING:
    from netcheck.bench.exercising import Exercise

HELP = """\
S2 pressed        put something there: `SS1 in AUTO`, `ES1 pushed`, `CB1 off`, `MAINS off`
press S2          press a button and let it go
T1 runs out       let a timer run out
look              what is on, which relays are in, where switches stand
meter RED BLACK   volts of the one terminal against the other: `meter K1:A1 PS1:0V`
ohms RED BLACK    resistance: only with the power off, and proved dead
faults [WORD]     what it may be, each with its number; only those with WORD
name FAULT        the fault, by its words or its number
hint              the next reading of a good plan
quit              give up, and be told"""

PRACTICE = (
    "Practise on a description, a de-energised board or extra-low voltage, never on the plant."
)


class Practice:
    """One exercise from the first line to the verdict."""

    def __init__(self, exercise: Exercise, called: str) -> None:
        self._exercise = exercise
        self._called = called
        self._found = False
        self._on = self._names_on()
        self._words: dict[str, Callable[[str], None]] = {
            "press": self._press,
            "meter": self._meter,
            "ohms": self._ohms,
            "faults": self._faults,
            "name": self._name,
        }

    def run(self) -> bool:
        """Whether the fault was named; until it is, or the answers end."""
        from netcheck.bench.exercise_data import name_of, steps_of

        task = self._exercise.drill.task
        self._say(f"EXERCISE ({self._called}): {name_of(self._exercise.panel, task)} "
                  "does not work as it should")  # fmt: skip
        self._say(f"It should after: {'; '.join(steps_of(self._exercise.panel, task))}.")
        self._say(PRACTICE)
        self._say(HELP)
        self._tell(["everything at rest, power on", *self._exercise.begun])
        while not self._found and (answer := _answer()) not in ("quit", None):
            try:
                self._take(" ".join(str(answer).split()))
            except click.UsageError as error:
                self._say(f"not taken: {error.message}")
        self._end()
        return self._found

    def _take(self, answer: str) -> None:
        """Raises UsageError."""
        word, _, rest = answer.partition(" ")
        if answer in ("", "help", "?"):
            self._say(HELP)
        elif answer == "look":
            self._look()
        elif answer == "hint":
            with _planning():
                hint = self._exercise.hint()
            self._say(f"hint {self._exercise.hints}: {hint}")
        elif word in self._words:
            self._words[word](rest)
        elif answer.endswith(" runs out"):
            self._run_out(answer.removesuffix(" runs out"))
        else:
            self._put(answer)

    # ---- operating ---------------------------------------------------------------------------

    def _put(self, words: str) -> None:
        from netcheck.model.names import NameMistake
        from netcheck.model.supposed import position_in_words

        try:
            mechanism, position = position_in_words(self._exercise.panel, words)
        except NameMistake as mistake:
            raise click.UsageError(f"{mistake.message}; {mistake.help}") from None
        if why := self._exercise.barred(mechanism, position):
            raise click.UsageError(why)
        done = mechanism.steps[position] or f"{mechanism.name} {mechanism.positions[position]}"
        self._tell([done, *self._exercise.put(mechanism.name, position)])

    def _press(self, name: str) -> None:
        self._put(f"{name} pressed")
        self._put(f"{name} released")

    def _run_out(self, name: str) -> None:
        mechanism = self._exercise.panel.mechanisms.get(name)
        if mechanism is None or not mechanism.moved_by_coil:
            raise click.UsageError(f"there is no timer {name}")
        if why := self._exercise.barred(mechanism, 1):
            raise click.UsageError(why)
        other = 1 - self._exercise.trial.position(name)
        self._tell([f"{name} runs out", *self._exercise.put(name, other)])

    def _tell(self, done: list[str]) -> None:
        """What was done and seen, and which loads went on or off."""
        before, self._on = self._on, self._names_on()
        come = [name for name in self._on if name not in before]
        gone = [name for name in before if name not in self._on]
        told = [*done, *([f"on: {', '.join(come)}"] if come else [])]
        self._say("; ".join([*told, *([f"off: {', '.join(gone)}"] if gone else [])]))

    def _names_on(self) -> list[str]:
        trial, parts = self._exercise.trial, self._exercise.panel.parts
        loads = (p for p in parts if p.load is not None and p.load.works != "coil")
        return list(dict.fromkeys(load.device for load in loads if trial.is_on(load)))

    def _look(self) -> None:
        from netcheck.model.devices import Drive

        stands: dict[str, list[str]] = {}
        for name, one in self._exercise.panel.mechanisms.items():
            sort = "relays" if one.moved_by_coil else "switches"
            sort = "breakers and fuses" if one.drive is Drive.PROTECTION else sort
            at = self._exercise.trial.position(name)
            position = one.positions[at]
            if self._exercise.hides(name):
                position = "in its holder"
            elif one.drive is Drive.SOURCE:
                position = "on" if at else "off"
            stands.setdefault(sort, []).append(f"{name} {position}")
        self._say(f"on: {', '.join(self._on) or 'nothing'}")
        for sort, names in stands.items():
            self._say(f"{sort}: {', '.join(names)}")
        if running := self._exercise.trial.running():
            self._say(f"running: {', '.join(running)}")

    # ---- metering ----------------------------------------------------------------------------

    def _meter(self, rest: str) -> None:
        red, black = self._leads(rest)
        reading = self._exercise.volts(red, black)
        self._say(f"{red} to {black}: {'no reading: a dead short' if reading is None else reading}")

    def _ohms(self, rest: str) -> None:
        from netcheck.bench.meter_text import in_circuit

        red, black = self._leads(rest)
        ohms = self._exercise.ohms(red, black)
        self._say(ohms if isinstance(ohms, str) else f"{red} to {black}: {in_circuit(ohms)}")

    def _leads(self, rest: str) -> tuple[str, str]:
        from netcheck.cli.meter import terminal_called

        names = rest.split(" ")
        if len(names) != 2:
            raise click.UsageError("name two terminals, the red lead's first")
        red, black = (terminal_called(self._exercise.panel, name) for name in names)
        return red, black

    # ---- naming ------------------------------------------------------------------------------

    @property
    def _listed(self) -> list[str]:
        return sorted(one.words for one in self._exercise.drill.troubles)

    def _faults(self, word: str) -> None:
        for number, words in enumerate(self._listed, 1):
            if word.casefold() in words.casefold():
                self._say(f"{number:3}  {words}")

    def _name(self, given: str) -> None:
        listed = self._listed
        if given.isdecimal() and 1 <= int(given[:6]) <= len(listed):
            given = listed[int(given[:6]) - 1]
        if given not in listed:
            raise click.UsageError("that is none of the `faults`; name one by its words or number")
        with _planning():
            verdict = self._exercise.name(given)
        self._say(verdict.words)
        self._found = verdict.right

    def _end(self) -> None:
        from netcheck.bench.exercising import SAFE

        exercise, drill = self._exercise, self._exercise.drill
        with _planning():
            score = exercise.score()
        self._say(f"{'found' if self._found else 'given up'}: {drill.trouble.words}")
        self._say(score)
        self._say(f"hints: {exercise.hints}; named wrongly: {exercise.wrong}")
        self._say("safe work missed:" if exercise.missed else "safe work: nothing missed")
        for what, times in exercise.missed.items():
            self._say(f"  {SAFE[what]}{f', {times} times' if times > 1 else ''}")

    def _say(self, text: str) -> None:
        from netcheck.report.terminal import visible, wrapped

        for line in text.splitlines():
            width = screen_width()
            for piece in wrapped(visible(line), width if len(line) > (width or 0) else None):
                say(f"{piece}\n")


def _planning() -> Progress:
    return Progress(lambda: "working out a good plan")


def _answer() -> str | None:
    """None where there is no more to read."""
    try:
        return str(click.prompt("do", prompt_suffix="> ", default="", show_default=False))
    except click.Abort:
        return None
