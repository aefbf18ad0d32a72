"""A motor takes more as it starts than the breaker ahead opens at, at once.

It speaks where the current of the motor with its rotor locked is said, or the least that its
code letter stands for is known, and where that is more than what surely opens the breaker:
what the text says (`opens at once above`), the most that its trip can be set to, the upper limit
of its trip curve.

It keeps silent on a motor of which neither is said, behind a soft starter or a drive, or with
both ends of its windings brought out, which may start in star; on fuses, which melt in time;
and on what may open the breaker and need not: a range of the code letter, a curve between its
limits, the first half-wave, which is higher.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.far_faults import CURVES
from netcheck.facts.load_currents import LoadCurrent
from netcheck.facts.starting_currents import StartingCurrent, StartingCurrents
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
from netcheck.rounding import exceeds
from netcheck.rule import rule


@rule(
    family=Family.DEVICE,
    severity=Severity.DEFECT,
    summary="a breaker opens at once as the motor behind it starts",
    why="the motor never comes up to speed, and a larger breaker is soon put in",
    source="code letters: NEMA MG 1 10.37.2; trip curves of IEC 60898, from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(CurrentPaths, StartingCurrents),
)
def find(view: View) -> Iterator[Outcome]:
    panel, paths, starting = view.panel, view[CurrentPaths], view[StartingCurrents].of
    softly = {
        number
        for part in panel.parts
        if panel.devices[part.device].kind == "soft starter"
        for number in paths.loads_through(part)
    }
    for device in panel.devices.values():
        opens = _opens_above(device)
        if opens is None:
            continue
        through = {n for i in device.parts for n in paths.loads_through(panel.parts[i])}
        motors = [
            starting[number]
            for number in sorted(through - softly)
            if number in starting and _starts_at_once(paths.loads[number])
        ]
        known = [one for one in motors if not one.is_guess]
        worst = max(known, key=lambda one: one.least_a, default=None)
        if worst is not None and exceeds(worst.least_a, opens[0]):
            yield _finding(panel, device, worst, *opens)


def _opens_above(device: Device) -> tuple[float, str, bool] | None:
    """The current above which a breaker surely opens at once, A, where that comes from and whether
    it was read; None where nothing says it."""
    if device.kind != "breaker":
        return None
    set_a, most_a = device.number("instantaneous_a"), device.number("adjustable_high_a")
    if set_a:
        return set_a, "as described", True
    if most_a and device.values.get("instantaneous_only"):
        return most_a, "the most that it can be set to", True
    curve, rated_a = str(device.values.get("curve", "")).upper(), device.number("current")
    if curve in CURVES and rated_a:
        source = f"{CURVES[curve]:g} times its rating: curve {curve} of IEC 60898"
        return CURVES[curve] * rated_a, source, False
    return None


def _starts_at_once(load: LoadCurrent) -> bool:
    """Of a motor on its lines, with the whole voltage."""
    made = load.parts[0].load
    ends = {end for part in load.parts for end in (part.a, part.b)}
    return made is not None and made.works == "motor" and len(ends) <= 3


def _finding(
    panel: Panel, device: Device, worst: StartingCurrent, above_a: float, source: str, read: bool
) -> Finding:
    takes, limit = figures_apart("A", worst.least_a, above_a)
    at_least = "" if worst.most_a == worst.least_a else "at least "
    load = worst.load
    return Finding(
        f"`{load.name}` takes {at_least}{takes} as it starts, and `{device.name}` opens at once "
        f"above {limit}",
        Place(device.span, f"opens above {limit}"),
        devices=(device.name, load.device),
        condition=load.name,
        related=(Place(panel.devices[load.device].span, f"takes {at_least}{takes}"),),
        working=(
            load.working,
            worst.working,
            Working(f"{device.name} opens at once above", above_a, "A", source, read),
        ),
        help="set its trip higher as far as the motor's table allows, or use a breaker of a slower "
        "curve",
    )
