"""DC sources of one nominal voltage side by side: each drives against the other.

Those that all say `may be paralleled` share the load among themselves, and are left out;
so is a battery beside such a one, which charges it.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.closed_loops import ClosedLoops, Loop, without
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.answers import Reached, Undecided
from netcheck.states.volts import dc_volts
from netcheck.states.witness import Witness, tell_path


@record
class SideBySide:
    """The sources on either side, the path that joins them, what on it is one too many, when."""

    one: tuple[str, ...]
    other: tuple[str, ...]
    path: tuple[Passed, ...]
    cause: Wire | Part
    witness: Witness


@record
class Paralleled:
    """`undecided` are the devices of each loop that may or may not close, and why."""

    found: tuple[SideBySide, ...]
    undecided: tuple[tuple[tuple[str, ...], str], ...]


@concludes(Behaviour, CertainBehaviour)
def find_paralleled(view: View) -> Paralleled:
    """One after another: each source that joins those already side by side is one more."""
    loops = ClosedLoops(view[Behaviour], view[CertainBehaviour].behaviour)
    panel = loops.panel
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
    return [loop for loop in loops.of(panel) if loop.is_side_by_side and not _made_for_it(loop)]


def _made_for_it(loop: Loop) -> bool:
    return made_to_share(loop.panel, loop.sources)


def made_to_share(panel: Panel, devices: Iterable[str]) -> bool:
    """Whether all say `may be paralleled`; a battery need not, beside what is made to charge it."""
    asked = [one for one in map(panel.devices.__getitem__, devices) if one.kind != "battery"]
    return bool(asked) and all(device.values.get("may_be_paralleled") for device in asked)


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
