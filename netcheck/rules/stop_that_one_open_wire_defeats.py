"""With one wire open, a load runs on while the stop that should stop it is held.

Asked of the loads that the stop does stop while everything is whole, for every wire that may
open at any moment: a stop that works by making a circuit passes every drawn state and fails
on one broken wire.

It keeps silent on what the stop fails to stop anyway: that is another fault.
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
    summary="one open wire lets a load run on while its stop is held",
    why="the broken wire shows on the day the stop is needed",
    source="IEC 60204-1 9.4, NFPA 79: stop functions work by opening a circuit",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(DefeatedStops,),
)
def find(view: View) -> Iterator[Outcome]:
    yield from defeated_stops_told(
        view.panel,
        view[DefeatedStops].by_open_wire,
        "let the stop open the circuit of what it stops, with a normally closed contact",
    )
