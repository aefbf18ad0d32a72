"""Wires that leave the panel from a device, where others leave it from terminals.

It speaks where a wire leads from a device in the panel, on its door or plate straight to a
device outside, neither end being a terminal block or bar, in a panel whose other field wires
start at terminal blocks.  All of them are one finding.

It keeps silent in panels that have no such habit, on wires of sources and edges, and on
grounding conductors.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.telling import listed

IN_THE_PANEL = frozenset(("panel", "door", "plate"))


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="a wire leaves the panel from a device, where others leave it from terminals",
    why="the builder splices it, and nobody can meter or lift it without opening the device",
    source="field wiring lands on terminals: common practice, no source",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(GroundingWires,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    leaving = [wire for wire in panel.wires if _leaves(panel, wire)]
    leaving = [wire for wire in leaving if wire.index not in view[GroundingWires].wires]
    direct = [wire for wire in leaving if not any(_is_block(panel, end) for end in _ends(wire))]
    if not direct or len(direct) == len(leaving):
        return
    names = [panel.wire_name(wire) for wire in direct]
    verb = "leaves" if len(direct) == 1 else "leave"
    yield Finding(
        f"{listed(names)} {verb} the panel from a device, and others from a terminal block",
        Place(direct[0].span, "leaves the panel here"),
        wires=tuple(dict.fromkeys(panel.called(wire) for wire in direct)),
        related=tuple(Place(wire.span, "and here") for wire in direct[1:5]),
        help="lead it over a terminal block",
    )


def _ends(wire: Wire) -> tuple[str, str]:
    return wire.a, wire.b


def _leaves(panel: Panel, wire: Wire) -> bool:
    """Whether one end is in the panel and the other outside, and neither at a source."""
    devices = [panel.devices[device_of(end)] for end in _ends(wire)]
    if any(device.sources and device.kind != "supply" for device in devices):
        return False
    inside = [device.location in IN_THE_PANEL for device in devices]
    places = [panel.places.get(device.location) for device in devices]
    outside = [place is not None and not place.inside for place in places]
    return (inside[0] and outside[1]) or (inside[1] and outside[0])


def _is_block(panel: Panel, terminal: str) -> bool:
    return bool(panel.devices[device_of(terminal)].values.get("terminal"))
