"""The largest protective device that a wire, a motor or a transformer may have ahead of it.

General circuits go by NEC 240.4, motor circuits by 430.52 and 430.62, control conductors
tapped from a motor circuit by 430.72(B).  In IEC practice a device may not exceed what the
wire carries (IEC 60364-4-43 433.1, from memory).
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.facts.load_currents import LoadCurrent, Sort
from netcheck.facts.wire_limits import WireLimit
from netcheck.finding import Working
from netcheck.model.devices import Device
from netcheck.record import record


@record
class DeviceLimit:
    """Amperes, the rule that sets them, and how they come about."""

    amperes: float
    rule: str
    working: tuple[Working, ...]


def of_wire(limit: WireLimit, fuse: bool) -> DeviceLimit:
    """By what the wire carries: NEC 240.4(B), (C) and (D); in IEC practice no more than that."""
    from netcheck.tables.conditions import IEC
    from netcheck.tables.protection import device_limit_a

    steady = limit.steady
    if limit.conditions.practice == IEC:
        return DeviceLimit(steady.current_a, "what it carries", steady.working)
    found = device_limit_a(limit.size, limit.material, steady, fuse)
    own = tuple(step.working for step in found.steps[1:])
    return DeviceLimit(found.current_a, found.governed_by, (*steady.working, *own))


def of_control_wire(limit: WireLimit) -> DeviceLimit | None:
    """Of a control conductor tapped from a motor circuit: NEC 430.72(B)."""
    from netcheck.tables.lookup import NotTabulated
    from netcheck.tables.protection import control_conductor_device_max_a

    laid = "inside" if limit.conditions.inside_panel else "leaving"
    found = control_conductor_device_max_a(limit.size, limit.material, laid)
    if isinstance(found, NotTabulated):
        return None
    return DeviceLimit(found.value, "motor control conductor", (found.working,))


def of_motors(loads: Iterable[LoadCurrent], device: Device | None) -> DeviceLimit | None:
    """Of a circuit with motors: the largest one's device, and the current of all else.

    NEC 430.52 with the next standard rating up, for several loads 430.62 (from memory).
    Motors of no more than 6 A may have 15 A, or 20 A up to 120 V (430.53(A)).  None where
    there is no motor whose current is known.
    """
    from netcheck.tables.lookup import Lookup
    from netcheck.tables.motors import motor_branch_device_max_a

    known = list(loads)
    motors = [load for load in known if load.sort is Sort.MOTOR and not load.unknown]
    if not motors:
        return None
    largest = max(motors, key=lambda load: load.current_a)
    found = motor_branch_device_max_a(
        largest.current_a, motor_device_kind(device), motor_kind(largest)
    )
    if not isinstance(found, Lookup):
        return None
    rest_a = sum(load.current_a for load in known) - largest.current_a
    working = [
        largest.working,
        Working(found.what, found.value, "A", found.source, found.confirmed),
    ]
    if rest_a > 1e-9:
        working.append(Working("the other loads", rest_a, "A", "NEC 430.62(A)", False))
    small_a = _small_motors_a(motors)
    if small_a > found.value + rest_a:
        working.append(Working("small motors together", small_a, "A", "NEC 430.53(A)", False))
    return DeviceLimit(max(found.value + rest_a, small_a), "motor circuit", tuple(working))


def _small_motors_a(motors: list[LoadCurrent]) -> float:
    if any(motor.current_a > 6 for motor in motors):
        return 0.0
    volts = max((motor.parts[0].load.volts or 0) for motor in motors if motor.parts[0].load)
    return 20.0 if volts <= 120 else 15.0


def motor_device_kind(device: Device | None) -> str:
    """Its column in table 430.52; what a text does not describe is taken for a breaker."""
    from netcheck.tables import motors

    if device is not None and device.values.get("instantaneous_only"):
        return motors.INSTANTANEOUS_TRIP
    if device is None or device.kind == "breaker":
        return motors.INVERSE_TIME_BREAKER
    slow = device.values.get("time_delay") and device.values.get("class") != "CC"
    return motors.DUAL_ELEMENT_FUSE if slow else motors.NON_TIME_DELAY_FUSE


def motor_kind(motor: LoadCurrent) -> str:
    from netcheck.tables import motors

    load = motor.parts[0].load
    assert load is not None
    if load.kind == "DC":
        return motors.DIRECT_CURRENT
    return motors.POLYPHASE if load.phases == 3 else motors.SINGLE_PHASE
