"""The devices in an enclosure give off more heat than its walls get rid of.

It speaks where an enclosure says `sheds 150 W` and what is in it gives off more: what devices
say they `give off`, the watts of the coils that a reachable state has in together, and what
supplies lose at the most they must give.  Drives, soft starters and transformers that do not
say what they give off leave it open, unless the others are too much already.

It keeps silent where no enclosure says what it sheds, or several do.  Devices at a location
that is outside do not count, nor the little that contacts, breakers and wire
lose.  AC coils count with their VA, which is no less than their watts.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.enclosure_heat import EnclosureHeat, EnclosureHeats
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.rounding import exceeds
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell
from netcheck.telling import listed

MOST_TERMS = 8
"""Shown one by one, the largest first; the others are added up."""


@rule(
    family=Family.SUPPLY,
    severity=Severity.QUERY,
    summary="what is in an enclosure gives off more heat than its walls get rid of",
    why="it gets hotter inside than its wires, supplies and electronics are chosen for",
    source="a balance of watts, as enclosures are chosen; no source",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(EnclosureHeats,),
)
def find(view: View) -> Iterator[Outcome]:
    heat = view[EnclosureHeats].heat
    if heat is None:
        return
    place = Place(heat.enclosure.span, f"sheds {figure(heat.sheds_w, 'W')}")
    if exceeds(heat.given_off_w, heat.sheds_w):
        if isinstance(heat.answer, Undecided):
            reason = f"how warm `{heat.enclosure.name}` gets: {heat.answer.reason}"
            yield NotDecided(reason, place, (heat.enclosure.name,))
        else:
            yield _finding(view.panel, heat, place)
    elif heat.unsaid:
        verb = "does" if len(heat.unsaid) == 1 else "do"
        reason = f"{listed(heat.unsaid)} {verb} not say what heat they give off"
        reason = reason.replace("they give", "it gives") if len(heat.unsaid) == 1 else reason
        yield NotChecked(reason, place, (heat.enclosure.name, *heat.unsaid))


def _finding(panel: Panel, heat: EnclosureHeat, place: Place) -> Finding:
    given, sheds = figures_apart("W", heat.given_off_w, heat.sheds_w)
    witness = tell(panel, heat.answer) if isinstance(heat.answer, Reached) else None
    return Finding(
        f"up to {given} of heat is given off in `{heat.enclosure.name}`, which sheds {sheds}",
        place,
        devices=(heat.enclosure.name,),
        condition="heat",
        state=witness.state if witness else {},
        steps=witness.steps if witness else (),
        working=tuple(_working(heat)),
        help="a larger enclosure, a fan or a cooler, or the warm devices outside it",
    )


def _working(heat: EnclosureHeat) -> Iterator[Working]:
    terms = sorted((*heat.always, *heat.coils), key=lambda step: -float(step.value))
    yield from terms[:MOST_TERMS]
    if rest := terms[MOST_TERMS:]:
        rest_w = sum(float(step.value) for step in rest)
        yield Working(f"{len(rest)} others", rest_w, "W", "likewise")
    yield Working("given off in all", heat.given_off_w, "W", "the sum of these, at most")
    yield Working("shed", heat.sheds_w, "W", "as described")
