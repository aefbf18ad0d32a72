"""Whether what must be grounded leads to ground: by wire, and by which device where by no wire.

Ground is where a source that comes and goes by itself (service, battery, edge) has its PE,
or what a bond joins to such a source's conductors.  A rod is not: it holds the system at
the earth's potential and brings no fault current home.
"""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.model.devices import Conducts, Device, Part, device_of
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.volts import magnitude

TOUCHABLE_V = 50.0
"""Up to here a frame need not be grounded: NEC 250.20(A), 250.112(I), from memory."""


@record
class Ungrounded:
    """Grounding terminals that lead to no ground: one island, joined by wire or one alone.

    `rod` is the ground rod it hangs on, if any.
    """

    terminals: tuple[str, ...]
    rod: Device | None

    @property
    def devices(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(device_of(terminal) for terminal in self.terminals))


@record
class GroundPaths:
    """What is not grounded, and the contacts, fuses and switches in grounding conductors."""

    ungrounded: tuple[Ungrounded, ...]
    interrupted: tuple[Part, ...]


@concludes(Behaviour, CircuitVolts, GroundingWires)
def find_ground_paths(view: View) -> GroundPaths:
    panel, group = view.panel, view[GroundingWires].group
    interrupted = [part for part in panel.parts if _opens(part) and _between(part, group)]
    reached: Unions[int] = Unions()
    for part in interrupted:
        reached.join(group[part.a], group[part.b])
    grounded = {reached.find(number) for number in _grounded(panel, group)}
    rods = {
        group[name]: device
        for device in panel.devices.values()
        if device.values.get("ground_rod")
        for name in device.terminals
        if name in group
    }
    islands: dict[object, list[str]] = {}
    for device in panel.devices.values():
        name = f"{device.name}:PE"
        if name not in device.terminals or not _must_be_grounded(view, device):
            continue
        if name not in panel.wires_at:
            islands[name] = [name]
        elif name in group and reached.find(group[name]) not in grounded:
            islands.setdefault(group[name], []).append(name)
    return GroundPaths(
        tuple(
            Ungrounded(tuple(names), rods.get(where) if isinstance(where, int) else None)
            for where, names in islands.items()
        ),
        tuple(interrupted),
    )


def _opens(part: Part) -> bool:
    return part.conducts is Conducts.CONTACT or (
        part.conducts is Conducts.JOINS and bool(part.mechanism)
    )


def _between(part: Part, group: dict[str, int]) -> bool:
    """Whether both its ends are on grounding conductors."""
    return part.a in group and part.b in group


def _grounded(panel: Panel, group: dict[str, int]) -> set[int]:
    """The groups that lead by wire alone to a present source's PE, or by a bond to its pole."""
    present = [source for source in panel.sources if source.mechanism]
    frames = [f"{source.device}:PE" for source in present]
    found = {group[name] for name in frames if name in group}
    bonds = [part for part in panel.parts if part.role == "bond"]
    joined = _circuit_conductors(panel) if bonds else Unions()
    poles = {joined.find(f"{source.device}:{mark}") for source in present for mark in source.poles}
    for part in bonds:
        for one, other in ((part.a, part.b), (part.b, part.a)):
            if one in group and other not in group and joined.find(other) in poles:
                found.add(group[one])
    return found


def _circuit_conductors(panel: Panel) -> Unions[str]:
    joined: Unions[str] = Unions()
    for wire in panel.wires:
        joined.join(wire.a, wire.b)
    for part in panel.parts:
        if part.conducts is Conducts.JOINS:
            joined.join(part.a, part.b)
    return joined


def _must_be_grounded(view: View, device: Device) -> bool:
    """Metal that people touch, where a fault could bring it more than `TOUCHABLE_V`."""
    panel = view.panel
    sources = [panel.sources[index] for index in device.sources]
    if "spare" in device.marks or any(source.mechanism for source in sources):
        return False
    if device.kind in ("enclosure", "metal part"):
        return bool(device.values.get("metal", True)) and _dangerous_panel(panel)
    if device.kind == "edge":
        return False
    if not any(name in panel.wires_at for name in device.terminals if not name.endswith(":PE")):
        return False
    volts = [source.volts for source in sources]
    loads = [panel.parts[index].load for index in device.parts]
    volts += [load.volts for load in loads if load is not None and load.volts is not None]
    if not volts:
        places = [view[Behaviour].node(name) for name in device.terminals if name[-3:] != ":PE"]
        volts = [magnitude(found) for found in view[CircuitVolts].all_of(places)]
    return any(volt > TOUCHABLE_V for volt in volts)


def _dangerous_panel(panel: Panel) -> bool:
    return any(source.volts > TOUCHABLE_V for source in panel.sources)
