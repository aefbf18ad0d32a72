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
from netcheck.states.answers import Answer, Reached, Undecided
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
        mended: Panel | None = None
        while mended is not panel and len(self._found) < MOST_CAUSES:
            panel, mended = mended or panel, self._round(loops, mended or panel)
        if len(self._found) >= MOST_CAUSES:
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
                    _short(loop, answer, path, loops.cause(loop, answer, path))
                    for loop in loops.of(loops.panel)
                    if loop.always_closed
                    and _drives(loop)
                    and isinstance(answer := loops.answer(loop), Reached)
                    and (path := loops.path(loop, answer))
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

    def _round(self, loops: ClosedLoops, panel: Panel) -> Panel:
        """The worst that can still close, each with its cause; the panel without these causes.

        What one cause opens waits for the next round, which tells whether it still closes.
        """
        closing = self._worst(
            [(loop, loops.answer(loop)) for loop in loops.of(panel) if _drives(loop)]
        )
        gone: list[Wire | Part] = []
        again: list[tuple[Loop, Answer]] = []
        for loop, answer in closing:
            path = self._path(loops, loop, answer, gone)
            if path is not None and self._is_known(panel, path):
                again.append((loop, answer))
            elif path is not None:
                self._take(loops, self._outcome(loops, loop, answer, path, gone), gone)
            if len(self._found) >= MOST_CAUSES:
                return panel
        for loop, answer in again:
            path = self._path(loops, loop, answer, gone)
            if path is not None:
                gone.append(loops.cause(loop, _way(answer), path, [*map(id, gone)]))
        for cause in gone:
            panel = without(panel, cause)
        return panel

    def _worst(self, answers: list[tuple[Loop, Answer]]) -> list[tuple[Loop, Answer]]:
        """Settled shorts, or where there are none races, or those open with a cause to take.

        Of open ones without a cause each pair of poles is kept once.
        """
        reached = [(loop, answer) for loop, answer in answers if isinstance(answer, Reached)]
        settled = [pair for pair in reached if pair[1].kind != "race"]
        if settled or reached:
            return [*(settled or reached)]
        undecided = [(loop, answer) for loop, answer in answers if isinstance(answer, Undecided)]
        open_ones = [pair for pair in undecided if pair[1].hint is not None]
        if not open_ones:
            self._undecided += dict.fromkeys(_open(loop, answer) for loop, answer in undecided)
        return [*open_ones]

    def _path(
        self, loops: ClosedLoops, loop: Loop, answer: Answer, gone: list[Wire | Part]
    ) -> tuple[Passed, ...] | None:
        """The path of a loop that can close; None where it cannot with these causes gone."""
        return loops.path_without(loop, _way(answer), [id(cause) for cause in gone])

    def _is_known(self, panel: Panel, path: tuple[Passed, ...]) -> bool:
        """Whether a cause is known that is these relays being in together."""
        relays = frozenset(_relays(panel, path))
        if len(relays) > 1 and relays in self._known:
            return True
        self._known.add(relays)
        return False

    def _outcome(
        self,
        loops: ClosedLoops,
        loop: Loop,
        answer: Answer,
        path: tuple[Passed, ...],
        gone: list[Wire | Part],
    ) -> Short | OpenQuestion:
        cause = loops.cause(loop, _way(answer), path, [id(cause) for cause in gone])
        if isinstance(answer, Undecided):
            return _open(loop, answer, path, cause)
        return _short(loop, _way(answer), path, cause)

    def _take(
        self, loops: ClosedLoops, outcome: Short | OpenQuestion, gone: list[Wire | Part]
    ) -> None:
        assert outcome.cause is not None
        self._keep(outcome)
        gone.append(outcome.cause)
        if isinstance(outcome, Short) and not outcome.race and loops.solid(outcome.cause):
            self._solid.append(outcome.cause)

    def _keep(self, outcome: Short | OpenQuestion) -> None:
        if isinstance(outcome, Short):
            self._found.append(outcome)
        else:
            self._undecided.append(outcome)


def _open(
    loop: Loop,
    answer: Undecided,
    path: tuple[Passed, ...] = (),
    cause: Wire | Part | None = None,
) -> OpenQuestion:
    start, end = loop.legs[0][0], loop.legs[-1][1]
    return OpenQuestion(start, end, answer.reason, answer.chattering, path, cause)


def _short(loop: Loop, answer: Reached, path: tuple[Passed, ...], cause: Wire | Part) -> Short:
    return Short(
        loop.legs[0][0],
        loop.legs[-1][1],
        loop.way.volts,
        loop.sources,
        path,
        cause,
        tell_path(loop.panel, answer, path),
        answer.kind == "race",
        answer.in_one_instant,
        loop.always_closed,
    )


def _way(answer: Answer) -> Reached:
    """How a loop closes, or may close."""
    way = answer.hint if isinstance(answer, Undecided) else answer
    assert isinstance(way, Reached)
    return way


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
