"""A motor, or what is marked hazardous, starts by itself when power returns after an outage.

Before it all sources are gone, everything has settled and all buttons are at rest, maintained
switches stand anywhere; then the sources come back and nothing else is touched.

It keeps silent on loads marked `restart allowed`, `always on` or `not hazardous`.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.restarts import Restarts, Trigger
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import restarts_told


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.QUERY,
    summary="a motor starts by itself when power returns",
    why="whoever works at a machine that stands still for want of power does not expect it",
    source="IEC 60204-1 7.5, NFPA 79: no unexpected start as voltage returns",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Restarts,),
)
def find(view: View) -> Iterator[Outcome]:
    yield from restarts_told(
        view.panel,
        [one for one in view[Restarts].restarts if one.trigger is Trigger.POWER],
        "hold it in by a contact of its own relay, or mark it `restart allowed` if that is meant",
    )
