"""Breakers that interrupt more together with the device ahead than alone, and what spoils that.

Source: NEC 240.86(B), tested combinations, and 240.86(C): motors between the two devices feed a
fault too, through the lower one alone, and may draw no more than 1 % of what it interrupts.
From memory.
"""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent, Sort
from netcheck.facts.protection import Protection
from netcheck.model.devices import Device, Part, device_of
from netcheck.model.panel import Panel
from netcheck.record import record

MOTORS = 0.01
"""Of the lower device's own interrupting rating: NEC 240.86(C), from memory."""


@record
class SeriesRating:
    """`lower` can interrupt `together_a` behind `upper`, in A; `is_ahead` is whether that is the
    device just ahead of it; `motors` are those that `upper` feeds past `lower`."""

    lower: Device
    upper: Device
    alone_a: float
    together_a: float
    is_ahead: bool
    motors: tuple[LoadCurrent, ...]

    @property
    def motors_a(self) -> float:
        return sum(motor.current_a for motor in self.motors)


@record
class SeriesRatings:
    """By the name of the lower device."""

    of: dict[str, SeriesRating]

    def interrupts_a(self, device: Device) -> float | None:
        """What a device can interrupt where it stands; None where it does not say."""
        known = self.of.get(device.name)
        if known is not None and known.is_ahead:
            return max(known.alone_a, known.together_a)
        return device.number("interrupting_a")


@concludes(CurrentPaths, Protection)
def find_series_ratings(view: View) -> SeriesRatings:
    found = {}
    for device in view.panel.devices.values():
        together_a, by = device.number("combination_rated"), device.values.get("combination_by")
        upper = view.panel.devices.get(str(by))
        if device.kind in ("breaker", "fuse") and together_a and upper is not None:
            found[device.name] = _rating(view, device, upper, together_a)
    return SeriesRatings(found)


def _rating(view: View, lower: Device, upper: Device, together_a: float) -> SeriesRating:
    ends = [end for part in _parts(view.panel, lower) for end in (part.a, part.b)]
    ahead = {device_of(found.entry) for end in ends if (found := view[Protection].worst(end))}
    alone_a = lower.number("interrupting_a") or 0.0
    past = _through(view, upper) - _through(view, lower)
    loads = view[CurrentPaths].loads
    motors = tuple(loads[number] for number in sorted(past) if loads[number].sort is Sort.MOTOR)
    return SeriesRating(lower, upper, alone_a, together_a, upper.name in ahead, motors)


def _through(view: View, device: Device) -> set[int]:
    """The loads that may draw through any of a device's parts."""
    paths = view[CurrentPaths]
    return {number for part in _parts(view.panel, device) for number in paths.loads_through(part)}


def _parts(panel: Panel, device: Device) -> list[Part]:
    return [panel.parts[index] for index in device.parts]
