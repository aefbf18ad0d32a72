"""A DC breaker that opens one way round only, in a conductor whose plus comes to its other end.

It speaks of each pole of a breaker or fuse that says `polarised` where the plus of a DC source
comes to its second mark, all contacts counted as closed: from there alone, or, as between a
battery and its charger, from there as well.

It keeps silent on poles to which no plus leads, as in a 0 V conductor, and on AC.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, PathStep, Place, ReferenceKind, Severity
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.traces import reached
from netcheck.rule import rule
from netcheck.telling import in_words, span_of

PASSES = (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DANGER,
    summary="a polarised DC breaker is fed from its second mark",
    why="its magnet drives the arc into the mechanism instead of the chute: it burns, and does "
    "not clear the fault",
    source="makers' instructions for polarised DC breakers; from memory",
    kind=ReferenceKind.FROM_MEMORY,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    pluses = [
        f"{source.device}:{max(source.poles, key=lambda mark: source.poles[mark].real)}"
        for source in panel.sources
        if source.kind == "DC"
    ]
    for device in panel.devices.values():
        if device.kind not in ("breaker", "fuse") or not device.values.get("polarised"):
            continue
        for part in (panel.parts[index] for index in device.parts):
            behind = _that_come_to(panel, pluses, part) if part.role == "pole" else []
            if behind:
                yield _finding(panel, part, behind)


def _that_come_to(panel: Panel, pluses: list[str], pole: Part) -> list[str]:
    """The pluses that lead to the pole's second mark, without passing the pole."""

    def passable(part: Part, forwards: bool) -> bool:
        against = part.conducts is Conducts.ONE_WAY and forwards
        return part.conducts in PASSES and not against

    there = reached(panel, (pole.b,), passable, without=pole)
    return [plus for plus in pluses if plus in there]


def _finding(panel: Panel, pole: Part, behind: list[str]) -> Finding:
    names = in_words(f"`{plus}`" for plus in behind)
    return Finding(
        f"`{pole.label}` is polarised and fed backwards: {names} "
        f"{'comes' if len(behind) == 1 else 'come'} to `{pole.b}`",
        Place(span_of(panel, pole), "fed at its second mark"),
        devices=(pole.device, *dict.fromkeys(plus.partition(":")[0] for plus in behind)),
        condition=pole.label,
        path=(PathStep(behind[0]), PathStep(pole.b, pole.label, True), PathStep(pole.a)),
        help="turn it round; where current may come from either end, fit one for both ways",
    )
