"""Two contactors that pull opposite ways, and are in together once relays have settled.

Of pairs declared `opposing`: open and close, raise and lower, forward and reverse.  Where the
two would close a short circuit, the one finding is `missing load`, or `missing load in a
race`; two outputs of opposite sense on one node are `missing load` too, for between them
they join the poles.  Where both are in for a moment only, or a mechanical interlock
holds them apart, see `opposing pair without interlock`.

What is not declared is not asked about; two outputs that drive one load the same way do not
fight.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.opposing_pairs import OpposingPairs, by_settled_operation
from netcheck.finding import (
    Family,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.telling import opposing_finding


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DEFECT,
    summary="contactors that pull opposite ways are in together",
    why="the drive is asked to move both ways at once, and neither command means anything",
    source="opposing contactors are interlocked electrically and mechanically: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(OpposingPairs,),
)
def find(view: View) -> Iterator[Outcome]:
    for pair in view[OpposingPairs].pairs:
        answer = pair.together
        devices = (pair.first.device, pair.second.device)
        if isinstance(answer, Undecided):
            yield NotDecided(
                f"whether `{devices[0]}` and `{devices[1]}` can be in together: {answer.reason}",
                Place(view.panel.devices[devices[1]].span),
                devices,
            )
        elif isinstance(answer, Reached) and by_settled_operation(answer) and not pair.shorts:
            yield opposing_finding(
                view.panel,
                pair,
                answer,
                ", which pull opposite ways, are in together",
                "",
                "open each coil through a normally closed contact of the other",
            )
