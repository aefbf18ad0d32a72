"""A conductor that is joined to ground only behind something that can open it.

It speaks where a bond is drawn on a conductor and a breaker, fuse or disconnect stands
between it and the source, none of whose poles is bonded ahead of that.

It keeps silent where the same conductor has another bond at the source, drawn or declared:
then it is `bonded twice`; and on sources grounded elsewhere.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.drawn_bonds import Conductor, DrawnBonds
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import span_of


@rule(
    family=Family.GROUNDING,
    severity=Severity.QUERY,
    summary="a source is joined to ground behind a fuse, breaker or disconnect",
    why="once that opens, the source is live and grounded by nothing",
    source="NFPA 79 8.3.1, read second-hand: bonded near the source, before the first device",
    kind=ReferenceKind.STANDARD,
    requires=(DrawnBonds,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for conductor in view[DrawnBonds].conductors:
        if not _only_past(conductor) or conductor.grounded_elsewhere(panel):
            continue
        bond, (source, mark) = conductor.bonds[0], conductor.poles[0]
        yield Finding(
            f"`{source.device}:{mark}` is joined to ground at `{bond.terminal}`, behind what can "
            "open it",
            Place(span_of(panel, bond.by), "the bond"),
            devices=(source.device,),
            condition=bond.terminal,
            related=(Place(panel.devices[source.device].span, "the source"),),
            help="move the bond to the source, ahead of the first device",
        )


def _only_past(conductor: Conductor) -> bool:
    return len(conductor.bonds) == 1 and conductor.bonds[0].past and conductor.may_be_grounded
