"""Contactors declared `opposing` that are kept apart, but not by each other's own contacts.

A contactor is interlocked when its coil is dead while the other is in, whatever
else: so also with the other welded.  Of a pair that is never in together once relays have
settled this rule says, the first that fits, and of which of them the coil lacks a contact
of the other itself (contacts of a selector, a button or a control relay see no weld):

- both are in together for a moment, while relays settle or if an operation overtakes them;
- with no mechanical interlock: nothing of the one keeps the other out;
- with a mechanical interlock: the coil of one can be energised while the other is in, and
  pulls against the interlock.

It keeps silent where the two close a short circuit in a race (`missing load in a race`) and
where they are in together anyhow (`outputs that fight`).
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.opposing_pairs import OpposingPair, OpposingPairs, by_settled_operation
from netcheck.finding import Family, Outcome, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.telling import opposing_finding

HELP = "open each coil through a normally closed contact of the other contactor itself"


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.QUERY,
    summary="opposing contactors without each other's closed contact in their coils",
    why="a contactor that welds or drops late is not seen, and the other pulls in beside it",
    source="opposing contactors are interlocked electrically and mechanically: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(OpposingPairs,),
)
def find(view: View) -> Iterator[Outcome]:
    for pair in view[OpposingPairs].pairs:
        said = None if pair.shorts or by_settled_operation(pair.together) else _said(pair)
        if said is not None:
            words, why, answer = said
            yield opposing_finding(view.panel, pair, answer, words, why, HELP)


def _said(pair: OpposingPair) -> tuple[str, str, Reached | None] | None:
    """What the two do, why, and how it comes about; None where there is nothing to say."""
    if isinstance(pair.passing, Undecided):
        return None
    if isinstance(pair.passing, Reached):
        moment = (
            " are in together for a moment while relays settle"
            if by_settled_operation(pair.passing)
            else " are in together if an operation overtakes relays still moving"
        )
        return moment, _lacking(pair), pair.passing
    if pair.held_apart:
        if isinstance(pair.against, Reached) and by_settled_operation(pair.against):
            return " are held apart mechanically alone: both coils are energised", "", pair.against
        return None
    return (" are not interlocked", _lacking(pair), None) if pair.unseen else None


def _lacking(pair: OpposingPair) -> str:
    """`: no contact of `K6` keeps `K5` out`."""
    other = {pair.first.device: pair.second.device, pair.second.device: pair.first.device}
    said = [f"no contact of `{other[one.device]}` keeps `{one.device}` out" for one in pair.unseen]
    return f": {' and '.join(said)}" if said else ""
