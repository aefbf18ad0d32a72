"""Motors and transformers whose protective device is larger than their own rules allow.

Motors: NEC 430.52 and, where several share a device, 430.62.  Transformers: 450.3(B), by
how they are protected; 430.72(C)(4) for a control transformer below 2 A.  Motors on a
general branch circuit within 430.53(A) are no motor circuit.  In IEC practice no figure is
held: a motor's device is then judged by its conductors alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.beyond_wires import BeyondWires
from netcheck.facts.device_limits import DeviceLimit, of_motors
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort, is_control
from netcheck.facts.protection import Ahead, Holds, Protection
from netcheck.finding import Working
from netcheck.model.devices import Device
from netcheck.record import record, replace
from netcheck.rounding import exceeds


@record
class EquipmentFault:
    """One device that is too large for what it protects; `missing` where that is not known."""

    equipment: tuple[str, ...]
    ahead: Ahead
    allowed: DeviceLimit | None = None
    missing: str = ""


@record
class EquipmentCheck:
    """What was held against one device: motors of one circuit, or a transformer."""

    equipment: tuple[str, ...]
    ahead: Ahead
    allowed: DeviceLimit


@record
class EquipmentProtection:
    faults: tuple[EquipmentFault, ...]
    checks: tuple[EquipmentCheck, ...] = ()
    """All that was judged, whether it holds or not."""


@concludes(Protection, LoadCurrents, BeyondWires)
def find_equipment_protection(view: View) -> EquipmentProtection:
    if view[LoadCurrents].iec:
        return EquipmentProtection(())
    finder = _Finder(view)
    faults = (*finder.motors(), *finder.transformers())
    return EquipmentProtection(faults, tuple(finder.checks))


def _trip_at_once(
    motors: tuple[str, ...], ahead: Ahead, device: Device, allowed: DeviceLimit
) -> Iterator[EquipmentFault]:
    """Of a trip that is instantaneous only the setting is limited, not the rating."""
    set_a, most_a = device.number("instantaneous_a"), device.number("adjustable_high_a")
    if set_a is not None and exceeds(set_a, allowed.amperes):
        yield EquipmentFault(motors, replace(ahead, amperes=set_a), allowed)
    if set_a is None and (most_a is None or exceeds(most_a, allowed.amperes)):
        reason = f"{ahead.by} does not say at what current it opens at once"
        yield EquipmentFault((ahead.by,), ahead, None, reason)


class _Finder:
    def __init__(self, view: View) -> None:
        self.protection = view[Protection]
        self.panel = self.protection.sections.panel
        self.loads = view[LoadCurrents].loads
        self.beyond = view[BeyondWires].of
        self.of = self.protection.sections.of
        self.checks: list[EquipmentCheck] = []

    # ---- motors ------------------------------------------------------------------------------

    def motors(self) -> Iterator[EquipmentFault]:
        """Circuit by circuit: all loads that hang on one device in one section."""
        seen: set[tuple[str, tuple[str, ...]]] = set()
        for section, ways in self.protection.ways.items():
            ahead = ways[0]
            if ahead.holds not in (Holds.DEVICE, Holds.UPSTREAM):
                continue
            loads = [load for load in self._loads_in(section) if not is_control(load)]
            motors = tuple(load.name for load in loads if load.sort is Sort.MOTOR)
            if not motors or (ahead.by, motors) in seen:
                continue
            seen.add((ahead.by, motors))
            device = self.panel.devices[ahead.by] if ahead.holds is Holds.DEVICE else None
            if device is not None and device.values.get("motor_protector"):
                continue
            allowed = of_motors(loads, device)
            if allowed is None:
                continue
            if device is not None and device.values.get("instantaneous_only"):
                set_a = device.number("instantaneous_a")
                if set_a is not None:
                    set_to = replace(ahead, amperes=set_a)
                    self.checks.append(EquipmentCheck(motors, set_to, allowed))
                yield from _trip_at_once(motors, ahead, device, allowed)
            else:
                self.checks.append(EquipmentCheck(motors, ahead, allowed))
                if exceeds(ahead.amperes, allowed.amperes):
                    yield EquipmentFault(motors, ahead, allowed)

    def _loads_in(self, section: int) -> list[LoadCurrent]:
        return self._by_section.get(section, [])

    @cached_property
    def _by_section(self) -> dict[int, list[LoadCurrent]]:
        found: dict[int, list[LoadCurrent]] = {}
        for load in self.loads:
            ends = [end for part in load.parts for end in (part.a, part.b) if end in self.of]
            for section in dict.fromkeys(self.of[end] for end in ends):
                found.setdefault(section, []).append(load)
        return found

    # ---- transformers ------------------------------------------------------------------------

    def transformers(self) -> Iterator[EquipmentFault]:
        for index, source in enumerate(self.panel.sources):
            device = self.panel.devices[source.device]
            if device.kind != "transformer":
                continue
            ahead = self._ahead_of_primary(device, source.inputs)
            if ahead is None or ahead.holds not in (Holds.DEVICE, Holds.UPSTREAM):
                continue
            primary_a = device.number("primary_a")
            if primary_a is None:
                reason = f"{device.name} does not say its VA"
                yield EquipmentFault((device.name,), ahead, None, reason)
                continue
            allowed = self._of_transformer(device, index, primary_a, ahead)
            self.checks.append(EquipmentCheck((device.name,), ahead, allowed))
            if exceeds(ahead.amperes, allowed.amperes):
                yield EquipmentFault((device.name,), ahead, allowed)

    def _ahead_of_primary(self, device: Device, inputs: tuple[int, ...]) -> Ahead | None:
        ends = dict.fromkeys(
            end for part in inputs for end in (self.panel.parts[part].a, self.panel.parts[part].b)
        )
        found = [self.protection.worst(end) for end in ends if end in self.of]
        known = [ahead for ahead in found if ahead is not None]
        return min(known, key=lambda ahead: ahead.slackness, default=None)

    def _of_transformer(
        self, device: Device, index: int, primary_a: float, ahead: Ahead
    ) -> DeviceLimit:
        from netcheck.tables.lookup import NotTabulated
        from netcheck.tables.transformers import (
            BOTH_SIDES,
            MOTOR_CONTROL,
            PRIMARY_ONLY,
            transformer_device_max_a,
        )

        methods = [PRIMARY_ONLY]
        if self._secondary_protected(device, index):
            methods.append(BOTH_SIDES)
        if self._feeds_control_only(index):
            methods.append(MOTOR_CONTROL)
        fuse = ahead.holds is Holds.DEVICE and self.panel.devices[ahead.by].kind == "fuse"
        rated = Working(f"primary current of {device.name}", primary_a, "A", "VA / V, as described")
        found = []
        for method in methods:
            limit = transformer_device_max_a(method, "primary", primary_a, fuse)
            if not isinstance(limit, NotTabulated):
                found.append(DeviceLimit(limit.current_a, method, (rated, *limit.working)))
        return max(found, key=lambda limit: limit.amperes)

    def _secondary_protected(self, device: Device, index: int) -> bool:
        """Every way out of the secondary ends in devices that together fit 450.3(B)."""
        from netcheck.tables.lookup import NotTabulated
        from netcheck.tables.transformers import BOTH_SIDES, transformer_device_max_a

        secondary_a = device.number("secondary_a") or 0.0
        limit = transformer_device_max_a(BOTH_SIDES, "secondary", secondary_a)
        if isinstance(limit, NotTabulated):
            return False
        poles = [f"{device.name}:{mark}" for mark in self.panel.sources[index].poles]
        wired = [pole for pole in poles if pole in self.of and pole in self.panel.wires_at]
        return bool(wired) and all(self._ends_within(pole, limit.current_a) for pole in wired)

    def _ends_within(self, pole: str, limit_a: float) -> bool:
        """Whether all that leaves a pole ends in devices of no more than so much together."""
        ends = [self.beyond.get(wire.index) for wire in self.panel.wires_at[pole]]
        known = [end for end in ends if end is not None and end.ends_in_devices]
        together_a = sum(end.largest_a * end.devices for end in known)
        return len(known) == len(ends) and together_a <= limit_a * (1 + 1e-9)

    def _feeds_control_only(self, index: int) -> bool:
        source = self.panel.sources[index]
        sections = {
            self.of[f"{source.device}:{mark}"]
            for mark in source.poles
            if f"{source.device}:{mark}" in self.of
        }
        for section, ways in self.protection.ways.items():
            if any(way.source == index for way in ways):
                sections.add(section)
        loads = [load for section in sections for load in self._loads_in(section)]
        return bool(loads) and all(is_control(load) for load in loads)
