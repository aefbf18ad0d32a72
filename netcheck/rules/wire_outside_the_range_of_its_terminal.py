"""A wire thicker or thinner than the terminal it is landed on takes.

It speaks where a device says `terminals 22 AWG to 10 AWG` and a wire of a known size at one
of its terminals is outside that.  Wires of one size at one device are one finding.

It keeps silent on devices that say no range, on wires that say no size, and on coils and
auxiliary contacts of what has poles, for the range is that of its poles.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.reading.conductor_size import ConductorSize
from netcheck.reading.quantities import read_quantity
from netcheck.rule import rule
from netcheck.telling import listed

POLES = ("pole", "main pole", "overload")


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.DEFECT,
    summary="a wire is thicker or thinner than its terminal takes",
    why="a thick one does not go in whole, a thin one is not held: either heats or falls out",
    source="NEC 110.3(B), 110.14: terminals are used as they are listed; read second-hand",
    kind=ReferenceKind.STANDARD,
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for device in panel.devices.values():
        low, high = device.values.get("accepts_low"), device.values.get("accepts_high")
        if low is None or high is None:
            continue
        sizes = [read_quantity(str(text)) for text in (low, high)]
        areas = sorted(size.area_mm2 for size in sizes if isinstance(size, ConductorSize))
        for wires in _outside(panel, device, areas[0], areas[1]):
            yield _finding(panel, device, wires, f"{low} to {high}")


def _outside(panel: Panel, device: Device, low: float, high: float) -> list[list[Wire]]:
    """The wires at a device that its terminals do not take, size by size."""
    found: dict[str, dict[int, Wire]] = {}
    for terminal in _meant(panel, device):
        for wire in panel.wires_at.get(terminal, ()):
            size = wire.properties.size
            if size is not None and not low * 0.999 <= size.area_mm2 <= high * 1.001:
                found.setdefault(size.text, {})[wire.index] = wire
    return [list(wires.values()) for wires in found.values()]


def _meant(panel: Panel, device: Device) -> list[str]:
    """The terminals the range is said of: those of its poles, if it has any, else all."""
    parts = [panel.parts[index] for index in device.parts]
    poles = {end for part in parts if part.role in POLES for end in (part.a, part.b)}
    return [terminal for terminal in device.terminals if terminal in poles or not poles]


def _finding(panel: Panel, device: Device, wires: list[Wire], takes: str) -> Finding:
    verb = "is" if len(wires) == 1 else "are"
    size = wires[0].properties.size
    return Finding(
        f"{listed([panel.wire_name(wire) for wire in wires])} {verb} {size}, and the terminals of "
        f"`{device.name}` take {takes}",
        Place(wires[0].span, f"{size}"),
        devices=(device.name,),
        wires=tuple(dict.fromkeys(panel.called(wire) for wire in wires)),
        condition=f"{size}",
        related=(Place(device.span, f"takes {takes}"),),
        help="use a wire its terminals take, or go over a terminal block to one of that size",
    )
