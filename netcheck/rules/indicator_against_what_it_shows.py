"""A lamp or horn that is on while what it shows is off, or dark while that is on.

Asked of lamps and horns that say what they show (`shows M1`), once everything has settled,
with every source present and every button at rest.  A load is on while it is energised, a
contactor or relay while it is in, anything that is moved by hand or by the process while it
is operated.  One that is on exactly while the other is off tells the truth too.

It keeps silent on indicators that do not say what they show, on a lamp that a button lights
for a test, and on one that is never energised at all.  Where the program of a controller
lights the one or runs the other, it is not checked.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.indications import Indications, Untrue
from netcheck.facts.load_feeds import is_settled
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.states.answers import Answer, Reached, Undecided
from netcheck.states.witness import tell

LIT = {"lamp": "is lit", "horn": "sounds"}
DARK = {"lamp": "is dark", "horn": "is silent"}


@rule(
    family=Family.SNEAK_PATH,
    severity=Severity.QUERY,
    summary="an indicator is lit or dark against the state of what it is said to show",
    why="whoever reads it takes what runs for stopped, or what is stopped for running",
    source="sneak indications: sneak circuit analysis as MIL-STD-785 task 205, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(Indications,),
)
def find(view: View) -> Iterator[Outcome]:
    for one in view[Indications].untrue:
        kind = one.indicator.kind
        place = Place(one.indicator.span, f"is to show {one.shown.name}")
        devices = (one.indicator.name, one.shown.name)
        whether = f"whether `{one.indicator.name}` shows `{one.shown.name}` truly: "
        if one.program:
            reason = f"{whether}the program of `{one.program}` decides it"
            yield NotChecked(reason, place, devices)
        elif is_settled(one.lit_wrongly):
            yield _finding(view.panel, one, one.lit_wrongly, LIT[kind], one.off)
        elif is_settled(one.dark_wrongly):
            yield _finding(view.panel, one, one.dark_wrongly, DARK[kind], one.on)
        else:
            answers = (one.lit_wrongly, one.dark_wrongly)
            reasons = [answer.reason for answer in answers if isinstance(answer, Undecided)]
            yield NotDecided(whether + "; ".join(reasons[:1]), place, devices)


def _finding(panel: Panel, one: Untrue, answer: Answer, lamp_is: str, shown_is: str) -> Finding:
    assert isinstance(answer, Reached)
    lamp, shown = one.indicator, one.shown
    witness = tell(panel, answer)
    return Finding(
        f"`{lamp.name}` {lamp_is} while `{shown.name}`, which it is to show, is {shown_is}",
        Place(lamp.span, f"is to show {shown.name}"),
        devices=(lamp.name, shown.name),
        condition=f"{lamp_is} while {shown_is}",
        related=(Place(shown.span, "what it is to show"),),
        state=dict(witness.state),
        steps=witness.steps,
        help="light it by a contact of what it shows, or of the contactor that switches that, "
        "behind the same protection",
    )
