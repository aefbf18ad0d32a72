"""A wire in the colour of another kind of circuit.

It speaks of ungrounded conductors in blue on AC or red on DC, of white with blue on AC, and
of wires marked `live with the main off` that are not yellow or orange (orange in IEC
practice): the schemes of NFPA 79, UL 508A and IEC 60204-1.  Wires alike are one finding.

Where a project file says the plant's own scheme (`[colours]`), it speaks of every wire whose
colour is not among those that the scheme has for what the wire does.

It keeps silent on all other colours, for a scheme of one's own is lawful where it is
documented, on black, on the third line of a three-phase system, which is blue in the
buildings of America, on red that comes from a battery, on grounded DC conductors that are
blue and say no white (blue is DC, and a kind of wire is often described without its
stripes), and on wires of which no colour is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.conductor_duties import ConductorDuties, Duty
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
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.telling import listed

if TYPE_CHECKING:
    from netcheck.tables.conductor_colours import Row


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="a wire has the colour of another kind of circuit",
    why="the next person trusts the colour: blue is taken for 24 V DC, orange for live",
    source="NFPA 79 13.2, UL 508A 66.5 and 66.9, IEC 60204-1 13.2.4: read second-hand",
    kind=ReferenceKind.STANDARD,
    requires=(Behaviour, CircuitVolts, ConductorDuties),
)
def find(view: View) -> Iterator[Outcome]:
    panel, duties = view.panel, view[ConductorDuties]
    wrong = [
        wire
        for wire in panel.wires
        if wire.properties.colour and wire.index in duties.of and _wanted(view, wire)[1]
    ]
    for wires in duties.grouped(wrong):
        yield _finding(view, panel, wires)


def _own_use(view: View, wire: Wire) -> str:
    """What the wire does, as a scheme of colours tells it apart."""
    duty, kind = view[ConductorDuties].of[wire.index]
    if wire.properties.live_with_main_off and duty is Duty.UNGROUNDED:
        return "live with the main off"
    if duty is Duty.GROUNDING:
        return duty.value
    return f"{duty.value} {kind}"


def _wanted(view: View, wire: Wire) -> tuple[str, str]:
    """What it is and the use its colour is looked up by; empty where the colour will do."""
    from netcheck.tables import conductor_colours as table

    own = dict(view.panel.settings.colours).get(use := _own_use(view, wire))
    if own is not None:
        return _FINE if wire.properties.colour in own else (use, use)
    duty, kind = view[ConductorDuties].of[wire.index]
    colour, iec = wire.properties.colour, view.panel.settings.practice.iec
    if wire.properties.live_with_main_off and duty is Duty.UNGROUNDED:
        good = ("orange",) if iec else ("orange", "yellow")
        return ("live with the main off", table.LIVE_WITH_MAIN_OFF) if colour not in good else _FINE
    if duty is Duty.UNGROUNDED and (colour, kind) in (("blue", "AC"), ("white/blue", "AC")):
        return _FINE if _of_three_phases(view, wire) else ("of an AC circuit", table.AC_CONTROL)
    if (
        duty is Duty.UNGROUNDED
        and (colour, kind) == ("red", "DC")
        and not _of_a_battery(view, wire)
    ):
        return "of a DC circuit", table.DC_CONTROL
    if duty is Duty.GROUNDED and (colour, kind) == ("white/blue", "AC"):
        return "the grounded conductor of an AC circuit", table.GROUNDED_AC
    return _FINE


_FINE = ("", "")
LINES = 3


def _of_three_phases(view: View, wire: Wire) -> bool:
    """Whether it hangs on a source of three lines."""
    states = view[Behaviour]
    rails = view[CircuitVolts].rails(states.node(wire.a))
    return any(
        sum(bool(volts) for volts in source.poles.values()) >= LINES
        and rails & {states.pole_node(index, mark) for mark in source.poles}
        for index, source in enumerate(states.panel.sources)
    )


def _of_a_battery(view: View, wire: Wire) -> bool:
    """Whether it hangs on a battery, of which plus is red wherever there are batteries."""
    states = view[Behaviour]
    rails = view[CircuitVolts].rails(states.node(wire.a))
    return any(
        states.panel.devices[source.device].kind == "battery"
        and rails & {states.pole_node(index, mark) for mark in source.poles}
        for index, source in enumerate(states.panel.sources)
    )


def _finding(view: View, panel: Panel, wires: list[Wire]) -> Finding:
    from netcheck.tables import conductor_colours as table

    first, colour = wires[0], wires[0].properties.colour
    what, use = _wanted(view, first)
    own = dict(panel.settings.colours).get(use)
    if own is not None:
        wording = " or ".join(own)
        row = table.Row(panel.project_file, use, f"conductors: {use}", own, wording, True)
    else:
        row = _row(use, "IEC 60204-1" if panel.settings.practice.iec else "NFPA 79")
    names = listed([panel.wire_name(wire) for wire in wires])
    verb, they = ("is", "it is") if len(wires) == 1 else ("are", "they are")
    return Finding(
        f"{names} {verb} {colour}, another circuit's colour: {they} {what}",
        Place(first.span, f"{colour}"),
        wires=tuple(dict.fromkeys(panel.called(wire) for wire in wires)),
        condition=f"{colour} {use}",
        related=tuple(Place(wire.span, "and here") for wire in wires[1:5]),
        working=(Working(row.function, row.wording, "", row.standard, row.confirmed),),
        help=f"use {row.wording}, or say the scheme of this plant in a project file",
    )


def _row(use: str, standard: str) -> Row:
    from netcheck.tables import conductor_colours as table

    return next(row for row in table.ROWS if row.use == use and row.standard.startswith(standard))
