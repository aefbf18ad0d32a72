"""Current that one source sends comes home by another source's conductor.

The load's end is landed on a pole of a source that did not send the current, and only
the bonds of the two sources to ground close the circuit: the load works, and the
grounding conductors between the two carry its current.

It keeps silent where a circuit conductor joins the two sources (a common 0V, one
neutral), and where nothing joins them: such a load is dead (`load never energised`).  That
a load comes home by the neutral of another breaker's circuit can be told only where that
breaker opens the neutral: `protection in the grounded conductor` then speaks.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.improper_returns import ImproperReturns
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import improper_return_finding


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DANGER,
    summary="a load sends its current home by a conductor of another source",
    why="the bonds between the sources carry it; opening one raises the conductor to line voltage",
    source="NEC 300.3(B): the conductors of one circuit belong together",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(ImproperReturns,),
)
def find(view: View) -> Iterator[Outcome]:
    for found in view[ImproperReturns].found:
        if found.pole:
            yield improper_return_finding(
                view.panel, found, "bring it home to the source that feeds it"
            )
