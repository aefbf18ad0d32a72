"""A motor, or what is marked hazardous, starts by itself when its overload is reset.

Before it the overload has tripped, everything has settled and all buttons are at rest; then
the trip contact is as it was and nothing else is touched.

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
    summary="a motor starts by itself when its overload is reset",
    why="it starts under the hand that resets it, or by itself where the overload does",
    source="NEC 430.43: no automatic restart where it can injure",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Restarts,),
)
def find(view: View) -> Iterator[Outcome]:
    yield from restarts_told(
        view.panel,
        [one for one in view[Restarts].restarts if one.trigger is Trigger.TRIP],
        "hold it in by a contact of its own relay, or mark it `restart allowed` if that is meant",
    )
