"""An equipment grounding conductor is smaller than its circuit's protective device asks for.

NEC 250.122 by the device ahead, in proportion where the circuit conductors are larger than
needed ((B)), never larger than the circuit conductors ((A)).  IEC 60204-1 table 1 by the
line conductors.  Grounding conductors are the wires between terminals marked PE and
grounding bars; each is judged for all that hangs on it.

It keeps silent on the grounding conductors of a service ahead of its main (250.66,
250.102), on class 2 circuits, and on equipment that nothing protects, which is its own
fault.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.grounding_conductors import GroundingConductors, GroundingFault
from netcheck.facts.wire_groups import by_cause, called, from_default, others_in_words, unsaid
from netcheck.figure import figure
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
)
from netcheck.model.panel import Panel
from netcheck.rule import rule


@rule(
    family=Family.UNDERSIZED_CONDUCTOR,
    severity=Severity.DANGER,
    summary="a grounding conductor is smaller than the device of its circuit asks for",
    why="it burns off before the device opens, and leaves the frame live",
    source="NEC 250.122; IEC 60204-1 table 1",
    kind=ReferenceKind.STANDARD,
    requires=(GroundingConductors,),
)
def find(view: View) -> Iterator[Outcome]:
    panel, conductors = view.panel, view[GroundingConductors]
    for group in by_cause(conductors.faults, lambda one: [(one.needed.equipment,)]):
        yield _finding(panel, group)
    yield from unsaid(panel, conductors.missing)
    for name, reason in conductors.unknown:
        yield NotChecked(reason, Place(panel.devices[name].span), (name,))


def _finding(panel: Panel, group: list[GroundingFault]) -> Finding:
    worst = min(group, key=lambda one: one.size)
    others = [one.wire for one in group if one is not worst]
    needed = worst.needed
    behind = "" if panel.settings.practice.iec else f" behind {figure(needed.ahead.amperes, 'A')}"
    verb = "is" if not others else "are"
    return Finding(
        f"`{panel.wire_name(worst.wire)}`{others_in_words(len(others))} {verb} {worst.size}, and "
        f"`{needed.equipment}`{behind} needs {needed.size} to ground it",
        Place(worst.wire.span, f"{worst.size}"),
        devices=(needed.equipment,),
        wires=called(panel, [worst.wire, *others]),
        condition=f"{worst.wire.a} to {worst.wire.b}",
        related=(
            Place(panel.devices[needed.equipment].span, "grounded by it"),
            *(Place(wire.span, "this one too") for wire in others),
        ),
        working=needed.working,
        assumed=from_default(worst.wire, "size"),
        help=f"use {needed.size} or larger",
    )
