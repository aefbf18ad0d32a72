"""Metal whose only way to ground is a rod.

It speaks of what must be grounded (`missing grounding conductor` says what that is) where
its grounding conductor leads to a ground rod, and by no wire to the PE of a source.  It says
what a fault draws through the rod, at the volts to ground of the source that feeds the
equipment, and whether the device ahead of it ever opens on that: a device carries its own
rating for ever.

It keeps silent on a rod beside a grounding conductor: that one clears the fault, and the
rod is lawful; in IEC practice also on a rod behind a device that trips on current to ground,
if the rod holds the metal below 50 V at that current (TT earthing, IEC 60364-4-41 411.5.3).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.rod_faults import RodFault, RodFaults
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
from netcheck.model.panel import Panel
from netcheck.rounding import exceeds
from netcheck.rule import rule
from netcheck.telling import listed, volts_in_words

HELD_BELOW_V = 50.0
"""Rod times residual current in a TT system: IEC 60364-4-41 411.5.3, from memory."""


@rule(
    family=Family.GROUNDING,
    severity=Severity.DANGER,
    summary="a ground rod is the only way to ground of metal that people touch",
    why="the earth lets a few amperes pass: no breaker opens, and the metal stays live",
    source="NEC 250.4(A)(5), 250.54: the earth is no path for fault current; from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(RodFaults,),
)
def find(view: View) -> Iterator[Outcome]:
    for fault in view[RodFaults].faults:
        if not (view.panel.settings.practice.iec and _is_held(fault)):
            yield _finding(view.panel, fault)


def _is_held(fault: RodFault) -> bool:
    """Whether it is TT earthing as IEC 60364 has it."""
    if fault.guard is None or fault.rod.number("resistance") is None:
        return False
    return not exceeds(fault.ohm * (fault.guard.number("ground_fault_a") or 0.0), HELD_BELOW_V)


def _finding(panel: Panel, fault: RodFault) -> Finding:
    island, rod = fault.island, fault.rod
    verb = "is" if len(island.devices) == 1 else "are"
    return Finding(
        f"{listed(island.devices)} {verb} grounded by the rod `{rod.name}` alone: {_draws(fault)}",
        Place(panel.wires_at[island.terminals[0]][0].span, "leads to a rod and no further"),
        devices=(*island.devices, rod.name),
        related=(Place(rod.span, "the rod"), *_device_ahead(panel, fault)),
        live=f"{volts_in_words(fault.volts)} to ground" if fault.volts else "",
        working=tuple(_working(fault)),
        assumed=() if rod.number("resistance") else (f"`{rod.name}`: {fault.ohm:g} ohm to earth",),
        help="run a grounding conductor with the circuit, back to where its source is grounded",
    )


def _draws(fault: RodFault) -> str:
    if not fault.volts:
        return "the earth is no way home for a fault"
    draws = f"a fault draws no more than {figure(fault.current_a, 'A')}"
    if fault.guard is not None:
        return f"{draws}, and only the ground-fault trip of `{fault.guard.name}` opens on it"
    if fault.opens is None:
        return f"{draws}, and nothing is known to open on it"
    device = f"`{fault.opens.by}` of {figure(fault.opens.amperes, 'A')}"
    if exceeds(fault.current_a, fault.opens.amperes):
        return f"{draws}, and {device} opens late, if the earth lets so much pass at all"
    return f"{draws}, and {device} never opens"


def _device_ahead(panel: Panel, fault: RodFault) -> Iterator[Place]:
    if fault.guard is not None:
        yield Place(fault.guard.span, "trips on current to ground")
    elif fault.opens is not None:
        label = f"carries {figure(fault.opens.amperes, 'A')} for ever"
        yield Place(panel.devices[fault.opens.by].span, label)


def _working(fault: RodFault) -> Iterator[Working]:
    said = fault.rod.number("resistance") is not None
    if fault.volts and fault.source:
        volts = abs(fault.current_a) * fault.ohm
        yield Working("to ground", volts, "V", f"nominal, of {fault.source.device}")
    yield Working(
        "rod", fault.ohm, "ohm", "as described" if said else "NEC 250.53(A)(2)", confirmed=said
    )
    if fault.volts:
        yield Working("fault current", fault.current_a, "A", "volts over ohms")
    if fault.opens:
        yield Working(f"{fault.opens.by} carries", fault.opens.amperes, "A", "its rating")
