"""Filters that send so much to ground that a ground-fault device may trip.

It speaks of a breaker, disconnect or receptacle that says `trips at 30 mA to ground`, where the
loads in its circuit that say what they `leak` to ground come to more than half of that, or to
more than 4 mA where it is for people (5 or 6 mA): from there on it may trip.

It keeps silent on loads that say no leakage, and on ground-fault relays, whose current
transformer the text does not place.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.figure import figure, figures_apart
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
from netcheck.rounding import with_slack
from netcheck.rule import rule
from netcheck.telling import listed

HALF = 0.5
"""Of what it is rated to trip at it may trip from: IEC 61008-1, from memory."""
FOR_PEOPLE_A, FOR_PEOPLE_FROM_A = 0.006, 0.004
"""One that trips at so much may do so from 4 mA on: class A of UL 943, from memory."""


@rule(
    family=Family.DEVICE,
    severity=Severity.QUERY,
    summary="filters leak so much to ground that a ground-fault device may trip",
    why="it trips without a fault, until somebody takes it out",
    source="IEC 61008-1: trips from half of its rated current on; UL 943; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(CurrentPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    for device in panel.devices.values():
        trips_a = device.number("ground_fault_a")
        leaking = _leaking(view, device) if trips_a else []
        leaks_a = sum(one.number("ground_leakage_a") or 0.0 for one in leaking)
        if trips_a and leaks_a > with_slack(_may_trip_a(trips_a)):
            yield _finding(panel, device, leaking, leaks_a, trips_a)


def _may_trip_a(trips_a: float) -> float:
    return FOR_PEOPLE_FROM_A if trips_a <= FOR_PEOPLE_A else trips_a * HALF


def _leaking(view: View, device: Device) -> list[Device]:
    """What hangs behind any of its poles and says that it leaks, each once."""
    panel, paths = view.panel, view[CurrentPaths]
    poles = [panel.parts[index] for index in device.parts if panel.parts[index].load is None]
    numbers = {number for pole in poles for number in paths.loads_through(pole)}
    names = dict.fromkeys(paths.loads[number].device for number in sorted(numbers))
    return [one for name in names if (one := panel.devices[name]).number("ground_leakage_a")]


def _finding(
    panel: Panel, device: Device, leaking: list[Device], leaks_a: float, trips_a: float
) -> Finding:
    leaks, trips = figures_apart("A", leaks_a, trips_a)
    may_a = _may_trip_a(trips_a)
    names = [one.name for one in leaking]
    return Finding(
        f"{listed(names)} {'leak' if len(names) > 1 else 'leaks'} {leaks} to ground, and "
        f"`{device.name}` trips at {trips}, perhaps from {figure(may_a, 'A')} on",
        Place(device.span, f"trips at {trips}"),
        devices=(device.name,),
        condition="leakage",
        related=tuple(Place(one.span, "leaks to ground") for one in leaking),
        working=(
            *(
                Working(f"{one.name} leaks", one.number("ground_leakage_a") or 0.0, "A",
                        "as described")
                for one in leaking
            ),
            Working(f"{device.name} may trip from", may_a, "A",
                    "IEC 61008-1, UL 943", confirmed=False),
        ),
        help="divide them among several such devices, or feed the filters past them",
    )  # fmt: skip
