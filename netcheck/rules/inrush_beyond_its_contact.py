"""A contact closes on a load that takes more, as it is switched on, than the contact may make.

It speaks where the text says what a contact may close on (`makes 30 A`): of the one load in
its path that takes most.  That is the load's own inrush or locked-rotor current where it is
said, and otherwise six times a motor's current and ten times that of a lamp that is no LED.
Loads that start together are not added up, so that what is told is surely met.

It keeps silent on contacts that do not say what they may make, and on loads of another kind
that say no inrush.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_currents import LoadCurrent
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
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.rule import rule
from netcheck.telling import span_of

TIMES = {"motor": 6.0, "lamp": 10.0}
"""Inrush over steady current where none is said: relay data, second-hand."""


@record
class _Inrush:
    """What a load takes as it is switched on, A, and where that comes from."""

    load: LoadCurrent
    amperes: float
    source: str
    said: bool


@rule(
    family=Family.DEVICE,
    severity=Severity.QUERY,
    summary="a contact closes on more inrush than it may make",
    why="its faces melt as it bounces, and one day it does not open again",
    source="inrush of lamps 10 times, of motors 6 times the steady current: relay data sheet, "
    "second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(CurrentPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    panel, paths = view.panel, view[CurrentPaths]
    told: set[tuple[str, str]] = set()
    for part in panel.parts:
        makes_a = _makes_a(panel, part)
        if part.conducts is not Conducts.CONTACT or makes_a is None or part.spare:
            continue
        rushes = [_inrush(panel, paths.loads[n]) for n in paths.loads_through(part)]
        worst = max(
            (one for one in rushes if one is not None), key=lambda one: one.amperes, default=None
        )
        if worst is None or worst.amperes <= makes_a * (1 + 1e-6):
            continue
        if (part.device, worst.load.name) not in told:
            told.add((part.device, worst.load.name))
            yield _finding(panel, part, worst, makes_a)


def _makes_a(panel: Panel, part: Part) -> float | None:
    own = part.number("make_a")
    if own is None and part.role in ("output", "transistor", "pole"):
        return panel.devices[part.device].number("make_a")
    return own


def _inrush(panel: Panel, load: LoadCurrent) -> _Inrush | None:
    """None where it is neither said nor known of such loads."""
    device, part = panel.devices[load.device], load.parts[0]
    made = part.load

    def said(key: str) -> float | None:
        found = (part.number(key), device.number(key), device.number(f"coil_{key}"))
        return next((number for number in found if number is not None), None)

    own_a, own_va = said("locked_a") or said("inrush_a"), said("inrush_va")
    if own_a is None and own_va is not None and made is not None and made.volts:
        own_a = own_va / made.volts
    if own_a is not None:
        return _Inrush(load, own_a, "as described", True)
    times = TIMES.get(made.works) if made is not None else None
    if times is None or load.unknown or device.values.get("led"):
        return None
    return _Inrush(load, load.current_a * times, f"{times:g} times its current", False)


def _finding(panel: Panel, part: Part, worst: _Inrush, makes_a: float) -> Finding:
    takes, makes = figures_apart("A", worst.amperes, makes_a)
    load = worst.load
    return Finding(
        f"`{load.name}` takes {takes} as it is switched on, and `{part.label}` may make {makes}",
        Place(span_of(panel, part), f"makes {makes}"),
        devices=(part.device, load.device),
        condition=f"{part.label} {load.name}",
        related=(Place(panel.devices[load.device].span, f"takes {takes}"),),
        working=(
            load.working,
            Working(f"inrush of {load.name}", worst.amperes, "A", worst.source, worst.said),
            Working(f"{part.label} may make", makes_a, "A", "as described"),
        ),
        help="use a contact made for such loads, a contactor behind it, or limit the inrush",
    )
