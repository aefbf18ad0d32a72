"""What safety relays drop out, and whether their feedback ways see it."""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
from netcheck.model.devices import Conducts, Device, Part
from netcheck.model.panel import Panel
from netcheck.network.traces import Passed, walk
from netcheck.record import record


@record
class SafetyContactors:
    """By safety relay: the contactors and relays whose coils draw through its contacts; those
    of them that take off what must stop; and the wires that close its feedback way with no
    contact between, where they do."""

    dropped: dict[str, tuple[Device, ...]]
    final: dict[str, tuple[Device, ...]]
    bridged: dict[str, tuple[Passed, ...]]


@concludes(CurrentPaths)
def find_safety_contactors(view: View) -> SafetyContactors:
    relays = [one for one in view.panel.devices.values() if one.kind == "safety relay"]
    dropped = {relay.name: _dropped(view, relay) for relay in relays}
    bridges = {relay.name: _bridge(view.panel, relay) for relay in relays}
    final = {name: _final(view, devices) for name, devices in dropped.items()}
    return SafetyContactors(dropped, final, {name: way for name, way in bridges.items() if way})


def contacts_of(panel: Panel, device: Device) -> list[Part]:
    """Those that are wired from outside."""
    parts = [panel.parts[index] for index in device.parts]
    return [part for part in parts if part.conducts is Conducts.CONTACT and not part.inside]


def must_stop(panel: Panel, load: LoadCurrent) -> bool:
    made, marks = load.parts[0].load, panel.devices[load.device].marks
    heats = made is not None and made.moves_or_heats
    return (heats and "not hazardous" not in marks) or "hazardous" in marks


def carries(view: View, device: Device, number: int) -> bool:
    """Whether a contact of the device that opens as it drops out carries the load's current."""
    return any(
        number in view[CurrentPaths].loads_through(part)
        for part in contacts_of(view.panel, device)
        if 0 not in part.closed
    )


def _final(view: View, dropped: tuple[Device, ...]) -> tuple[Device, ...]:
    loads = view[CurrentPaths].loads
    numbers = [number for number, load in enumerate(loads) if must_stop(view.panel, load)]
    return tuple(
        device for device in dropped if any(carries(view, device, number) for number in numbers)
    )


def _dropped(view: View, relay: Device) -> tuple[Device, ...]:
    panel, paths = view.panel, view[CurrentPaths]
    coils = {
        part.index
        for contact in contacts_of(panel, relay)
        if 0 not in contact.closed
        for number in paths.loads_through(contact)
        for part in paths.loads[number].parts
    }
    names = {m.device: None for m in panel.mechanisms.values() if coils & set(m.coils)}
    return tuple(panel.devices[name] for name in names)


def _bridge(panel: Panel, relay: Device) -> tuple[Passed, ...]:
    marks = relay.values.get("feedback_marks")
    if not isinstance(marks, tuple):
        return ()

    def strips(part: Part, _: bool) -> bool:
        return part.conducts is Conducts.JOINS and bool(
            panel.devices[part.device].values.get("terminal")
        )

    first, last = (f"{relay.name}:{mark}" for mark in marks)
    return tuple(walk(panel, (first,), (last,), strips) or ())
