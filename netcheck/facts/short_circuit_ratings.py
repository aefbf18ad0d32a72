"""What each part of the power circuits withstands in a short circuit, against what can flow there.

A part withstands what it says, or what it says together with the device ahead of it, if
that is the one it names; a breaker or fuse what it interrupts.  What can flow is what is
available at the device that protects the part, or at its source where that protects it;
behind a current-limited supply nothing is asked.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.fault_currents import FaultCurrents
from netcheck.facts.protection import Ahead, Protection
from netcheck.facts.solved_faults import SolvedFaults
from netcheck.model.devices import Conducts, Device, device_of
from netcheck.record import record
from netcheck.rounding import exceeds

POWER = frozenset((Conducts.JOINS, Conducts.CONTACT))


@record
class Withstand:
    """One part: what it withstands and by what word, what can flow there, A, and the device
    ahead."""

    device: Device
    withstand_a: float
    said: str
    available_a: float
    ahead: str

    @property
    def too_small(self) -> bool:
        return exceeds(self.available_a, self.withstand_a)


@record
class ShortCircuitRatings:
    """Every part that says a rating and is reached, in the order of the text."""

    parts: tuple[Withstand, ...]


@concludes(FaultCurrents, Protection, SolvedFaults)
def find_short_circuit_ratings(view: View) -> ShortCircuitRatings:
    return ShortCircuitRatings(tuple(_Finder(view).find()))


class _Finder:
    def __init__(self, view: View) -> None:
        self.panel = view.panel
        self.protection = view[Protection]
        self.most_a = {fault.device.name: fault.most_a for fault in view[FaultCurrents].devices}
        self.solved = view[SolvedFaults].devices

    def find(self) -> Iterator[Withstand]:
        for device in self.panel.devices.values():
            opens = device.kind in ("breaker", "fuse")  # by what it interrupts: series_ratings.py
            together_a = None if opens else device.number("combination_rated")
            if not device.number("withstand_a") and not together_a:
                continue
            ahead = self._ahead(device)
            available_a = self._available_a(ahead) if ahead is not None else None
            if ahead is not None and available_a is not None:
                withstand_a, said = self._withstand(device, ahead)
                yield Withstand(device, withstand_a, said, available_a, device_of(ahead.entry))

    def _ahead(self, device: Device) -> Ahead | None:
        """What protects the pole of the device that can have most current."""
        parts = [self.panel.parts[index] for index in device.parts]
        poles = {end for part in parts if part.conducts in POWER for end in (part.a, part.b)}
        found = [self.protection.worst(end) for end in sorted(poles) or device.terminals]
        known = [one for one in found if one is not None]
        return max(known, key=lambda one: self._available_a(one) or 0.0, default=None)

    def _available_a(self, ahead: Ahead) -> float | None:
        nearest = device_of(ahead.entry)
        if nearest in self.solved:
            return self.solved[nearest].with_source_a
        if nearest in self.most_a:
            return self.most_a[nearest]
        source = self.panel.sources[ahead.source]
        return None if source.current_limited else source.available_a

    def _withstand(self, device: Device, ahead: Ahead) -> tuple[float, str]:
        """The higher of what it says alone and with the device ahead."""
        alone_a = device.number("withstand_a") or 0.0
        together_a = device.number("combination_rated") or 0.0
        nearest = device_of(ahead.entry)
        if device.values.get("combination_by") == nearest and together_a > alone_a:
            return together_a, f"behind {nearest}, as described"
        return alone_a, "as described" if alone_a else f"not behind {nearest}"
