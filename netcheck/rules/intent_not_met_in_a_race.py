"""An intent that settled operation keeps, and a race breaks.

It takes an operation that arrives while a relay is still on its way.  An intent that holds
`at every instant` is broken by a state passed through; without these words only what has
settled counts, so that here the race leads to a state that then stays.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.intents import Intents, Outcome
from netcheck.finding import Family, Place, ReferenceKind, Severity
from netcheck.finding import Outcome as Said
from netcheck.model.claims import describe_claim
from netcheck.rule import rule
from netcheck.telling import intent_finding


@rule(
    family=Family.INTENT,
    severity=Severity.QUERY,
    summary="an intent is broken if something is operated while a relay is still moving",
    why="a fast hand or a slow contactor does it; nobody can say how often",
    source="operated and settled one after the other, it holds: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Intents,),
)
def find(view: View) -> Iterator[Said]:
    for verdict in view[Intents].verdicts:
        if verdict.outcome is Outcome.RACE:
            place = Place(verdict.intent.span, describe_claim(verdict.intent.claim))
            yield intent_finding(view.panel, verdict, place, "let a contact wait for the other")
