"""A coil between two ungrounded lines, switched in one of them, that one ground fault may hold in.

Its source is grounded between the lines, as 120/240 V and 208Y/120 V services are.  A wire on
the switched side that touches ground leaves the other line's volts against ground on the
coil, with the contact open and the fuse of its line blown.  It speaks where that is more
than the coil drops out at: what its text says, or, where it says nothing, the least that the
standard lets it drop out at.

It keeps silent where both lines are opened by the same device, on fuses, breakers, disconnects
and overload contacts, which open seldom and leave nothing that is meant to be off, and where
the coil works at that voltage: `load that one ground fault feeds`.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.half_held_coils import HalfHeld, HalfHeldCoils
from netcheck.facts.wire_groups import by_cause
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.rule import rule
from netcheck.telling import listed

BAND = "IEC 60947-4-1 8.2.1.2"


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.QUERY,
    summary="half its voltage may hold a coil in after one ground fault",
    why="the stop is pressed, the fuse has blown, and the contactor stays in",
    source="common practice, no source: coil between two lines of a grounded service",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(HalfHeldCoils,),
)
def find(view: View) -> Iterator[Outcome]:
    for group in by_cause(view[HalfHeldCoils].found, lambda one: one.devices):
        yield _finding(view, group)


def _finding(view: View, group: list[HalfHeld]) -> Finding:
    panel, first = view.panel, group[0]
    others = f" and {len(group) - 1} more" if len(group) > 1 else ""
    left, lets_go = figure(first.left_v, "V"), figure(first.lets_go_v, "V")
    source = "" if first.said else BAND
    return Finding(
        f"a wire of `{first.load.name}`{others} that touches ground past "
        f"{listed(list(first.devices))} leaves {left} of {figure(first.rated_v, 'V')} on it",
        Place(panel.devices[first.load.device].span, "between two lines, switched in one"),
        devices=tuple(dict.fromkeys([*(one.load.device for one in group), *first.devices])),
        condition=first.load.name,
        related=tuple(Place(panel.devices[one].span, "in one line only") for one in first.devices),
        working=(Working("surely out at and below", lets_go, "", source, first.said),),
        assumed=()
        if first.said
        else (f"`{first.load.name}` may hold above {lets_go}: {BAND}, from memory",),
        help="open both lines at once, or feed the control circuit from a transformer of which "
        "one side is grounded; or say at what volts the coil drops out",
    )
