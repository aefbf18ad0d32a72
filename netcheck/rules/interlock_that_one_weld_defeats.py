"""One contact that welds lets both of an opposing pair close.

Asked of pairs declared `opposing` that everything whole keeps apart.  The contact welds at
any moment while it is closed; a main pole that welds keeps its circuit closed though its
contactor has let go, and the interlocking contact then closes unless it is declared a
`mirror contact`.

It keeps silent on pairs with a mechanical interlock, on those that can both be in anyway, and
on those that no contact of theirs keeps apart: these are other faults.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from netcheck.case import View
from netcheck.facts.defeated_interlocks import DefeatedInterlock, DefeatedInterlocks
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

if TYPE_CHECKING:
    from netcheck.states.single_faults import Broken


@rule(
    family=Family.CONTROL_SAFETY,
    severity=Severity.QUERY,
    summary="one welded contact lets both of an opposing pair close",
    why="contacts do weld, and the next command then shorts the lines or drives both ways",
    source="IEC 60204-1 9.3.4 and 9.4; double interlocking of reversing starters, from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(DefeatedInterlocks,),
)
def find(view: View) -> Iterator[Outcome]:
    for one in view[DefeatedInterlocks].pairs:
        first, second = one.pair.first, one.pair.second
        place = Place(view.panel.devices[first.device].span, "opposing")
        if isinstance(one.answer, Undecided):
            reason = f"whether one weld closes both `{first.name}` and `{second.name}`: "
            yield NotDecided(reason + one.answer.reason, place, (first.device, second.device))
        else:
            yield _finding(view, one, one.answer, place)


def _finding(view: View, one: DefeatedInterlock, broken: Broken, place: Place) -> Finding:
    from netcheck.states.single_faults import with_fault_told

    panel = view.panel
    first, second = one.pair.first, one.pair.second
    witness = tell(with_fault_told(panel, broken.fault), broken.reached)
    others = len(broken.alike)
    alike = f" (or one of {others} others)" if others else ""
    return Finding(
        f"`{first.name}` and `{second.name}` can both be closed, "
        f"once `{broken.fault.words}`{alike}",
        place,
        devices=(first.device, second.device),
        related=(Place(panel.devices[second.device].span, "the other one"),),
        condition=f"{first.name} {second.name}",
        state=dict(witness.state),
        steps=witness.steps,
        help="a mechanical interlock, or interlocking contacts that are mirror contacts of the "
        "poles and one more in series",
    )
