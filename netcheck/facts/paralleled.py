"""DC sources side by side: one drives against the other, at one nominal voltage.

Of one nominal class are sources, or strings of them, of which neither has more than 1.25
times the other's volts: a 24 V battery and its 27.6 V charger are, 12 V and 24 V are not.
A supply that is `decoupled` has a diode in its output: nothing drives current back into it.
"""

from __future__ import annotations

from dataclasses import dataclass

from netcheck.case import View, concludes
from netcheck.facts.closed_loops import ClosedLoops, Loop, without
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed
from netcheck.states.answers import Reached, Undecided
from netcheck.states.volts import dc_volts, kind_of
from netcheck.states.ways import Way
from netcheck.states.witness import Witness, tell_path

SPREAD = 1.25
"""Most that one may exceed the other; common practice, no source: from discharged to
boost charge a lead battery spans 1.75 V to 2.4 V for each cell of 2 V."""


@dataclass(frozen=True, slots=True)
class SideBySide:
    """The sources on either side, the path that joins them, what on it is one too many, when."""

    one: tuple[str, ...]
    other: tuple[str, ...]
    path: tuple[Passed, ...]
    cause: Wire | Part
    witness: Witness


@dataclass(frozen=True)
class Paralleled:
    """`undecided` are the devices of each loop that may or may not close, and why."""

    found: tuple[SideBySide, ...]
    undecided: tuple[tuple[tuple[str, ...], str], ...]


@concludes(ClosedLoops)
def find_paralleled(view: View) -> Paralleled:
    """One after another: each source that joins those already side by side is one more."""
    loops, panel = view[ClosedLoops], view.panel
    found: list[SideBySide] = []
    while (pair := _first(loops, panel)) is not None:
        found.append(pair)
        panel = without(panel, pair.cause)
    undecided = {
        (loop.sources, answer.reason)
        for loop in _side_by_side(loops, panel)
        if isinstance(answer := loops.answer(loop), Undecided)
    }
    return Paralleled(tuple(found), tuple(sorted(undecided)))


def _first(loops: ClosedLoops, panel: Panel) -> SideBySide | None:
    for loop in _side_by_side(loops, panel):
        answer = loops.answer(loop)
        if isinstance(answer, Reached) and answer.kind != "race":
            one, other = _sides(loop)
            path = loops.path(loop, answer)
            cause = loops.cause(loop, answer, _plus_lead(loops.legs(loop, answer), panel))
            return SideBySide(one, other, path, cause, tell_path(panel, answer, path))
    return None


def _plus_lead(legs: list[list[Passed]], panel: Panel) -> list[Passed]:
    """The leg between the upper poles: a common 0 V is as it should be."""
    upper = {
        f"{source.device}:{max(source.poles, key=lambda mark: source.poles[mark].real)}"
        for source in panel.sources
    }
    return next(leg for leg in legs if {leg[0].start, leg[-1].end} <= upper)


def _side_by_side(loops: ClosedLoops, panel: Panel) -> list[Loop]:
    return [loop for loop in loops.of(panel) if is_side_by_side(loop.way)]


def _sides(loop: Loop) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The devices that drive along the loop and against it, all as they are written."""
    sides: tuple[list[int], list[int]] = ([], [])
    for step in loop.way.steps:
        if not step.joins:
            sides[dc_volts(step.volts) < 0].append(step.source)
    first, second = sorted(sorted(side) for side in sides)
    sources = loop.panel.sources
    return (
        tuple(sources[index].device for index in first),
        tuple(sources[index].device for index in second),
    )


def is_side_by_side(way: Way) -> bool:
    """Whether a loop is nothing but DC sources of one nominal class against one another."""
    crossed = [step.volts for step in way.steps if not step.joins]
    if any(kind_of(volts) != "DC" for volts in crossed):
        return False
    along = sum(max(0.0, dc_volts(volts)) for volts in crossed)
    against = sum(max(0.0, -dc_volts(volts)) for volts in crossed)
    return min(along, against) > 0 and max(along, against) <= SPREAD * min(along, against)
