"""A contact, switch, breaker or fuse that can open a grounding conductor.

It speaks where both ends of a contact, or of a pole of a breaker, fuse or disconnect, are
on grounding conductors: terminals marked PE, grounding bars, and what wires and strips join
to them.

It keeps silent on what joins ground to a circuit conductor: that is a missing load or a
bond, and told as such.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.ground_paths import GroundPaths
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.rule import rule
from netcheck.telling import listed, span_of


@rule(
    family=Family.GROUNDING,
    severity=Severity.DANGER,
    summary="a switch, contact or fuse stands in a grounding conductor",
    why="when it is open, the metal behind it is grounded by nothing, and may be live",
    source="NEC 250.124(B); NFPA 79 8.2.4, read second-hand: no switch in a grounding conductor",
    kind=ReferenceKind.STANDARD,
    requires=(GroundPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    by_device: dict[str, list[int]] = {}
    for part in view[GroundPaths].interrupted:
        by_device.setdefault(part.device, []).append(part.index)
    for device, indexes in by_device.items():
        parts = [panel.parts[index] for index in indexes]
        labels = [part.label for part in parts]
        verb = "stands" if len(parts) == 1 else "stand"
        yield Finding(
            f"{listed(labels)} {verb} in a grounding conductor and can open it",
            Place(span_of(panel, parts[0]), "opens the grounding conductor"),
            devices=(device,),
            condition=" ".join(labels),
            help="lead the grounding conductor past it, by terminals only",
        )
