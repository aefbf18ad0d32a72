"""A wire of aluminium that lies within the panel.

Aluminium creeps under a clamp and breaks where it is bent again and again, and the wiring of
panels is of copper; aluminium feeders may come in, and end where they come in.  It speaks of
wires of aluminium or copper-clad aluminium both of whose ends are inside, those of one circuit
in one finding.

It keeps silent on wires from a service, a battery or another panel, on what leaves the
panel, and on wires that say no metal.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.wire_groups import by_cause, called, others_in_words
from netcheck.facts.wire_limits import WireLimits
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rule import rule

ALUMINIUM = frozenset(("aluminium", "copper-clad aluminium"))


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.QUERY,
    summary="a wire within the panel is of aluminium",
    why="it loosens in clamps made for copper and breaks where it is bent",
    source="NFPA 79 12.2 and IEC 60204-1 12.2: conductors in general of copper; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(WireLimits,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    comes_in = {source.device for source in panel.sources if source.mechanism}
    inside = [
        wire
        for wire in panel.wires
        if wire.properties.material in ALUMINIUM
        and not comes_in & {device_of(wire.a), device_of(wire.b)}
        and view[WireLimits].is_inside(wire)
    ]
    for wires in by_cause(inside, lambda wire: (wire.circuit,)):
        yield _finding(panel, wires)


def _finding(panel: Panel, wires: list[Wire]) -> Finding:
    first, *others = wires
    verb = "are" if others else "is"
    return Finding(
        f"`{panel.wire_name(first)}`{others_in_words(len(others))} inside the panel {verb} of "
        f"{first.properties.material}",
        Place(first.span, str(first.properties.material)),
        wires=called(panel, wires),
        condition="inside the panel",
        related=tuple(Place(wire.span, "this one too") for wire in others[:4]),
        help="use copper from the terminals at which the feeder comes in",
    )
