"""A contact or electronic output that never carries as much current as it needs.

It speaks where the text says the least current of a contact, output or two-wire sensor
(`needs 5 mA`), and all the loads it may feed take less together, as rated.

It keeps silent where the text does not say a least current, where a load's current is not
known, and where the loads reach it together only.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.current_paths import CurrentPaths
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
from netcheck.telling import listed, span_of


@rule(
    family=Family.DEVICE,
    severity=Severity.QUERY,
    summary="a contact carries less current than it needs",
    why="a film of oxide on the contact is not broken through, an electronic one does not hold",
    source="least currents of relay contacts and two-wire sensors: makers' data, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(CurrentPaths,),
)
def find(view: View) -> Iterator[Outcome]:
    panel, paths = view.panel, view[CurrentPaths]
    for part in panel.parts:
        least_a = _least_a(panel, part)
        if part.conducts is not Conducts.CONTACT or not least_a or part.spare:
            continue
        loads = [paths.loads[number] for number in paths.loads_through(part)]
        total_a = sum(load.current_a for load in loads)
        if not loads or any(load.unknown for load in loads) or total_a >= least_a:
            continue
        names = [load.name for load in loads]
        carries, needs = figures_apart("A", total_a, least_a)
        yield Finding(
            f"`{part.label}` carries {carries} for {listed(names)}, and needs {needs}",
            Place(span_of(panel, part), f"needs {needs}"),
            devices=(part.device, *dict.fromkeys(load.device for load in loads)),
            condition=part.label,
            working=(
                *(load.working for load in loads),
                Working(f"through {part.label}", total_a, "A", "the sum of these"),
                Working(f"{part.label} needs", least_a, "A", "as described"),
            ),
            help="use a contact for small currents, or a resistor beside the load",
        )


def _least_a(panel: Panel, part: Part) -> float | None:
    if part.least_a is None and part.role in ("output", "transistor"):
        return panel.devices[part.device].number("least_a")
    return part.least_a
