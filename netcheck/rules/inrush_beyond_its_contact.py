"""A contact closes on a load that takes more, as it is switched on, than the contact may make.

It speaks where the text says what a contact may close on (`makes 30 A`): of the one load in
its path that takes most.  That is the load's own inrush or locked-rotor current where it is
said, the least that a motor's code letter stands for, and otherwise six times a motor's current
and ten times that of a lamp that is no LED.  Loads that start together
are not added up, so that what is told is surely met.

It keeps silent on contacts that do not say what they may make, and on loads of another kind
that say no inrush.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
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
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.rule import rule
from netcheck.telling import span_of


@rule(
    family=Family.DEVICE,
    severity=Severity.QUERY,
    summary="a contact closes on more inrush than it may make",
    why="its faces melt as it bounces, and one day it does not open again",
    source="inrush of lamps 10 times, of motors 6 times the steady current: relay data sheet, "
    "second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(CurrentPaths, StartingCurrents),
)
def find(view: View) -> Iterator[Outcome]:
    panel, paths, starting = view.panel, view[CurrentPaths], view[StartingCurrents].of
    told: set[tuple[str, str]] = set()
    for part in panel.parts:
        makes_a = _makes_a(panel, part)
        if part.conducts is not Conducts.CONTACT or makes_a is None or part.spare:
            continue
        rushes = [starting[n] for n in paths.loads_through(part) if n in starting]
        worst = max(rushes, key=lambda one: one.least_a, default=None)
        if worst is None or worst.least_a <= makes_a * (1 + 1e-6):
            continue
        if (part.device, worst.load.name) not in told:
            told.add((part.device, worst.load.name))
            yield _finding(panel, part, worst, makes_a)


def _makes_a(panel: Panel, part: Part) -> float | None:
    own = part.number("make_a")
    if own is None and part.role in ("output", "transistor", "pole"):
        return panel.devices[part.device].number("make_a")
    return own


def _finding(panel: Panel, part: Part, worst: StartingCurrent, makes_a: float) -> Finding:
    takes, makes = figures_apart("A", worst.least_a, makes_a)
    load = worst.load
    return Finding(
        f"`{load.name}` takes {takes} as it is switched on, and `{part.label}` may make {makes}",
        Place(span_of(panel, part), f"makes {makes}"),
        devices=(part.device, load.device),
        condition=f"{part.label} {load.name}",
        related=(Place(panel.devices[load.device].span, f"takes {takes}"),),
        working=(
            load.working,
            worst.working,
            Working(f"{part.label} may make", makes_a, "A", "as described"),
        ),
        help="use a contact made for such loads, a contactor behind it, or limit the inrush",
    )
