"""A motor of more horsepower than the contact, pole or disconnect that switches it is rated for.

It speaks where a contactor, relay, switch or disconnect says `5 hp at 240 V AC`: of the largest
motor whose current passes it, held against the ratings at the lowest said voltage that is not
below the motor's.  Where there are two at that voltage, the smaller is a single-phase motor's.

It keeps silent on devices that say no horsepower, on motors behind a drive, which the drive
switches, and where no rating reaches the voltage (`contact beyond its rated voltage`).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import WATTS_IN_A_HP, LoadCurrent
from netcheck.finding import (
    Family,
    Finding,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.model.devices import Device, Part
from netcheck.model.panel import Panel
from netcheck.rounding import with_slack
from netcheck.rule import rule
from netcheck.telling import span_of

SAME_VOLTAGE = 1.1
"""230 V on the motor's plate is 240 V on the contact's."""


@rule(
    family=Family.DEVICE,
    severity=Severity.DEFECT,
    summary="a motor is larger than what switches it is rated for",
    why="it makes the motor's starting current and must break it stalled: it welds, or burns",
    source="NEC 430.83, 430.109, 430.110: horsepower of controllers and disconnects",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(CurrentPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    paths = view[CurrentPaths]
    for device in view.panel.devices.values():
        told: set[str] = set()
        for part in (view.panel.parts[index] for index in device.parts):
            ratings = _ratings(device, part)
            numbers = paths.loads_through(part) if ratings else ()
            for load in (paths.loads[number] for number in numbers):
                allowed = _allowed(ratings, load)
                too_large = allowed and with_slack(allowed[0]) < _power_w(load)
                if allowed and too_large and load.device not in told:
                    told.add(load.device)
                    yield _finding(view.panel, part, load, *allowed)


def _ratings(device: Device, part: Part) -> dict[float, list[float]]:
    """The watts that a contact or pole may switch, by volts."""
    said = {**device.values, **dict(part.said)} if part.mechanism or part.role == "pole" else {}
    found: dict[float, list[float]] = {}
    for key, power in said.items():
        volts = said.get(key.replace("_power", "_rating"))
        if not key.startswith("horsepower") or not key.endswith("_power"):
            continue
        if isinstance(volts, float) and isinstance(power, float):
            found.setdefault(volts, []).append(power)
    return found


def _allowed(ratings: dict[float, list[float]], load: LoadCurrent) -> tuple[float, float] | None:
    """What counts for the motor, W, and the volts it is said for; None where nothing does."""
    made = load.parts[0].load
    if made is None or made.works != "motor" or made.volts is None:
        return None
    reaching = [volts for volts in ratings if volts * SAME_VOLTAGE >= made.volts]
    if not reaching:
        return None
    volts = min(reaching)
    return (max if load.three_phase else min)(ratings[volts]), volts


def _power_w(load: LoadCurrent) -> float:
    made = load.parts[0].load
    return (made.power_w if made is not None else None) or 0.0


def _finding(
    panel: Panel, part: Part, load: LoadCurrent, allowed_w: float, volts: float
) -> Finding:
    motor, most = _in_words(panel, _power_w(load)), _in_words(panel, allowed_w)
    return Finding(
        f"`{load.name}` of {motor} is too large for `{part.device}`, rated {most} at {volts:g} V",
        Place(span_of(panel, part), f"rated {most}"),
        devices=(part.device, load.device),
        related=(Place(panel.devices[load.device].span, motor),),
        working=(
            Working(f"{load.name} is of", motor, "", "as described"),
            Working(f"{part.device} is rated for", most, "", f"as described, at {volts:g} V"),
        ),
        help="fit one with the horsepower, or a contactor that has it",
    )


def _in_words(panel: Panel, power_w: float) -> str:
    if panel.settings.practice.iec:
        return f"{power_w / 1000:.3g} kW"
    return f"{power_w / WATTS_IN_A_HP:.3g} hp"
