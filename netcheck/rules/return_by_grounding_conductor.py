"""A load whose current comes home by a grounding conductor, a bond or a metal part.

In some state the load has its working voltage only if grounding conductors and bonds
count as wire: no circuit conductor brings its current home in that state.  It works,
and whatever is bonded to that conductor carries the current; where the conductor opens,
it stands at the source's voltage.  It speaks too where other states use the proper
return.

It keeps silent where the load's end is landed on another source's conductor (`return by
another source`), and where no bond leads back to the source: such a load is dead (`load
never energised`).  A load that only waits for one returned by ground is not told again.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.improper_returns import ImproperReturns
from netcheck.finding import Family, NotDecided, Outcome, Place, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import improper_return_finding, span_of


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.DANGER,
    summary="a load's current comes home by a grounding conductor, a bond or a metal part",
    why="metal that people touch carries current, and is live once the conductor opens",
    source="NFPA 79 8.2, read second-hand: the grounding circuit carries no load current",
    kind=ReferenceKind.STANDARD,
    requires=(ImproperReturns,),
)
def find(view: View) -> Iterator[Outcome]:
    for found in view[ImproperReturns].found:
        if not found.pole:
            yield improper_return_finding(
                view.panel, found, "bring it home by a circuit conductor of its own source"
            )
    for load, reason in view[ImproperReturns].undecided:
        yield NotDecided(
            f"whether the current of `{load.name}` comes home by ground: {reason}",
            Place(span_of(view.panel, load.parts[0])),
            (load.device,),
        )
