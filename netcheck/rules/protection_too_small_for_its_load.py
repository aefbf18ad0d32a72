"""A breaker or fuse is smaller than the current that its loads draw in ordinary work.

Loads count as rated, continuous loads and heaters at 125 % in NEC practice (210.20(A)),
motors by the tables' full-load current; only loads that a reachable state has on together
are added.

It keeps silent on starting currents, on overloads and motor protectors, which have rules of
their own, and where the wire behind is too small for the same loads: that is said first.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.part_currents import PartCurrent, PartCurrents
from netcheck.facts.wire_currents import WireCurrents
from netcheck.facts.wire_groups import by_cause
from netcheck.figure import figures_apart
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
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell


@rule(
    family=Family.DEVICE,
    severity=Severity.DEFECT,
    summary="a breaker or fuse is smaller than what its loads draw in ordinary work",
    why="it opens without a fault, and the next one who is tired of it puts in a larger one",
    source="NEC 210.20(A); 215.3 from memory: continuous loads at 125 %",
    kind=ReferenceKind.STANDARD,
    requires=(PartCurrents, WireCurrents),
)
def find(view: View) -> Iterator[Outcome]:
    told = [{load.name for load in one.loads} for one in view[WireCurrents].overloads]
    for group in by_cause(view[PartCurrents].protective, lambda one: (one.part.device,)):
        worst = max(group, key=lambda one: one.needed_a)
        if any({load.name for load in worst.loads} <= loads for loads in told):
            continue
        place = Place(view.panel.devices[worst.part.device].span, f"{worst.rated_a:g} A")
        if isinstance(worst.answer, Undecided):
            reason = f"what goes through `{worst.part.device}`: {worst.answer.reason}"
            yield NotDecided(reason, place, (worst.part.device,))
        elif isinstance(worst.answer, Reached):
            yield _finding(view, worst, worst.answer, place)


def _finding(view: View, worst: PartCurrent, answer: Reached, place: Place) -> Finding:
    needed, rated = figures_apart("A", worst.needed_a, worst.rated_a)
    witness = tell(view.panel, answer)
    names = ", ".join(f"`{load.name}`" for load in worst.loads)
    return Finding(
        f"`{worst.part.device}` of {rated} must be good for {needed} for {names}",
        place,
        devices=(worst.part.device, *dict.fromkeys(load.device for load in worst.loads)),
        condition=worst.part.device,
        state=witness.state,
        steps=witness.steps,
        working=tuple(_working(worst)),
        help="a larger device, if the wire behind it allows one, or fewer loads on it",
    )


def _working(worst: PartCurrent) -> Iterator[Working]:
    yield from (load.working for load in worst.loads)
    if worst.continuous:
        yield Working("continuous loads count", 125, "%", "NEC 210.20(A)")
    yield Working("must be good for", worst.needed_a, "A", "the sum of these")
