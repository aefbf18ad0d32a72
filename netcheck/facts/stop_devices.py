"""What a panel has to stop with: emergency stops, buttons said to be for stopping, and buttons
whose contacts all open as they are pressed."""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.model.devices import Conducts, Device, Mechanism
from netcheck.model.panel import Panel
from netcheck.record import record

EMERGENCY = frozenset(("emergency stop", "pull-cord switch"))


@record
class StopDevice:
    """A mechanism that stops while it is in `stopping`, its last position."""

    mechanism: Mechanism
    device: Device
    emergency: bool

    @property
    def stopping(self) -> int:
        return len(self.mechanism.positions) - 1


@record
class StopDevices:
    stops: tuple[StopDevice, ...]


@concludes()
def find_stop_devices(view: View) -> StopDevices:
    panel = view.panel
    found = []
    for mechanism in panel.mechanisms.values():
        device = panel.devices[mechanism.device]
        emergency = device.kind in EMERGENCY
        stops = device.values.get("purpose") == "stopping"
        if emergency or stops or (device.kind == "button" and _opens_only(panel, mechanism)):
            found.append(StopDevice(mechanism, device, emergency))
    return StopDevices(tuple(found))


def _opens_only(panel: Panel, mechanism: Mechanism) -> bool:
    """Whether every wired contact is closed at rest: what a button is called decides nothing."""
    device = panel.devices[mechanism.device]
    if device.values.get("purpose"):
        return False
    contacts = [
        panel.parts[index]
        for index in device.parts
        if panel.parts[index].conducts is Conducts.CONTACT and not panel.parts[index].spare
    ]
    return bool(contacts) and all(0 in contact.closed for contact in contacts)
