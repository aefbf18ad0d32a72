"""A colour that is kept for grounding or grounded conductors, on another; or these in another.

It speaks where the text gives a wire a colour and that is: green or green with yellow on a
conductor that grounds nothing; something else than green, green with yellow or bare on one
that does (green with yellow only in IEC practice); white or grey on an ungrounded conductor
(NEC 200.7), light blue on one of AC in IEC practice; something else than white or grey,
plain or with a stripe, on a grounded AC conductor of 6 AWG and smaller (NEC 200.6(A)).
Wires alike are one finding.

It keeps silent on wires of which no colour is said, on grounded conductors in IEC practice,
where a number may do instead, and on wires of a source that does not say how it is
grounded.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.conductor_duties import ConductorDuties, Duty
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.telling import listed

GREEN = frozenset(("green", "green/yellow", "yellow/green"))
WHITE = frozenset(("white", "gray", "grey"))
BY_ENDS_MM2 = 13.4
"""Larger than 6 AWG a grounded conductor may be marked at its ends only: NEC 200.6(B)."""


@rule(
    family=Family.DRAWING,
    severity=Severity.DEFECT,
    summary="a colour kept for grounding or grounded conductors is on another, or the reverse",
    why="who trusts the colour takes hold of a live wire, or grounds a machine by one",
    source="NEC 200.6, 200.7, 250.119; IEC 60204-1 13.2.2, 13.2.3: read second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(ConductorDuties,),
)
def find(view: View) -> Iterator[Outcome]:
    panel, duties = view.panel, view[ConductorDuties]
    wrong = [
        wire
        for wire in panel.wires
        if wire.properties.colour and wire.index in duties.of and _wrong(view, wire)
    ]
    for wires in duties.grouped(wrong):
        yield _finding(panel, wires, duties.of[wires[0].index][0])


def _wrong(view: View, wire: Wire) -> bool:
    duty, kind = view[ConductorDuties].of[wire.index]
    colour = wire.properties.colour or ""
    iec = view.panel.settings.practice.iec
    if duty is Duty.GROUNDING:
        return colour not in (GREEN - {"green"} if iec else GREEN) | {"bare"}
    if colour in GREEN:
        return True
    if duty is Duty.NEITHER:
        return False
    if duty is Duty.GROUNDED:
        size = wire.properties.size
        small = size is None or size.area_mm2 < BY_ENDS_MM2
        return kind == "AC" and not iec and small and not WHITE & set(colour.split("/"))
    return colour == "light-blue" and kind == "AC" if iec else colour in WHITE


def _finding(panel: Panel, wires: list[Wire], duty: Duty) -> Finding:
    first, colour = wires[0], wires[0].properties.colour
    verb = "is" if len(wires) == 1 else "are"
    does = {
        Duty.GROUNDING: f"{verb} {colour} and {'grounds' if len(wires) == 1 else 'ground'} metal",
        Duty.GROUNDED: f"{verb} {colour} and {verb} grounded",
    }.get(duty, f"{verb} {colour} and {verb} not grounded")
    if colour in GREEN:
        does = f"{verb} {colour} and no grounding conductor{'s' if len(wires) > 1 else ''}"
    return Finding(
        f"{listed([panel.wire_name(wire) for wire in wires])} {does}",
        Place(first.span, f"{colour}"),
        wires=tuple(dict.fromkeys(panel.called(wire) for wire in wires)),
        condition=f"{colour} {duty.value}",
        related=tuple(Place(wire.span, "and here") for wire in wires[1:5]),
        help=_advice(duty, iec=panel.settings.practice.iec),
    )


def _advice(duty: Duty, *, iec: bool) -> str:
    if duty is Duty.GROUNDING:
        return "use green with yellow" if iec else "use green, green with yellow, or bare"
    if duty is Duty.GROUNDED:
        return "use white or grey"
    return "use a colour that is not kept for grounding or grounded conductors"
