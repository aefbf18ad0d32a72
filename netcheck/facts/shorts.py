"""Every closed loop that drives current through nothing but what counts as wire.

One cause is one short.  The cause found, it is taken away and the rest is looked at again,
what moves moving as it does with the fault in place.  Loops that close through the same
relays being in together have one cause, be it by several of their poles.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from netcheck.case import View, concludes
from netcheck.facts.closed_loops import ClosedLoops, Loop, without
from netcheck.facts.paralleled import is_side_by_side
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed
from netcheck.states.answers import Reached, Undecided
from netcheck.states.volts import Volts
from netcheck.states.witness import Witness, tell_path

MOST_CAUSES = 25
"""Looking stops after so many: a panel with as many shorts is not read for the next one."""


@dataclass(frozen=True, slots=True)
class Short:
    """One short: the poles it joins, by what path, in which state, and what causes it.

    `sources` are the devices whose volts drive it, in the order the current passes them;
    where there are several, `path` is interrupted at each after the first.
    """

    start: str
    end: str
    volts: Volts
    sources: tuple[str, ...]
    path: tuple[Passed, ...]
    cause: Wire | Part
    witness: Witness
    race: bool


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """A loop of which it was not decided whether it can close; no poles if it is not known."""

    start: str
    end: str
    reason: str
    devices: tuple[str, ...] = ()
    path: tuple[Passed, ...] = ()
    cause: Wire | Part | None = None


@dataclass(frozen=True)
class Shorts:
    found: tuple[Short, ...]
    undecided: tuple[OpenQuestion, ...]
    mended: Panel
    """The panel without the wires and bridges that cause shorts: itself, if there are none."""


@concludes(ClosedLoops)
def find_shorts(view: View) -> Shorts:
    return _Search(view[ClosedLoops]).all(view.panel)


class _Search:
    def __init__(self, loops: ClosedLoops) -> None:
        self._loops = loops
        self._found: list[Short] = []
        self._undecided: list[OpenQuestion] = []
        self._known: set[frozenset[str]] = set()
        self._solid: list[Wire | Part] = []

    def all(self, whole: Panel) -> Shorts:
        """Settled shorts before races, races before what is not decided."""
        panel = whole
        for _ in range(MOST_CAUSES):
            outcome = self._worst(panel)
            if outcome is None or outcome.cause is None:
                break
            panel = self._take(outcome, panel)
        else:
            self._undecided.append(
                OpenQuestion("", "", f"after {MOST_CAUSES} causes no more are looked for")
            )
        if self._loops.too_many:
            self._undecided.append(
                OpenQuestion("", "", "there are more ways between sources than are followed")
            )
        mended = whole
        for cause in self._solid:
            mended = without(mended, cause)
        return Shorts(tuple(self._found), tuple(self._undecided), mended)

    def _take(self, outcome: Short | OpenQuestion, panel: Panel) -> Panel:
        """Keep the outcome unless its cause is known; the panel without that cause."""
        relays = frozenset(_relays(panel, outcome.path))
        if len(relays) < 2 or relays not in self._known:
            self._keep(outcome)
        self._known.add(relays)
        assert outcome.cause is not None
        if isinstance(outcome, Short) and not outcome.race and self._loops.solid(outcome.cause):
            self._solid.append(outcome.cause)
        return without(panel, outcome.cause)

    def _keep(self, outcome: Short | OpenQuestion) -> None:
        if isinstance(outcome, Short):
            self._found.append(outcome)
        else:
            self._undecided.append(outcome)

    def _worst(self, panel: Panel) -> Short | OpenQuestion | None:
        races: list[Short] = []
        open_questions: list[OpenQuestion] = []
        for loop in self._loops.of(panel):
            if not loop.way.volts or is_side_by_side(loop.way):
                continue
            answer = self._loops.answer(loop)
            if isinstance(answer, Undecided):
                open_questions.append(self._open(loop, answer))
            elif isinstance(answer, Reached):
                short = self._short(loop, answer)
                if not short.race:
                    return short
                races.append(short)
        if races:
            return races[0]
        return self._first_open(open_questions)

    def _first_open(self, questions: list[OpenQuestion]) -> OpenQuestion | None:
        """One with a cause to take away; of the others each pair of poles is kept once."""
        for question in questions:
            if question.cause is not None:
                return question
        self._undecided += dict.fromkeys(questions)
        return None

    def _open(self, loop: Loop, answer: Undecided) -> OpenQuestion:
        start, end = loop.legs[0][0], loop.legs[-1][1]
        if answer.hint is None:
            return OpenQuestion(start, end, answer.reason, answer.chattering)
        path = self._loops.path(loop, answer.hint)
        cause = self._loops.cause(loop, answer.hint, path)
        return OpenQuestion(start, end, answer.reason, answer.chattering, path, cause)

    def _short(self, loop: Loop, answer: Reached) -> Short:
        path = self._loops.path(loop, answer)
        return Short(
            loop.legs[0][0],
            loop.legs[-1][1],
            loop.way.volts,
            loop.sources,
            path,
            self._loops.cause(loop, answer, path),
            tell_path(loop.panel, answer, path),
            answer.kind == "race",
        )


def _relays(panel: Panel, path: Iterable[Passed]) -> Iterable[str]:
    """The relays whose contacts are on a path."""
    for passed in path:
        mechanism = (
            panel.mechanisms.get(passed.by.mechanism) if isinstance(passed.by, Part) else None
        )
        if mechanism is not None and mechanism.moved_by_coil:
            yield mechanism.name
