"""With one control wire touching ground, a load runs on while the stop that should stop it is held.

Asked of the loads that the stop does stop while everything is whole, for every wire that may
touch ground at any moment; where the ground fault shorts a source its protection opens and
nothing runs.  A stop between a coil and the grounded side is the classic case.

It keeps silent on what the stop fails to stop anyway, and on what a first ground fault does
to a source that is not grounded: nothing yet.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.defeated_stops import DefeatedStops
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import defeated_stops_told


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DANGER,
    summary="one ground fault lets a load run on while its stop is held",
    why="the wire rubs through, nothing trips, and the stop is bypassed",
    source="NEC 430.74; IEC 60204-1 9.4.3; NFPA 79 8.3.1, second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(DefeatedStops,),
)
def find(view: View) -> Iterator[Outcome]:
    yield from defeated_stops_told(
        view.panel,
        view[DefeatedStops].by_ground,
        "put the stop on the other side of the coil, between it and the ungrounded pole",
    )
