"""Assumptions and interlocks that leave the panel no state at all.

Nothing could then be found in it, whatever is wrong: no check of states says anything.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.states.answers import Never


@rule(
    family=Family.INTENT,
    severity=Severity.DANGER,
    summary="the assumptions in the text leave the panel no state it could be in",
    why="every proof about states would hold, and none would mean anything",
    source="logic: from a contradiction everything follows",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour,),
)
def find(view: View) -> Iterator[Outcome]:
    assumptions = view.panel.assumptions
    if not assumptions:
        return
    behaviour = view[Behaviour]
    if behaviour.prover.something_starts:
        return
    bad = behaviour.logic.all_of(behaviour.machine.constraints)
    answer = behaviour.prover.can_happen(bad)
    if isinstance(answer, Never):
        first, *others = assumptions
        yield Finding(
            "these assumptions cannot all hold: no state is left",
            Place(first.span, first.words),
            related=tuple(Place(other.span, other.words) for other in others),
            condition="; ".join(assumption.words for assumption in assumptions),
            help="take back the one that is not true",
        )
