"""A load that a stop has switched off starts by itself when the stop is let go.

A stop is an emergency stop, a button said to be `for stopping`, or a button whose contacts
all open as it is pressed.  Before it is let go everything has settled, the load is off and
all other buttons are at rest; after it nothing is touched, and timers run out.  Loads that
move or heat count, and what is marked `hazardous`.

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
    severity=Severity.DANGER,
    summary="a load starts by itself when a stop is let go",
    why="someone lets go of the stop with a hand still in the machine",
    source="IEC 60204-1 9.2.3, NFPA 79: the reset of a stop shall not start anything",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Restarts,),
)
def find(view: View) -> Iterator[Outcome]:
    yield from restarts_told(
        view.panel,
        [one for one in view[Restarts].restarts if one.trigger is Trigger.STOP],
        "let a start button bring it back: seal it in past the start, not past the stop",
    )
