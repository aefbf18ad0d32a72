"""Conductors smaller than 1/0 AWG stand in parallel as one.

Conductors in parallel share the current only as far as their joints are alike; small ones
are not allowed to.  It speaks of a wire that says `2 conductors in parallel` or more, of a
size below 1/0 AWG (53.5 mm2), and carries more than control does.

It keeps silent in IEC practice, on grounding conductors, which 250.122(F) rules on their
own, and on wires of which no size is said.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity, Working
from netcheck.rule import rule

LEAST_MM2 = 53.4
"""1/0 AWG is 53.5 mm2."""


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.DEFECT,
    summary="conductors smaller than 1/0 AWG stand in parallel",
    why="the one with the better joint takes nearly all the current and overheats",
    source="NEC 310.10(G)(1); from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(GroundingWires,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    if panel.settings.practice.iec:
        return
    for wire in panel.wires:
        count, size = wire.properties.parallel or 1, wire.properties.size
        if count < 2 or size is None or size.area_mm2 >= LEAST_MM2:
            continue
        if wire.a in view[GroundingWires].group:
            continue
        yield Finding(
            f"`{panel.wire_name(wire)}` is {count} conductors of {size.text} in parallel; the "
            "smallest that may be is 1/0 AWG",
            Place(wire.span, f"{count} x {size.text}"),
            wires=(panel.called(wire),),
            condition="in parallel",
            working=(Working("smallest in parallel", "1/0 AWG", "", "NEC 310.10(G)(1)"),),
            help="use one conductor that carries the whole current",
        )
