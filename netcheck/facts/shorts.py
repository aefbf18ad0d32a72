"""Every closed loop that drives current through nothing but what counts as wire.

One cause is one short.  The cause found, it is taken away and the rest is looked at again,
what moves moving as it does with the fault in place.  Loops that close through the same
relays being in together have one cause, be it by several of their poles.

A short that is there in every state leaves nothing of its source to reason about.  Such
causes are taken away first, and the panel judged on as if it were mended.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.case import View, concludes
from netcheck.facts.closed_loops import ClosedLoops, Loop, loops_of, without
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.answers import Reached, Undecided
from netcheck.states.volts import Volts
from netcheck.states.witness import Witness, tell_path

MOST_CAUSES = 25
"""Looking stops after so many: a panel with as many shorts is not read for the next one."""


@record
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
    in_one_instant: bool
    """Whether the race takes two relays that move in the same instant."""
    always: bool
    """Whether nothing on its path ever opens."""


@record
class OpenQuestion:
    """A loop of which it was not decided whether it can close; no poles if it is not known."""

    start: str
    end: str
    reason: str
    devices: tuple[str, ...] = ()
    path: tuple[Passed, ...] = ()
    cause: Wire | Part | None = None


@record
class Shorts:
    found: tuple[Short, ...]
    undecided: tuple[OpenQuestion, ...]
    mended: Panel
    """The panel without the wires and bridges that cause shorts: itself, if there are none."""


@concludes(ClosedLoops)
def find_shorts(view: View) -> Shorts:
    return _Search().all(view[ClosedLoops])


class _Search:
    def __init__(self) -> None:
        self._found: list[Short] = []
        self._undecided: list[OpenQuestion] = []
        self._known: set[frozenset[str]] = set()
        self._solid: list[Wire | Part] = []
        self._too_many = False

    def all(self, loops: ClosedLoops) -> Shorts:
        """Those always there, then settled shorts before races, races before what is open."""
        whole = loops.panel
        loops = self._always(loops)
        panel = loops.panel
        while len(self._found) < MOST_CAUSES:
            outcome = self._worst(loops, panel)
            if outcome is None or outcome.cause is None:
                break
            panel = self._take(loops, outcome, panel)
        else:
            self._undecided.append(
                OpenQuestion("", "", f"after {MOST_CAUSES} causes no more are looked for")
            )
        if self._too_many or loops.too_many:
            self._undecided.append(
                OpenQuestion("", "", "there are more ways between sources than are followed")
            )
        mended = whole
        for cause in self._solid:
            mended = without(mended, cause)
        return Shorts(tuple(self._found), tuple(self._undecided), mended)

    def _always(self, loops: ClosedLoops) -> ClosedLoops:
        """Take the shorts that are always there, and look at the panel without their causes."""
        while len(self._found) < MOST_CAUSES:
            short = next(
                (
                    self._short(loops, loop, answer)
                    for loop in loops.of(loops.panel)
                    if loop.always_closed
                    and _drives(loop)
                    and isinstance(answer := loops.answer(loop), Reached)
                ),
                None,
            )
            if short is None:
                break
            self._found.append(short)
            self._solid.append(short.cause)
            self._too_many |= loops.too_many
            loops = loops_of(without(loops.panel, short.cause))
        return loops

    def _take(self, loops: ClosedLoops, outcome: Short | OpenQuestion, panel: Panel) -> Panel:
        """Keep the outcome unless its cause is known; the panel without that cause."""
        relays = frozenset(_relays(panel, outcome.path))
        if len(relays) < 2 or relays not in self._known:
            self._keep(outcome)
        self._known.add(relays)
        assert outcome.cause is not None
        if isinstance(outcome, Short) and not outcome.race and loops.solid(outcome.cause):
            self._solid.append(outcome.cause)
        return without(panel, outcome.cause)

    def _keep(self, outcome: Short | OpenQuestion) -> None:
        if isinstance(outcome, Short):
            self._found.append(outcome)
        else:
            self._undecided.append(outcome)

    def _worst(self, loops: ClosedLoops, panel: Panel) -> Short | OpenQuestion | None:
        races: list[Short] = []
        open_questions: list[OpenQuestion] = []
        for loop in filter(_drives, loops.of(panel)):
            answer = loops.answer(loop)
            if isinstance(answer, Undecided):
                open_questions.append(self._open(loops, loop, answer))
            elif isinstance(answer, Reached):
                short = self._short(loops, loop, answer)
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

    def _open(self, loops: ClosedLoops, loop: Loop, answer: Undecided) -> OpenQuestion:
        start, end = loop.legs[0][0], loop.legs[-1][1]
        if answer.hint is None:
            return OpenQuestion(start, end, answer.reason, answer.chattering)
        path = loops.path(loop, answer.hint)
        cause = loops.cause(loop, answer.hint, path)
        return OpenQuestion(start, end, answer.reason, answer.chattering, path, cause)

    def _short(self, loops: ClosedLoops, loop: Loop, answer: Reached) -> Short:
        path = loops.path(loop, answer)
        return Short(
            loop.legs[0][0],
            loop.legs[-1][1],
            loop.way.volts,
            loop.sources,
            path,
            loops.cause(loop, answer, path),
            tell_path(loop.panel, answer, path),
            answer.kind == "race",
            answer.in_one_instant,
            loop.always_closed,
        )


def _drives(loop: Loop) -> bool:
    """Whether the sources' volts drive a current round the loop."""
    return bool(loop.way.volts) and not loop.is_side_by_side


def _relays(panel: Panel, path: Iterable[Passed]) -> Iterable[str]:
    """The relays whose contacts are on a path."""
    for passed in path:
        mechanism = (
            panel.mechanisms.get(passed.by.mechanism) if isinstance(passed.by, Part) else None
        )
        if mechanism is not None and mechanism.moved_by_coil:
            yield mechanism.name
