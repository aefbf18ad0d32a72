"""Metal whose only way to ground is a rod.

It speaks of what must be grounded (`missing grounding conductor` says what that is) where
its grounding conductor leads to a ground rod, and by no wire to the PE of a source.

It keeps silent on a rod beside a grounding conductor: that one clears the fault, and the
rod is lawful.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.ground_paths import GroundPaths
from netcheck.finding import (
    Family,
    Finding,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import listed

USUAL_OHM = 25.0


@rule(
    family=Family.GROUNDING,
    severity=Severity.DANGER,
    summary="a ground rod is the only way to ground of metal that people touch",
    why="the earth lets a few amperes pass: no breaker opens, and the metal stays live",
    source="NEC 250.4(A)(5), 250.54: the earth is no path for fault current; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(GroundPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for island in view[GroundPaths].ungrounded:
        if island.rod is None:
            continue
        verb = "is" if len(island.devices) == 1 else "are"
        ohm = island.rod.number("resistance")
        yield Finding(
            f"{listed(island.devices)} {verb} grounded by the rod `{island.rod.name}` alone",
            Place(panel.wires_at[island.terminals[0]][0].span, "leads to a rod and no further"),
            devices=(*island.devices, island.rod.name),
            related=(Place(island.rod.span, "the rod"),),
            working=_working(panel, ohm),
            assumed=() if ohm else (f"`{island.rod.name}`: {USUAL_OHM:g} ohm to earth",),
            help="run a grounding conductor with the circuit, back to where its source is grounded",
        )


def _working(panel: Panel, ohm: float | None) -> tuple[Working, ...]:
    """What a fault from a line would drive through the rod."""
    volts = max((abs(v) for s in panel.sources for v in s.poles.values()), default=0.0)
    known = ohm or USUAL_OHM
    return (
        Working("to ground", volts, "V", "nominal volts"),
        Working("rod", known, "ohm", "as described" if ohm else "NEC 250.53(A)(2)", bool(ohm)),
        Working("fault current", round(volts / known, 2), "A", "volts over ohms"),
    )
