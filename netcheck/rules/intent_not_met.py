"""An intent written in the text that the panel does not meet.

The opposite of what the intent says is looked for: in settled states, or in every
state passed through where it says `at every instant`.  `sometimes` fails if no state
meets it.  An intent of which the condition never happens proves nothing and is
reported as empty.  `even if any one ...` is not decided.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.claims import describe_claim
from netcheck.model.panel import Claim, Intent
from netcheck.rule import rule
from netcheck.states.answers import Answer, Instant, Reached, Undecided
from netcheck.states.behaviour import Behaviour as Behaving
from netcheck.states.witness import tell


@rule(
    family=Family.INTENT,
    severity=Severity.DEFECT,
    summary="the panel does not do what an intent in its text says",
    why="whoever wrote the intent relies on it",
    source="the panel's own text",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Behaviour, CertainBehaviour),
)
def find(view: View) -> Iterator[Outcome]:
    wide, certain = view[Behaviour], view[CertainBehaviour].behaviour
    for intent in view.panel.intents:
        place = Place(intent.span, describe_claim(intent.claim))
        if intent.proviso.startswith("even if"):
            yield NotDecided(f"`{intent.title}` with one fault is not proved yet", place)
            continue
        at: Instant = "any instant" if intent.proviso else "settled"
        yield from _judged(view, intent, place, wide, certain, at)


def _judged(
    view: View, intent: Intent, place: Place, wide: Behaving, certain: Behaving, at: Instant
) -> Iterator[Outcome]:
    claim = intent.claim
    if claim.form == "sometimes":
        answer = _ask(wide, certain, Claim("always", claim.condition), at)
        if isinstance(answer, Undecided):
            yield NotDecided(answer.reason, place)
        elif not isinstance(answer, Reached):
            yield _finding(view, intent, place, "no state meets it", None)
        return
    if claim.form == "whenever" and claim.given is not None:
        reachable = _ask(wide, certain, Claim("always", claim.given), at)
        if not isinstance(reachable, (Reached, Undecided)):
            yield _finding(view, intent, place, "its condition never happens: it is empty", None)
            return
    answer = _ask(wide, certain, claim, at, opposite=True)
    if isinstance(answer, Undecided):
        yield NotDecided(answer.reason, place)
    elif isinstance(answer, Reached) and answer.kind == "settled operation":
        yield _finding(view, intent, place, "a state breaks it", answer)


def _ask(
    wide: Behaving, certain: Behaving, claim: Claim, at: Instant, *, opposite: bool = False
) -> Answer:
    """Whether a state in which the claim holds (or its opposite does) can be reached."""
    sure = certain.prover.can_happen(certain.claim(claim) ^ opposite, at=at)
    if certain is wide or isinstance(sure, Reached):
        return sure
    other = wide.prover.can_happen(wide.claim(claim) ^ opposite, at=at)
    return decided(sure, other, wide.uncertain_coils)


def _finding(view: View, intent: Intent, place: Place, how: str, answer: Reached | None) -> Finding:
    witness = tell(view.panel, answer) if answer is not None else None
    return Finding(
        f"intent `{intent.title}` is not met: {how}",
        place,
        condition=describe_claim(intent.claim),
        state=dict(witness.state) if witness else {},
        steps=witness.steps if witness else (),
        help="change the circuit, or say in the intent what is really meant",
    )
