"""Wires that hang on a breaker or fuse which is no protection of a branch circuit.

A supplementary device protects what stands behind a branch-circuit device (NEC 240.10); a
breaker with an instantaneous trip only opens on short circuits, and never on an overload
(430.52(C)(3)).  Taken for wire, each leaves its circuit to what stands ahead of it; where
that would not protect a wire, the circuit has nothing else.  Circuits of control alone are
left out, for there supplementary devices are usual (UL 508A), and so are motors behind a
breaker that opens on short circuits: those need an overload, which is asked of each.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from netcheck.case import View, concludes
from netcheck.facts.beyond_wires import BeyondWires
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.feeding_ways import FeedingWays
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort, is_control
from netcheck.facts.protection import Ahead, Protection, protection_without
from netcheck.facts.wire_limits import WireLimits
from netcheck.facts.wire_protection import Fault, Judge, WireFault
from netcheck.model.devices import Device
from netcheck.model.wires import Wire
from netcheck.record import record

SUPPLEMENTARY, SHORTS_ONLY = "supplementary", "instantaneous_only"


@record
class Weak:
    """A weak device, the wires and loads that hang on it, and what stands ahead of it for the
    first of them: `fault` says why that is not enough."""

    device: Device
    wires: tuple[Wire, ...]
    loads: tuple[str, ...]
    fault: WireFault

    @property
    def ahead(self) -> Ahead:
        return self.fault.ahead


@record
class WeakDevices:
    """By what makes them weak: the word of the text that says so."""

    found: Mapping[str, tuple[Weak, ...]]


@concludes(Protection, BeyondWires, WireLimits, LoadCurrents, CurrentPaths, FeedingWays)
def find_weak_devices(view: View) -> WeakDevices:
    return WeakDevices({word: tuple(_found(view, word)) for word in (SUPPLEMENTARY, SHORTS_ONLY)})


def _found(view: View, word: str) -> Iterator[Weak]:
    devices = {name: one for name, one in view.panel.devices.items() if one.values.get(word)}
    if not devices:
        return
    protection, judge = view[Protection], Judge(view)
    without = protection_without(view.panel, protection.sections, devices)
    found: dict[str, list[tuple[Wire, WireFault]]] = {}
    for wire in protection.sections.panel.wires:
        held, bare = protection.worst(wire.a), without.worst(wire.a)
        if held is None or bare is None or held.by not in devices or not _fed(view, wire, word):
            continue
        fault = judge.fault(wire, bare)
        if fault is not None and fault.fault is not Fault.UNKNOWN:
            found.setdefault(held.by, []).append((wire, fault))
    for name, hanging in found.items():
        wires = tuple(wire for wire, _ in hanging)
        loads = dict.fromkeys(load for wire in wires for load in _fed(view, wire, word))
        yield Weak(devices[name], wires, tuple(loads), hanging[0][1])


def _fed(view: View, wire: Wire, word: str) -> list[str]:
    """The loads of a wire that need a branch-circuit device ahead of them, by name."""
    loads = [view[LoadCurrents].loads[n] for n in view[CurrentPaths].loads_on(wire.index)]
    return [load.name for load in loads if not is_control(load) and not _minded(load, word)]


def _minded(load: LoadCurrent, word: str) -> bool:
    return word == SHORTS_ONLY and load.sort is Sort.MOTOR
