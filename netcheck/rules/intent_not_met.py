"""An intent written in the text that the panel does not meet.

The opposite of what the intent says is looked for: in settled states, or in every state
passed through where it says `at every instant`.  `sometimes` and `can be` fail if no state
meets them.  An intent of which the condition never happens proves nothing and is reported as
empty.  With `even if any one wire opens` (or `contact welds`) one such fault may come at any
moment, and stays.  Where something must be on, every source is taken to be present that the
intent does not name.  What only a race breaks is told by `intent not met in a race`.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.intents import Intents, IntentVerdict, Outcome
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Place,
    Proved,
    ReferenceKind,
    Severity,
)
from netcheck.finding import Outcome as Said
from netcheck.model.claims import describe_claim
from netcheck.rule import rule
from netcheck.telling import intent_finding

HELP = "change the circuit, or say in the intent what is really meant"


@rule(
    family=Family.INTENT,
    severity=Severity.DEFECT,
    summary="the panel does not do what an intent in its text says",
    why="whoever wrote the intent relies on it",
    source="the panel's own text",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Intents,),
)
def find(view: View) -> Iterator[Said]:
    for verdict in view[Intents].verdicts:
        place = Place(verdict.intent.span, describe_claim(verdict.intent.claim))
        match verdict.outcome:
            case Outcome.PROVED:
                yield Proved(verdict.intent.title, place)
            case Outcome.UNDECIDED:
                yield _open(verdict, place)
            case Outcome.BROKEN | Outcome.EMPTY | Outcome.NO_STATE:
                yield _broken(view, verdict, place)


def _broken(view: View, verdict: IntentVerdict, place: Place) -> Finding:
    return intent_finding(view.panel, verdict, place, HELP)


def _open(verdict: IntentVerdict, place: Place) -> NotDecided:
    count = len(verdict.devices)
    concerned = (
        f"; {count} {'device is' if count == 1 else 'devices are'} concerned" if count else ""
    )
    reason = f"intent `{verdict.intent.title}`: {verdict.reason}{concerned}"
    return NotDecided(reason, place, devices=verdict.devices)
