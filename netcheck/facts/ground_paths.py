"""Whether what must be grounded leads to ground: by wire, and by which device where by no wire.

Ground is where a source that comes and goes by itself (service, battery, edge) has its PE,
and what wires and bonds join to that or to the source's own conductors.  A rod is not: it
holds the system at the earth's potential and brings no fault current home.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.grounding_terminals import is_grounding_terminal
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
    """What is not grounded, and the contacts, fuses and switches in grounding conductors.

    `described` is whether the text draws any grounding conductor at all.
    """

    ungrounded: tuple[Ungrounded, ...]
    interrupted: tuple[Part, ...]
    described: bool


@concludes(Behaviour, CircuitVolts, GroundingWires)
def find_ground_paths(view: View) -> GroundPaths:
    panel, group = view.panel, view[GroundingWires].group
    interrupted = [part for part in panel.parts if _opens(part) and _between(part, group)]
    joined = _joined(panel, interrupted)
    ground = {joined.find(terminal) for terminal in _grounds(panel)}
    rods = {
        joined.find(name): device
        for device in panel.devices.values()
        if device.values.get("ground_rod")
        for name in device.terminals
    }
    islands: dict[str, list[str]] = {}
    for device in panel.devices.values():
        name = f"{device.name}:PE"
        if name not in device.terminals or not _must_be_grounded(view, device):
            continue
        where = joined.find(name)
        if where not in ground:
            islands.setdefault(where if name in panel.wires_at else name, []).append(name)
    return GroundPaths(
        tuple(Ungrounded(tuple(names), rods.get(where)) for where, names in islands.items()),
        tuple(interrupted),
        any(is_grounding_terminal(panel, terminal) for terminal in panel.wires_at),
    )


def _joined(panel: Panel, interrupted: list[Part]) -> Unions[str]:
    """What wires, bars, bridges and bonds join, and what is told apart: switches in ground."""
    joined: Unions[str] = Unions()
    for wire in panel.wires:
        joined.join(wire.a, wire.b)
    for part in panel.parts:
        solid = part.conducts is Conducts.JOINS and not part.mechanism
        if solid or part.conducts is Conducts.BOND:
            joined.join(part.a, part.b)
    for part in interrupted:
        joined.join(part.a, part.b)
    return joined


def _grounds(panel: Panel) -> Iterator[str]:
    """Terminals that are at ground or lead a fault's current home: of sources that are there by
    themselves."""
    for source in panel.sources:
        if source.mechanism:
            yield f"{source.device}:PE"
            yield from (f"{source.device}:{mark}" for mark in source.poles)


def _opens(part: Part) -> bool:
    return part.conducts is Conducts.CONTACT or (
        part.conducts is Conducts.JOINS and bool(part.mechanism)
    )


def _between(part: Part, group: dict[str, int]) -> bool:
    """Whether both its ends are on grounding conductors."""
    return part.a in group and part.b in group


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
