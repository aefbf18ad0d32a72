"""A contact carries more current than it is rated for at that voltage and kind.

Loads count as rated, motors by the tables' full-load current; only loads that a reachable
state has on together are added.  Of several ratings the one for the voltage and kind of
what it switches counts.

It keeps silent on contacts that say no current, on inrush, and where no rating is for that
voltage or kind: that is another fault.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.part_currents import PartCurrent, PartCurrents
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
from netcheck.telling import span_of


@rule(
    family=Family.DEVICE,
    severity=Severity.DEFECT,
    summary="a contact carries more current than it is rated for",
    why="it burns or welds, and what it should stop goes on",
    source="contacts are rated for a current at each voltage and kind (UL 508, IEC 60947-5-1)",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(PartCurrents,),
)
def find(view: View) -> Iterator[Outcome]:
    for group in by_cause(view[PartCurrents].contacts, lambda one: (one.part.device,)):
        worst = min(group, key=lambda one: one.rated_a / one.needed_a)
        place = Place(span_of(view.panel, worst.part), f"rated for {worst.rated_a:g} A")
        if isinstance(worst.answer, Undecided):
            reason = f"what goes through `{worst.part.label}`: {worst.answer.reason}"
            yield NotDecided(reason, place, (worst.part.device,))
        elif isinstance(worst.answer, Reached):
            yield _finding(view, worst, worst.answer, place)


def _finding(view: View, worst: PartCurrent, answer: Reached, place: Place) -> Finding:
    needed, rated = figures_apart("A", worst.needed_a, worst.rated_a)
    witness = tell(view.panel, answer)
    names = ", ".join(f"`{load.name}`" for load in worst.loads)
    return Finding(
        f"`{worst.part.label}` carries {needed} for {names}, and is rated for {rated}",
        place,
        devices=(worst.part.device, *dict.fromkeys(load.device for load in worst.loads)),
        condition=worst.part.label,
        state=witness.state,
        steps=witness.steps,
        working=tuple(_working(worst)),
        help="let a contactor with the rating switch it, or divide the loads",
    )


def _working(worst: PartCurrent) -> Iterator[Working]:
    yield from (load.working for load in worst.loads)
    yield Working(f"through {worst.part.label}", worst.needed_a, "A", "the sum of these")
    yield Working(f"{worst.part.label} is rated for", worst.rated_a, "A", worst.rated_for)
