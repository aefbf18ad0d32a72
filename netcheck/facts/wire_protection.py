"""Every ungrounded wire that some way of feeding leaves without a device that fits it.

What the trade allows is known: leads of a service or a battery that end in devices, taps
and secondary conductors within their length (NEC 240.21), motor circuits, control
conductors of motor circuits, class 2.  A supply's current limit must be within what the
wire carries, and so must a device on the other side of a transformer.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from netcheck.case import View, concludes
from netcheck.facts.beyond_wires import Beyond, BeyondWires
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.device_limits import (
    DeviceLimit,
    of_control_wire,
    of_motors,
    of_wire,
)
from netcheck.facts.feeding_ways import FedBy, FeedingWays
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort, is_control
from netcheck.facts.protection import Ahead, Holds, Protection
from netcheck.facts.wire_limits import WireLimit, WireLimits
from netcheck.model.devices import Device
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.states.answers import Never
from netcheck.tables.lookup import Lookup, NotTabulated, reaches

FOOT_M = 0.3048
IEC_TAP_M = 3.0
"""IEC 60204-1 7.2.8, from memory."""


class Fault(StrEnum):
    UNPROTECTED = "no device opens"
    TOO_LARGE = "its device is too large"
    UNKNOWN = "not said"


@record
class WireFault:
    """One wire that one way of feeding leaves unprotected, or that could not be judged.

    `limit` is what it may carry, `allowed` the largest device it may have; `missing` says
    what the text does not, of `who`: a device or, where empty, the wire itself.
    """

    wire: Wire
    fault: Fault
    ahead: Ahead
    limit: WireLimit | None = None
    allowed: DeviceLimit | None = None
    fed: FedBy | None = None
    missing: str = ""
    who: str = ""


@record
class WireProtection:
    faults: tuple[WireFault, ...]
    before: dict[int, int | None]


@concludes(Protection, BeyondWires, WireLimits, LoadCurrents, CurrentPaths, FeedingWays)
def find_wire_protection(view: View) -> WireProtection:
    judge = Judge(view)
    return WireProtection(tuple(judge.faults()), view[BeyondWires].before)


class Judge:
    """Judges wires by what stands ahead of them in one way of feeding."""

    def __init__(self, view: View) -> None:
        self.protection = view[Protection]
        self.sections = self.protection.sections
        self.panel = self.sections.panel
        self.beyond = view[BeyondWires].of
        self.limits = view[WireLimits]
        self.paths = view[CurrentPaths]
        self.loads = view[LoadCurrents].loads
        self.ways = view[FeedingWays]
        self._of_make: dict[tuple[int, bool], DeviceLimit] = {}
        self.loads_in: dict[int, list[LoadCurrent]] = {}
        for load in self.loads:
            ends = dict.fromkeys(end for part in load.parts for end in (part.a, part.b))
            for section in dict.fromkeys(self.sections.of.get(end, -1) for end in ends):
                self.loads_in.setdefault(section, []).append(load)

    def faults(self) -> Iterator[WireFault]:
        for wire in self.panel.wires:
            section = self.sections.of.get(wire.a, -1)
            for ahead in self.protection.ways.get(section, ()):
                fault = self.fault(wire, ahead)
                if fault is None:
                    continue
                if fault.fault is Fault.UNKNOWN:
                    yield fault
                    break
                fed = self.ways.to(ahead, wire)
                if not isinstance(fed.answer, Never):
                    yield WireFault(wire, fault.fault, ahead, fault.limit, fault.allowed, fed)
                    break

    def fault(self, wire: Wire, ahead: Ahead) -> WireFault | None:
        """What is wrong with a wire fed in one way; None where nothing is."""
        beyond = self.beyond.get(wire.index, Beyond())
        holds = ahead.holds
        if holds is Holds.CLASS_2 or wire.properties.class_2:
            return None
        if holds is Holds.UNKNOWN:
            reason = f"{ahead.by} does not say what protects its conductors"
            return WireFault(wire, Fault.UNKNOWN, ahead, missing=reason, who=ahead.by)
        if holds is Holds.UNRATED:
            reason = f"{ahead.by} does not say what current it is rated for"
            return WireFault(wire, Fault.UNKNOWN, ahead, missing=reason, who=ahead.by)
        if holds is Holds.NOTHING and not beyond.devices:
            if beyond.loads or beyond.sources:
                return WireFault(wire, Fault.UNPROTECTED, ahead)
            return None  # an end that leads nowhere is its own fault
        if holds is Holds.NOTHING and beyond.loads:
            return WireFault(wire, Fault.UNPROTECTED, ahead)
        limit = self.limits.of(wire)
        if isinstance(limit, str):
            return WireFault(wire, Fault.UNKNOWN, ahead, missing=limit)
        fault = self._held(limit, ahead, beyond)
        if fault is None and limit.only_above:
            return WireFault(wire, Fault.UNKNOWN, ahead, limit, missing=limit.only_above)
        return fault

    def _held(self, limit: WireLimit, ahead: Ahead, beyond: Beyond) -> WireFault | None:
        if ahead.holds is Holds.NOTHING:
            return self._lead(limit, ahead, beyond)
        if ahead.holds in (Holds.LIMIT, Holds.RATIO):
            return self._limited(limit, ahead, beyond)
        return self._behind_device(limit, ahead, beyond)

    # ---- leads: nothing ahead, a device at the end -------------------------------------------

    def _lead(self, limit: WireLimit, ahead: Ahead, beyond: Beyond) -> WireFault | None:
        """Of a service or battery the device at its end protects it (NEC 230.90, 240.21(H))."""
        if self.panel.devices[ahead.by].kind == "transformer":
            return self._secondary(limit, ahead, beyond)
        if beyond.devices > 1:
            return None
        if beyond.largest_a == float("inf"):
            reason = "the device at its end does not say what current it is rated for"
            return WireFault(limit.wire, Fault.UNKNOWN, ahead, limit, missing=reason)
        allowed = of_wire(limit, fuse=False)
        if reaches(allowed.amperes, beyond.largest_a):
            return None
        return WireFault(limit.wire, Fault.TOO_LARGE, ahead, limit, allowed)

    def _secondary(self, limit: WireLimit, ahead: Ahead, beyond: Beyond) -> WireFault | None:
        """Conductors of a transformer's secondary, up to their first device: NEC 240.21(C)."""
        if not beyond.ends_in_devices or not reaches(limit.steady.current_a, beyond.largest_a):
            return WireFault(limit.wire, Fault.UNPROTECTED, ahead, limit)
        if beyond.length_m == float("inf"):
            return WireFault(limit.wire, Fault.UNKNOWN, ahead, limit, missing="no length said")
        rules = ["transformer secondary, 10 ft"]
        if beyond.devices == 1:
            rules.append("transformer secondary, 25 ft")
        if any(beyond.length_m <= _longest_m(rule) for rule in rules):
            return None
        return WireFault(limit.wire, Fault.UNPROTECTED, ahead, limit)

    # ---- behind a limit, behind a device -------------------------------------------------------

    def _limited(self, limit: WireLimit, ahead: Ahead, beyond: Beyond) -> WireFault | None:
        if reaches(limit.steady.current_a, ahead.amperes):
            return None
        if ahead.holds is Holds.RATIO and beyond.ends_in_devices:
            return self._secondary(limit, ahead, beyond)
        return WireFault(limit.wire, Fault.UNPROTECTED, ahead, limit)

    def _behind_device(self, limit: WireLimit, ahead: Ahead, beyond: Beyond) -> WireFault | None:
        device = self.panel.devices[ahead.by] if ahead.holds is Holds.DEVICE else None
        allowed = self.allowed(limit, device, ahead)
        if reaches(allowed.amperes, ahead.amperes):
            return None
        if beyond.ends_in_devices:
            return self._tap(limit, allowed, ahead, beyond)
        if self.panel.settings.practice.iec and self._only_motors(limit.wire):
            reason = "what a short-circuit does to it behind this device is not computed"
            return WireFault(limit.wire, Fault.UNKNOWN, ahead, limit, missing=reason)
        return WireFault(limit.wire, Fault.TOO_LARGE, ahead, limit, allowed)

    def allowed(self, limit: WireLimit, device: Device | None, ahead: Ahead) -> DeviceLimit:
        """The most lenient of the rules that apply to what the wire feeds."""
        allowed = self._of_wire(limit, device is not None and device.kind == "fuse")
        if reaches(allowed.amperes, ahead.amperes) or self.panel.settings.practice.iec:
            return allowed
        others = self.loads_in.get(self.sections.of[ahead.entry], [])
        motors = [load for load in others if load.sort is Sort.MOTOR]
        fed = [self.loads[number] for number in self.paths.loads_on(limit.wire.index)]
        found: DeviceLimit | None = None
        if not motors:  # a feeder: they have devices of their own (NEC 240.4(G), 430.62)
            found = of_motors([load for load in fed if not is_control(load)], device)
        elif fed and all(is_control(load) for load in fed):
            found = of_control_wire(limit)
        elif any(load.sort is Sort.MOTOR for load in fed) and self._carries_a_third(
            limit, ahead, motors
        ):
            found = of_motors([load for load in others if not is_control(load)], device)
        if found is not None and found.amperes > allowed.amperes:
            return found
        return allowed

    def _of_wire(self, limit: WireLimit, fuse: bool) -> DeviceLimit:
        """Once for all wires of one make that lie alike: they share what they carry."""
        key = id(limit.steady), fuse
        if key not in self._of_make:
            self._of_make[key] = of_wire(limit, fuse)
        return self._of_make[key]

    def _carries_a_third(self, limit: WireLimit, ahead: Ahead, motors: list[LoadCurrent]) -> bool:
        """Where several motors share a device, each one's wires are taps (NEC 430.53(D))."""
        return len(motors) < 2 or reaches(3 * limit.steady.current_a, ahead.amperes)

    def _only_motors(self, wire: Wire) -> bool:
        fed = [self.loads[number] for number in self.paths.loads_on(wire.index)]
        return bool(fed) and all(load.sort is Sort.MOTOR for load in fed)

    def _tap(
        self, limit: WireLimit, allowed: DeviceLimit, ahead: Ahead, beyond: Beyond
    ) -> WireFault | None:
        too_large = WireFault(limit.wire, Fault.TOO_LARGE, ahead, limit, allowed)
        carried_a = limit.steady.current_a
        if not reaches(carried_a, beyond.largest_a):
            return too_large
        longest_m = max(
            (length_m for length_m, least_a in self._tap_rules(limit, ahead, beyond)
             if reaches(carried_a, least_a)),
            default=None,
        )  # fmt: skip
        if longest_m is None:
            return too_large
        if beyond.length_m == float("inf"):
            return WireFault(limit.wire, Fault.UNKNOWN, ahead, limit, missing="no length said")
        return None if beyond.length_m <= longest_m else too_large

    def _tap_rules(
        self, limit: WireLimit, ahead: Ahead, beyond: Beyond
    ) -> Iterator[tuple[float, float]]:
        """How long a tap may be, in m, if it carries at least so many amperes."""
        from netcheck.tables.protection import tap_minimum_ampacity_a

        if self.panel.settings.practice.iec:
            yield IEC_TAP_M, 0.0
            return
        leaves = not limit.conditions.inside_panel
        short = "10 ft feeder tap"
        yield (
            _longest_m(short),
            _figure(tap_minimum_ampacity_a(short, ahead.amperes)) if leaves else 0.0,
        )
        if beyond.devices == 1:
            long = "25 ft feeder tap"
            yield _longest_m(long), _figure(tap_minimum_ampacity_a(long, ahead.amperes))


def _longest_m(rule: str) -> float:
    from netcheck.tables.protection import tap_longest_ft

    return _figure(tap_longest_ft(rule)) * FOOT_M


def _figure(found: Lookup | NotTabulated) -> float:
    assert not isinstance(found, NotTabulated), found.reason
    return found.value
