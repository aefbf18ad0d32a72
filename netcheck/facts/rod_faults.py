"""What a fault to metal that only a rod grounds draws through the earth, and what then opens.

The volts are those to ground of the conductors that go into the equipment, of the source
that feeds it; the earth is counted as the rod alone, so that the current is the most there
can be: the way back to the source's own electrode only adds to it.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.ground_paths import GroundPaths, Ungrounded
from netcheck.facts.protection import Ahead, Holds, Protection
from netcheck.model.devices import Conducts, Device, SourcePart
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.volts import Volts, magnitude

USUAL_OHM = 25.0
"""More than this, and a second rod is driven beside the first: NEC 250.53(A)(2)."""


@record
class RodFault:
    """A fault in one of the devices of `island`, the one with the most volts to ground.

    `volts` is None where nothing ties their source to ground, or no circuit goes into any of
    them; `ahead` is what limits the current, `guard` a device that trips on current to ground
    and that all its ungrounded conductors pass.
    """

    island: Ungrounded
    rod: Device
    device: str
    volts: Volts | None
    source: SourcePart | None
    ahead: Ahead | None
    guard: Device | None

    @property
    def ohm(self) -> float:
        return self.rod.number("resistance") or USUAL_OHM

    @property
    def current_a(self) -> float:
        return magnitude(self.volts) / self.ohm if self.volts else 0.0

    @property
    def opens(self) -> Ahead | None:
        """The device that would have to open, where one of known rating is ahead."""
        known = self.ahead is not None and self.ahead.holds in (Holds.DEVICE, Holds.UPSTREAM)
        return self.ahead if known else None


@record
class RodFaults:
    faults: tuple[RodFault, ...]


@concludes(Behaviour, CircuitVolts, GroundPaths, Protection)
def find_rod_faults(view: View) -> RodFaults:
    islands = view[GroundPaths].ungrounded
    return RodFaults(tuple(_worst(view, one, one.rod) for one in islands if one.rod is not None))


def _worst(view: View, island: Ungrounded, rod: Device) -> RodFault:
    found = [fault for name in island.devices for fault in _faults_in(view, island, rod, name)]
    nothing = RodFault(island, rod, island.devices[0], None, None, None, None)
    return max(found, key=lambda fault: fault.current_a, default=nothing)


def _faults_in(view: View, island: Ungrounded, rod: Device, name: str) -> Iterator[RodFault]:
    """From each conductor that goes into a device to its frame."""
    panel, circuits = view.panel, view[CircuitVolts]
    for terminal in panel.devices[name].terminals:
        if terminal.endswith(":PE"):
            continue
        ahead = view[Protection].worst(terminal)
        if ahead is None:
            continue
        to_ground = [
            volts
            for rail in circuits.rails(view[Behaviour].node(terminal))
            if (volts := circuits.to_ground(rail))
        ]
        highest = max(to_ground, key=magnitude, default=None)
        source = panel.sources[ahead.source]
        yield RodFault(island, rod, name, highest, source, ahead, _guard(panel, name, source))


def _guard(panel: Panel, name: str, source: SourcePart) -> Device | None:
    """What trips on current to ground, if the device is cut off from the source without it."""
    for device in panel.devices.values():
        if device.number("ground_fault_a") and not _joined(panel, name, source, device):
            return device
    return None


def _joined(panel: Panel, name: str, source: SourcePart, without: Device) -> bool:
    """Whether an ungrounded pole reaches a device when another one is taken out."""
    joined: Unions[str] = Unions()
    for wire in panel.wires:
        joined.join(wire.a, wire.b)
    for part in panel.parts:
        passes = part.conducts in (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)
        if passes and part.device != without.name:
            joined.join(part.a, part.b)
    poles = {
        joined.find(f"{source.device}:{mark}")
        for mark in source.poles
        if mark != source.grounded_pole
    }
    terminals = (end for end in panel.devices[name].terminals if not end.endswith(":PE"))
    return any(joined.find(terminal) in poles for terminal in terminals)
