"""A supply does not live through a lost cycle, and coils that hang on it drop out.

Wherever on the line a fuse clears a short circuit, the voltage is gone for a cycle or so.  It
speaks of a supply that says how long it holds up, that feeds coils, and that holds the loads
which a reachable state has on together for less than 20 ms: what it says holds at its rated
output, and half the load is held for twice as long.

It keeps silent on supplies that do not say how long they hold up, on those that share their
load or are redundant, and on AC coils fed without a supply, of which no text says how long
they stay in.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.hold_ups import LOST_S, HoldUp, HoldUps
from netcheck.facts.load_currents import in_short
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell


@rule(
    family=Family.SUPPLY,
    severity=Severity.QUERY,
    summary="a supply holds its coils for less than a lost cycle of the line",
    why="a fault anywhere on the line stops the plant, and someone must start it again",
    source="ITI (CBEMA) curve: 20 ms without voltage; from memory. IEC 60204-1 4.3.2 asks less",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(HoldUps,),
)
def find(view: View) -> Iterator[Outcome]:
    for one in view[HoldUps].too_short:
        place = Place(one.device.span, f"holds up {figure(one.said_s * 1000, 'ms')}")
        if isinstance(one.answer, Undecided):
            reason = f"how long `{one.device.name}` lives on: {one.answer.reason}"
            yield NotDecided(reason, place, (one.device.name,))
        else:
            yield _finding(view.panel, one, one.answer, place)


def _finding(panel: Panel, one: HoldUp, answer: Reached, place: Place) -> Finding:
    holds, lost = figures_apart("ms", one.holds_s * 1000, LOST_S * 1000)
    witness = tell(panel, answer)
    return Finding(
        f"`{one.device.name}` holds what is on for {holds} without its input, and a lost cycle "
        f"takes {lost}",
        place,
        devices=(one.device.name, *dict.fromkeys(load.device for load in one.loads)),
        condition="hold-up",
        state=witness.state,
        steps=witness.steps,
        working=tuple(_working(one)),
        help="a supply that holds up longer, or a larger one, or a buffer module beside it",
    )


def _working(one: HoldUp) -> Iterator[Working]:
    yield from in_short([load.working for load in one.loads])
    yield Working("on together", one.load_a, "A", "the sum of these")
    yield Working("rated output", one.rated_a, "A", "as described")
    yield Working("holds up at that", one.said_s * 1000, "ms", "as described")
    yield Working("holds up at this", one.holds_s * 1000, "ms", "in inverse proportion")
