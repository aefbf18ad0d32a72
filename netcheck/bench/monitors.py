"""What watches a supply or its insulation, as whoever stands before the panel finds it.

In a review its contacts move freely: nothing foresees what it measures.  At the bench it is fed
and nothing is wrong until somebody says so: one that is energised while healthy stands operated
then, and falls back when it loses its own supply.  So do phase monitors, and insulation monitors
unless the text says otherwise: most can be set either way and come set so, for a relay that only
operates on a fault tells nothing of its own failure (common practice, no source).  A ground-fault
relay trips by operating unless the text says that it is energised while healthy.  A three-phase
monitor is operated while all three of its inputs have their volts.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.model.devices import Device, Drive
from netcheck.model.panel import Panel
from netcheck.record import replace

ENERGISED, OPERATES = "energised_while_healthy", "operates_on_a_fault"


def watching(panel: Panel) -> Panel:
    """The panel with such a monitor moved by what feeds it; the very panel without any."""
    moved = {
        name: replace(panel.mechanisms[name], drive=Drive.COIL, coils=coils)
        for name, coils in _moved(panel)
    }
    return replace(panel, mechanisms={**panel.mechanisms, **moved}) if moved else panel


def taken_as_healthy(panel: Panel) -> tuple[str, ...]:
    """What is taken for granted of those whose text does not say it, a sentence each."""
    return tuple(
        f"{name} is energised while nothing is wrong, and fed but at rest it sees a fault; if "
        "it is made otherwise, write `operates on a fault` in its line"
        for name, device in panel.devices.items()
        if device.kind == "insulation monitor"
        and any(panel.mechanisms[one].moved_by_coil for one in device.mechanisms)
        and not device.values.get(ENERGISED)
    )


def _moved(panel: Panel) -> Iterator[tuple[str, tuple[int, ...]]]:
    """The mechanism of each, and the loads that feed it."""
    for device in panel.devices.values():
        loads = tuple(index for index in device.parts if panel.parts[index].load is not None)
        if _is_energised(device) and loads:
            for name in device.mechanisms:
                if panel.mechanisms[name].drive is Drive.PROCESS:
                    yield name, loads


def _is_energised(device: Device) -> bool:
    if device.kind in ("phase monitor", "insulation monitor"):
        return not device.values.get(OPERATES)
    return device.kind == "ground-fault relay" and bool(device.values.get(ENERGISED))
