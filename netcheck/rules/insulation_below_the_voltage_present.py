"""A wire whose insulation is for less than the highest volts of its circuit.

Compared with the insulation voltage that the text gives the wire, its cable or its kind are
the nominal volts between conductors of its circuit and against ground, all contacts
counted as closed.  A neutral counts with the lines of the loads that it serves, however low
it stands itself: one of a single line of 480Y/277 V is a conductor of 277 V, one that two
lines share is a conductor of 480 V, and so is every core of a cable in which two lines
run.  Wires alike that meet the same volts are one finding,
at the one drawn first.

It keeps silent on wires that say no insulation voltage: building and machine wire is made
for 600 V, and a text that gives its type need not repeat it.  Wires beside others of higher
volts in one raceway are a matter of `unlike circuits in one raceway`; barriers and distance
within the enclosure cannot be seen in a text.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.wire_volts import Underinsulated, WireVolts
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
from netcheck.rule import rule
from netcheck.states.volts import magnitude
from netcheck.telling import listed, volts_in_words


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DEFECT,
    summary="a wire's insulation is for fewer volts than its circuit has",
    why="it breaks down where it is pinched or wet, and shorts or gives a shock there",
    source="NEC 300.3(C)(1): insulation for the highest circuit voltage on any conductor",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(WireVolts,),
)
def find(view: View) -> Iterator[Outcome]:
    for wires in view[WireVolts].found:
        yield _finding(view.panel, wires)


def _finding(panel: Panel, found: Underinsulated) -> Finding:
    first, *others = found.wires
    names = listed([panel.wire_name(wire) for wire in found.wires])
    volts, insulation = volts_in_words(found.volts), figure(found.insulation_v, "V")
    verb = "has" if len(found.wires) == 1 else "have"
    return Finding(
        f"{names} {verb} {insulation} insulation in a circuit of {volts}",
        Place(first.span, f"insulated for {insulation}"),
        wires=tuple(dict.fromkeys(panel.called(wire) for wire in found.wires)),
        condition=f"{insulation} insulation",
        related=tuple(Place(wire.span, "and here") for wire in others[:4]),
        live=volts,
        working=(
            Working("insulation", found.insulation_v, "V", "as described"),
            Working("highest in the circuit", magnitude(found.volts), "V", "nominal volts"),
        ),
        help="use wire insulated for the highest voltage of its circuit",
    )
