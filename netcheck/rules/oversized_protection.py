"""A breaker or fuse larger than what it protects allows: conductor, motor or transformer.

Conductors: the next standard rating above what they carry, to 800 A (NEC 240.4(B), (C)),
and the small-conductor limits (240.4(D)).  Motor circuits: 430.52 with the next standard
rating up, for several motors 430.62, control conductors tapped from them 430.72(B).
Transformers: 450.3(B) and 430.72(C)(4).  In IEC practice: no more than the conductor
carries.

It keeps silent on taps within their length and share (240.21(B)), which end in a device
that fits them, and on the raised ratings for motors that cannot start (430.52(C)(1)
exception 2), which need an acceptance.
"""

from collections.abc import Container, Iterator

from netcheck.case import View
from netcheck.facts.beyond_wires import BeyondWires
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.equipment_protection import EquipmentFault, EquipmentProtection
from netcheck.facts.protection import Holds
from netcheck.facts.wire_groups import by_cause, called, others_in_words
from netcheck.facts.wire_protection import Fault, WireFault, WireProtection
from netcheck.figure import figure, figures_apart
from netcheck.finding import (
    Family,
    Finding,
    NotChecked,
    NotDecided,
    Outcome,
    Place,
    ReferenceKind,
    Severity,
    Working,
)
from netcheck.network.traces import told
from netcheck.rule import rule
from netcheck.states.answers import Reached, Undecided
from netcheck.states.witness import tell


@rule(
    family=Family.UNPROTECTED_BRANCH,
    severity=Severity.DANGER,
    summary="a breaker or fuse is larger than what it protects allows",
    why="the conductor or winding overheats at currents that the device carries for ever",
    source="NEC 240.4, 430.52, 450.3(B); 430.62, 430.72(B) and IEC 60364-4-43 433.1 from memory",
    kind=ReferenceKind.STANDARD,
    requires=(WireProtection, EquipmentProtection, BeyondWires, CurrentPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    equipment = {fault.ahead.by: fault for fault in view[EquipmentProtection].faults}
    faults = [one for one in view[WireProtection].faults if one.fault is Fault.TOO_LARGE]
    of_wires = [one for one in faults if not _is_told_by(equipment.get(one.ahead.by), one)]
    wires = {one.wire.index for one in of_wires}
    for group in by_cause(of_wires, lambda one: _marks(view, one, wires)):
        answer = next((one.fed.answer for one in group if one.fed), None)
        if isinstance(answer, Undecided):
            name = panel.wire_name(group[0].wire)
            reason = f"whether `{group[0].ahead.by}` feeds `{name}`: {answer.reason}"
            yield NotDecided(reason, Place(group[0].wire.span))
        else:
            yield _of_wires(view, group)
    named = {one.ahead.by for one in of_wires}
    for fault in view[EquipmentProtection].faults:
        if fault.allowed is None:
            place = Place(panel.devices[fault.equipment[0]].span)
            yield NotChecked(fault.missing, place, fault.equipment)
        elif fault.ahead.by not in named:
            yield _of_equipment(view, fault)


def _is_told_by(equipment: EquipmentFault | None, fault: WireFault) -> bool:
    """Whether what the same device feeds allows it even less than the wire does."""
    if equipment is None or equipment.allowed is None or fault.allowed is None:
        return False
    return equipment.allowed.amperes <= fault.allowed.amperes


def _marks(
    view: View, fault: WireFault, faulty: Container[int | None]
) -> Iterator[tuple[str, int | None]]:
    """One cause with the wire that leads to it, and with the other lines of its loads."""
    yield ("wire", fault.wire.index)
    ahead_of_it = view[BeyondWires].before.get(fault.wire.index)
    if ahead_of_it in faulty:
        yield ("wire", ahead_of_it)
    for load in view[CurrentPaths].loads_on(fault.wire.index):
        yield ("load", load)


def _of_wires(view: View, group: list[WireFault]) -> Finding:
    panel = view.panel
    worst = min(group, key=lambda one: one.allowed.amperes if one.allowed else 0.0)
    assert worst.allowed is not None
    assert worst.limit is not None
    assert worst.fed is not None
    assert isinstance(worst.fed.answer, Reached)
    witness = tell(panel, worst.fed.answer)
    others = [one.wire for one in group if one is not worst]
    at_end = worst.ahead.holds is Holds.NOTHING
    rating_a = view[BeyondWires].of[worst.wire.index].largest_a if at_end else worst.ahead.amperes
    rating, most = figures_apart("A", rating_a, worst.allowed.amperes)
    who = f"the device at its end, {rating}," if at_end else f"`{worst.ahead.by}` of {rating}"
    name = panel.wire_name(worst.wire)
    return Finding(
        f"{who} is too large for `{name}`{others_in_words(len(others))}: no more than {most}",
        Place(worst.wire.span, f"{worst.limit.size} {worst.limit.material}"),
        devices=(worst.ahead.by,),
        wires=called(panel, [worst.wire, *others]),
        condition=f"{worst.wire.a} to {worst.wire.b}",
        related=(
            Place(panel.devices[worst.ahead.by].span, rating),
            *(Place(wire.span, "this one too") for wire in others),
        ),
        state=witness.state,
        steps=witness.steps,
        path=told(panel, list(worst.fed.path), worst.wire),
        working=(
            *worst.allowed.working,
            Working("largest device", worst.allowed.amperes, "A", worst.allowed.rule),
        ),
        assumed=worst.limit.assumed,
        help=f"a device of {most}, or a conductor that may have {rating}",
    )


def _of_equipment(view: View, fault: EquipmentFault) -> Finding:
    panel, allowed = view.panel, fault.allowed
    assert allowed is not None
    rating, most = figures_apart("A", fault.ahead.amperes, allowed.amperes)
    names = " and ".join(f"`{name}`" for name in fault.equipment)
    return Finding(
        f"`{fault.ahead.by}` of {rating} is too large for {names}: no more than {most}",
        Place(panel.devices[fault.ahead.by].span, rating),
        devices=(fault.ahead.by, *fault.equipment),
        condition=f"for {' and '.join(fault.equipment)}",
        related=tuple(
            Place(panel.devices[name].span, "too small for it")
            for name in fault.equipment
            if name in panel.devices
        ),
        working=(
            *allowed.working,
            Working("largest device", allowed.amperes, "A", allowed.rule),
        ),
        help=f"a device of no more than {figure(allowed.amperes, 'A')}",
    )
