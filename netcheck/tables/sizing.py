"""The smallest conductor that would do, and which limit decides it."""

from __future__ import annotations

from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import record
from netcheck.tables.ampacity import ampacity, iec_sizes, nec_sizes
from netcheck.tables.conditions import IEC, Conditions
from netcheck.tables.lookup import CurrentLimit, NotTabulated, reaches
from netcheck.tables.protection import device_limit_a

SMALLEST_PERMITTED = "smallest permitted size"


@record
class SmallestSize:
    """The smallest size that suffices.

    `governed_by` names the limit that the next smaller size would break; `ampacity` and
    `device` are the limits of the size itself (`device` None where no device was asked for
    or none is limited by the conductor).
    """

    size: ConductorSize
    governed_by: str
    ampacity: CurrentLimit
    device: CurrentLimit | None


def smallest_size_for(
    current_a: float,
    conditions: Conditions,
    device_a: float | None = None,
    motor_circuit: bool = False,
    at_least: ConductorSize | None = None,
    fuse: bool = False,
) -> SmallestSize | NotTabulated:
    """The smallest tabulated size that carries `current_a` and is protected by its device.

    `current_a` is the sizing current, factors such as 125 % already in it.  `device_a` is
    the device ahead, or None for one chosen to fit the current.  `motor_circuit` frees
    the size from its device (NEC 240.4(G): there the overload protects together with a
    larger device).  `at_least` is the smallest size the practice permits for this use.
    In IEC practice the device may not exceed the capacity (from memory: IEC 60364-4-43
    433.1).
    """
    wanted_device_a = current_a if device_a is None else device_a
    governed_by = SMALLEST_PERMITTED
    without_value: NotTabulated | None = None
    for size in _sizes(conditions):
        if at_least is not None and size < at_least:
            continue
        carried = ampacity(size, conditions)
        if isinstance(carried, NotTabulated):
            without_value = carried
            continue
        device = None if motor_circuit else _device_limit(size, conditions, carried, fuse)
        if not reaches(carried.current_a, current_a):
            governed_by = carried.governed_by
        elif device is not None and not reaches(device.current_a, wanted_device_a):
            governed_by = device.governed_by
        else:
            return SmallestSize(size, governed_by, carried, device)
    if governed_by == SMALLEST_PERMITTED and without_value is not None:
        return without_value
    return NotTabulated(
        f"no tabulated {conditions.material} size carries {current_a:g} A under these conditions"
    )


def _sizes(conditions: Conditions) -> tuple[ConductorSize, ...]:
    if conditions.practice == IEC:
        return iec_sizes(conditions.method)
    return nec_sizes(conditions.material)


def _device_limit(
    size: ConductorSize, conditions: Conditions, carried: CurrentLimit, fuse: bool
) -> CurrentLimit:
    if conditions.practice == IEC:
        return carried
    return device_limit_a(size, conditions.material, carried, fuse)
