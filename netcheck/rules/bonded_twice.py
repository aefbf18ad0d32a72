"""A grounded conductor that is joined to ground in more than one place.

It speaks of a neutral or 0 V with two or more bonds drawn in the text, and of one with a
single bond drawn where its source says that it is grounded elsewhere (`neutral bonded
upstream`, or an edge that is grounded).  A bond is a bond device, or a wire from the
conductor to a terminal marked PE or a grounding bar.

It keeps silent on one drawn bond where the source says it is grounded here: that is the
bond it means; on separately derived sources, each of which has its own; and on live poles
joined to ground, which is a missing load.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.drawn_bonds import Conductor, DrawnBond, DrawnBonds
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.telling import span_of


@rule(
    family=Family.GROUNDING,
    severity=Severity.DEFECT,
    summary="a neutral or 0 V is joined to ground in two places",
    why="part of its current comes home by metal that people touch, and ground faults hide in it",
    source="NEC 250.24(A)(5), 250.30(A)(1), 250.6: one bond for each source; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(DrawnBonds,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for conductor in view[DrawnBonds].conductors:
        elsewhere = conductor.grounded_elsewhere(panel)
        if conductor.may_be_grounded and len(conductor.bonds) + bool(elsewhere) > 1:
            yield _finding(panel, conductor)


def _finding(panel: Panel, conductor: Conductor) -> Finding:
    elsewhere = conductor.grounded_elsewhere(panel)
    last = conductor.bonds[-1]
    source, mark = next(
        ((source, source.grounded_pole) for source in conductor.declared), conductor.poles[0]
    )
    if elsewhere:
        first = f"where `{elsewhere[0].device}` comes from"
        related = [Place(panel.devices[elsewhere[0].device].span, "grounded there already")]
    else:
        first = f"by {_told(panel, conductor.bonds[0])}"
        related = [Place(span_of(panel, conductor.bonds[0].by), "joined to ground here")]
    return Finding(
        f"`{source.device}:{mark}` is joined to ground twice: {first} and by {_told(panel, last)}",
        Place(span_of(panel, last.by), "and here again"),
        devices=(source.device, *(b.by.device for b in conductor.bonds if isinstance(b.by, Part))),
        wires=tuple(panel.called(b.by) for b in conductor.bonds if isinstance(b.by, Wire)),
        related=tuple(related),
        help="keep the bond where the source is, and take the other out",
    )


def _told(panel: Panel, bond: DrawnBond) -> str:
    if isinstance(bond.by, Wire):
        return f"`{panel.wire_name(bond.by)}`"
    return f"`{bond.by.device}`"
