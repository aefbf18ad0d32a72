"""An aluminium conductor in a terminal that is made for copper only.

It speaks where the device says `terminals for copper only`.  A device that says nothing of
the metal of its terminals, and has an aluminium conductor in one, is not checked.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.devices import Device, device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rule import rule

ALUMINIUM = "aluminium"


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.DEFECT,
    summary="an aluminium conductor stands in a terminal made for copper only",
    why="the joint creeps, oxidises and heats until it burns",
    source="NEC 110.14(A); read second-hand",
    kind=ReferenceKind.STANDARD,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    found: dict[str, list[tuple[str, Wire]]] = {}
    for wire in panel.wires:
        if wire.properties.material == ALUMINIUM:
            for terminal in (wire.a, wire.b):
                found.setdefault(device_of(terminal), []).append((terminal, wire))
    for name, ends in found.items():
        device = panel.devices[name]
        if device.values.get("copper_only"):
            yield _finding(panel, device, ends)
        elif not device.values.get("aluminium_too") and not _comes_from_elsewhere(panel, device):
            reason = f"{name} does not say whether its terminals take aluminium"
            yield NotChecked(reason, Place(device.span), (name,))


def _comes_from_elsewhere(panel: Panel, device: Device) -> bool:
    return any(panel.sources[index].mechanism for index in device.sources)


def _finding(panel: Panel, device: Device, ends: list[tuple[str, Wire]]) -> Finding:
    terminal, wire = ends[0]
    more = f" and {len(ends) - 1} more of its terminals" if len(ends) > 1 else ""
    return Finding(
        f"`{panel.wire_name(wire)}` is aluminium, and `{terminal}`{more} takes copper only",
        Place(wire.span, "aluminium"),
        related=(Place(device.span, "terminals for copper only"),),
        devices=(device.name,),
        wires=tuple(dict.fromkeys(panel.called(one) for _, one in ends)),
        condition=" ".join(dict.fromkeys(at for at, _ in ends)),
        help="use copper here, or a listed splice from aluminium to copper ahead of the terminal",
    )
