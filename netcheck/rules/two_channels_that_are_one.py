"""Two safety channels of one device pass the same contact or the same wire.

Asked of the channels of a safety relay, and of whatever else has channel inputs.  A contact
of another device, or a wire, through which both channels draw their current is told.

It keeps silent on one button with a contact for each channel, for that is how it is done, and
on what brings the device its supply, such as the fuse ahead of it: without it, both let go.
"""

from collections.abc import Iterator
from itertools import combinations

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.devices import Device, Part
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.telling import listed, span_of

CHANNEL = "channel input"


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DANGER,
    summary="two safety channels pass the same contact or wire",
    why="one fault defeats both, and the second channel is there so that none does",
    source="ISO 13849-1 categories 3 and 4: no single fault loses the function; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(CurrentPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    paths = view[CurrentPaths]
    channels: dict[str, list[int]] = {}
    for number, load in enumerate(paths.loads):
        if load.parts[0].role == CHANNEL and number in paths.fed:
            channels.setdefault(load.device, []).append(number)
    for name, numbers in channels.items():
        device = view.panel.devices[name]
        for first, second in combinations(numbers, 2):
            contacts = _contacts(view, device, first, second)
            wires = [] if contacts else _wires(view, device, first, second)
            if contacts or wires:
                yield _finding(view, device, (first, second), contacts, wires)


def _contacts(view: View, device: Device, first: int, second: int) -> list[Part]:
    """Other devices' contacts on both channels, fuses and breakers too."""
    paths, supply = view[CurrentPaths], _supply(view, device)
    contacts = (one for one in view.panel.parts if one.mechanism and one.device != device.name)
    on = [(part, set(paths.loads_through(part))) for part in contacts]
    return [part for part, loads in on if {first, second} <= loads and not loads & supply]


def _wires(view: View, device: Device, first: int, second: int) -> list[Wire]:
    paths, supply = view[CurrentPaths], _supply(view, device)
    on = [(wire, set(paths.loads_on(wire.index))) for wire in view.panel.wires]
    return [wire for wire, loads in on if {first, second} <= loads and not loads & supply]


def _supply(view: View, device: Device) -> set[int]:
    """What the device draws itself: whatever brings it that may feed both channels too."""
    return {
        number
        for number, load in enumerate(view[CurrentPaths].loads)
        if load.device == device.name and load.parts[0].role != CHANNEL
    }


def _finding(
    view: View, device: Device, numbers: tuple[int, int], contacts: list[Part], wires: list[Wire]
) -> Finding:
    panel, loads = view.panel, view[CurrentPaths].loads
    names = [loads[number].name for number in numbers]
    labels = [part.label for part in contacts] or [panel.wire_name(wire) for wire in wires]
    span = span_of(panel, contacts[0]) if contacts else wires[0].span
    return Finding(
        f"both channels of `{device.name}`, {listed(names)}, pass {listed(labels)}",
        Place(span, "both channels pass here"),
        devices=(device.name, *dict.fromkeys(part.device for part in contacts)),
        wires=tuple(panel.called(wire) for wire in wires),
        condition=" ".join(names),
        related=(Place(device.span, "its channels"),),
        help="give each channel a contact and a way of its own, from its own feed to its own input",
    )
