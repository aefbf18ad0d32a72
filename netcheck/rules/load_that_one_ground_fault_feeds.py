"""One wire that touches ground feeds a load past a contact in its return that is open.

Asked of coils, valves and motors, where a contact stands between them and the grounded side
of their source.  It speaks where, in some settled state, the load is energised
by way of the fault and would not be without it, and the fault shorts no source.

It keeps silent on overload contacts in the return, which the trade accepts, on contacts of
the relay itself and those that turn a motor round, on sources that are not grounded, and
where the contact is a stop's or the loads of a common return feed each other: that is told
by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from netcheck.case import View
from netcheck.facts.ground_fed import GroundFed, GroundFedLoads
from netcheck.facts.wire_groups import by_cause
from netcheck.finding import (
    Family,
    Finding,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.rule import rule
from netcheck.states.answers import Undecided
from netcheck.states.witness import tell
from netcheck.telling import listed

if TYPE_CHECKING:
    from netcheck.states.single_faults import Broken


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.DANGER,
    summary="one ground fault feeds a load past an open contact in its return",
    why="a wire rubs through, nothing trips, and what the contact should hold back runs",
    source="NEC 430.74; IEC 60204-1 9.4.3: contacts stand on the ungrounded side, second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(GroundFedLoads,),
)
def find(view: View) -> Iterator[Outcome]:
    for group in by_cause(view[GroundFedLoads].loads, lambda one: one.bypassed):
        first = group[0]
        place = Place(view.panel.devices[first.load.device].span, "switched in its return")
        if isinstance(first.answer, Undecided):
            reason = f"whether ground feeds `{first.load.name}`: {first.answer.reason}"
            yield NotDecided(reason, place, (first.load.device,))
        else:
            yield _finding(view, group, first.answer, place)


def _finding(view: View, group: list[GroundFed], broken: Broken, place: Place) -> Finding:
    from netcheck.states.single_faults import with_fault_told

    panel, first = view.panel, group[0]
    witness = tell(with_fault_told(panel, broken.fault), broken.reached)
    others = f" and {len(group) - 1} more" if len(group) > 1 else ""
    devices = [panel.mechanisms[name].device for name in first.bypassed]
    return Finding(
        f"`{first.load.name}`{others} can be fed past {listed(list(dict.fromkeys(devices)))}, "
        f"once `{broken.fault.words}`",
        place,
        devices=tuple(dict.fromkeys([*(one.load.device for one in group), *devices])),
        condition=first.load.name,
        related=tuple(Place(panel.devices[name].span, "in its return") for name in devices),
        state=dict(witness.state),
        steps=witness.steps,
        help="put the contact between the load and the ungrounded pole",
    )
