"""A device that is described and stands in no circuit.

Nothing is wired to any of its terminals, its grounding terminal apart.  It keeps
silent on what is marked spare, and on strips, bars, terminals and bonds.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.open_ends import OpenEnds
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.rule import rule


@rule(
    family=Family.OPEN_PATH,
    severity=Severity.QUERY,
    summary="a device is described but nothing is wired to it",
    why="it was forgotten in the wiring, or its wires were drawn to another of a like name",
    source="spares are declared: common practice",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(OpenEnds,),
)
def find(view: View) -> Iterator[Outcome]:
    for device in view[OpenEnds].in_no_circuit:
        yield Finding(
            f"`{device.name}` is described but stands in no circuit",
            Place(device.span, "nothing is wired to it"),
            devices=(device.name,),
            help=f"wire `{device.name}`, take it out, or mark it spare",
        )
