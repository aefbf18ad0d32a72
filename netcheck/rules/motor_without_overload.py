"""A motor with no overload in enough of its lines, one set too high, or one that stops nothing.

Single-phase and DC motors need one overload unit, three-phase motors one in each line
(NEC 430.37).  It may be set to 125 % of the nameplate current where the motor's service
factor is 1.15 or more, else to 115 % (430.32(A)(1)).  With its trip contact open, the
motor must be off in every reachable state, once relays have settled.

A breaker or fuse counts as an overload where it is small enough to be one.  Motors that
are thermally protected, or fed by a drive, need none of their own.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.motor_overloads import MotorOverload, MotorOverloads, MotorProtection
from netcheck.figure import figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DEFECT,
    summary="a motor has no overload that opens in time and stops it",
    why="a stalled or overloaded motor burns out, and may take its wires with it",
    source="NEC 430.32; 430.37 and IEC 60204-1 7.3 from memory",
    kind=ReferenceKind.STANDARD,
    requires=(MotorOverloads,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for motor in view[MotorOverloads].motors:
        if not motor.enough:
            yield _without(panel, motor)
            continue
        for overload in motor.overloads:
            yield from _setting(panel, motor, overload)
            yield from _stopping(panel, motor, overload)


def _without(panel: Panel, motor: MotorProtection) -> Finding:
    name = motor.motor.name
    some = f" in the line to {', '.join(f'`{line}`' for line in motor.bare)}"
    return Finding(
        f"`{name}` has no overload{some if motor.overloads else ''}",
        Place(panel.devices[name].span, "nothing here minds its current"),
        devices=(name, *(one.device.name for one in motor.overloads)),
        condition="no overload",
        help="fit an overload relay or a motor protector, set to the nameplate current",
    )


def _setting(panel: Panel, motor: MotorProtection, overload: MotorOverload) -> Iterator[Outcome]:
    from netcheck.tables.motors import overload_max_pct

    name, device = motor.motor.name, overload.device.name
    place = Place(panel.devices[device].span)
    if overload.setting_a is None:
        yield NotChecked(f"{device} does not say what it is set to", place, (device,))
        return
    nameplate_a = motor.motor.number("full_load_a")
    if motor.most_a is None or nameplate_a is None:
        reason = f"{name} does not say what its nameplate says it draws at full load"
        yield NotChecked(reason, Place(panel.devices[name].span), (name,))
        return
    if overload.setting_a <= motor.most_a * (1 + 1e-9):
        return
    service_factor = motor.motor.number("service_factor")
    is_set, most = figures_apart("A", overload.setting_a, motor.most_a)
    yield Finding(
        f"`{device}` is set to {is_set}, and `{name}` allows {most}",
        Place(panel.devices[device].span, f"set to {is_set}"),
        devices=(device, name),
        condition="set too high",
        related=(Place(panel.devices[name].span, "for this motor"),),
        working=(
            Working(f"nameplate current of {name}", nameplate_a, "A", "as described"),
            overload_max_pct(service_factor, None).working,
            Working("largest setting", motor.most_a, "A", "the product of these"),
        ),
        assumed=() if service_factor else (f"{name} has no service factor",),
        help="set it to the nameplate current",
    )


def _stopping(panel: Panel, motor: MotorProtection, overload: MotorOverload) -> Iterator[Outcome]:
    name, device = motor.motor.name, overload.device.name
    place = Place(panel.devices[device].span, "its trip contact stops nothing")
    if isinstance(overload.runs_on, Undecided):
        reason = f"whether `{device}` stops `{name}`: {overload.runs_on.reason}"
        yield NotDecided(reason, place, (device, name))
    elif isinstance(overload.runs_on, Reached):
        witness = tell(panel, overload.runs_on)
        yield Finding(
            f"`{name}` runs on while `{device}` is tripped",
            place,
            devices=(device, name),
            condition="does not stop it",
            related=(Place(panel.devices[name].span, "this motor runs on"),),
            state=witness.state,
            steps=witness.steps,
            help="put its trip contact in the only way to the coil of the motor's contactor",
        )
