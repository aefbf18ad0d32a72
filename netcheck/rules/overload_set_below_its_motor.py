"""An overload is set so far below its motor's nameplate current that it opens in ordinary work.

An overload relay, motor protector or soft starter opens within two hours at 120 % of what it is
set to: it speaks where the motor draws as much at full load.

It keeps silent between 100 and 120 %, where an overload may open or not, on plain breakers and
fuses, which have a rule of their own, on motors that say no full-load current, and on those
with both ends of their windings brought out, where an overload may carry the current of one
winding only.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.motor_overloads import MotorOverload, MotorOverloads
from netcheck.figure import figures_apart
from netcheck.finding import (
    Family,
    Finding,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.devices import Device
from netcheck.model.panel import Panel
from netcheck.rule import rule

OPENS_AT = 1.2
SOURCE = "IEC 60947-4-1, limits of operation of overload relays, from memory"


@rule(
    family=Family.DEVICE,
    severity=Severity.DEFECT,
    summary="an overload opens at what its motor draws at full load",
    why="it opens without a fault, and whoever is tired of it turns it up too far",
    source=SOURCE,
    kind=ReferenceKind.FROM_MEMORY,
    requires=(MotorOverloads,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for motor in view[MotorOverloads].motors:
        full_load_a = motor.motor.number("full_load_a")
        if full_load_a is None or _is_open_wound(panel, motor.motor):
            continue
        for overload in motor.overloads:
            if _opens_at(overload, full_load_a):
                yield _finding(panel, motor.motor, overload, full_load_a)


def _is_open_wound(panel: Panel, motor: Device) -> bool:
    """Whether every winding has both of its ends to itself."""
    windings = [part for index in motor.parts if (part := panel.parts[index]).load is not None]
    ends = {end for part in windings for end in (part.a, part.b)}
    return len(windings) > 1 and len(ends) == 2 * len(windings)


def _opens_at(overload: MotorOverload, full_load_a: float) -> bool:
    set_a = overload.device.number("setting_a")
    return set_a is not None and full_load_a >= OPENS_AT * set_a * (1 - 1e-9)


def _finding(panel: Panel, motor: Device, overload: MotorOverload, full_load_a: float) -> Finding:
    name, device = motor.name, overload.device
    set_a = device.number("setting_a") or 0.0
    is_set, draws = figures_apart("A", set_a, full_load_a)
    return Finding(
        f"`{device.name}` is set to {is_set}, and `{name}` draws {draws} at full load",
        Place(device.span, f"set to {is_set}"),
        devices=(device.name, name),
        condition="set too low",
        related=(Place(panel.devices[name].span, "this motor"),),
        working=(
            Working(f"nameplate current of {name}", full_load_a, "A", "as described"),
            Working("opens within two hours at", OPENS_AT * 100, "%", SOURCE),
            Working(f"that is of {device.name}", OPENS_AT * set_a, "A", "the product of these"),
        ),
        help="set it to the nameplate current, or fit one whose range goes so far",
    )
