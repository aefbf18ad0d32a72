"""Wires in one raceway of which some are not made for the volts of the others.

It speaks of each raceway in which a wire with a said insulation voltage runs beside a
circuit of more nominal volts, and of each in which class 2 wires run beside circuits that
are not class 2.  A wire is class 2 if it says so, or if all that feeds its circuit is.

It keeps silent on wires that say `separated`, on wires that say no insulation voltage, on
grounding conductors, and on raceways in which all are alike.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.facts.wire_volts import WireVolts
from netcheck.figure import figure
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.model.wires import Raceway, Wire
from netcheck.rule import rule
from netcheck.states.volts import Volts, magnitude
from netcheck.telling import volts_in_words


@rule(
    family=Family.MISMATCHED_VOLTAGE,
    severity=Severity.DEFECT,
    summary="wires in one raceway are not made for the volts of the others there",
    why="where the insulation is rubbed through, the low voltage circuit gets the high one",
    source="NEC 300.3(C)(1), 725.136(A): from memory",
    kind=ReferenceKind.FROM_MEMORY,
    requires=(Behaviour, CircuitVolts, GroundingWires, WireVolts),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    inside: dict[str, list[Wire]] = {}
    for wire in panel.wires:
        name = wire.properties.raceway or ""
        if name in panel.raceways and wire.index not in view[GroundingWires].wires:
            inside.setdefault(name, []).append(wire)
    for name, wires in inside.items():
        yield from _judged(view, panel.raceways[name], wires)


def _judged(view: View, raceway: Raceway, wires: list[Wire]) -> Iterator[Outcome]:
    volts = {wire.index: view[WireVolts].highest(wire) for wire in wires}
    live = [wire for wire in wires if volts[wire.index]]
    if not live:
        return
    loose = [wire for wire in wires if not wire.properties.separated]
    hottest = max(live, key=lambda wire: magnitude(volts[wire.index]))
    highest = volts[hottest.index]
    for wire in loose:
        insulation_v = wire.properties.voltage_v
        own = magnitude(volts[wire.index])
        if insulation_v is not None and own <= insulation_v < magnitude(highest):
            made = f"insulated for {figure(insulation_v, 'V')}"
            yield _finding(view.panel, raceway, wire, made, hottest, highest)
            return
    weak = [wire for wire in loose if _is_class_2(view, wire)]
    others = [wire for wire in live if not _is_class_2(view, wire)]
    if weak and others:
        hottest = max(others, key=lambda wire: magnitude(volts[wire.index]))
        yield _finding(view.panel, raceway, weak[0], "class 2", hottest, volts[hottest.index])


def _is_class_2(view: View, wire: Wire) -> bool:
    if wire.properties.class_2:
        return True
    states = view[Behaviour]
    rails = view[CircuitVolts].rails(states.node(wire.a))
    feeding = [
        source
        for index, source in enumerate(states.panel.sources)
        if rails & {states.pole_node(index, mark) for mark in source.poles}
    ]
    return bool(feeding) and all(source.class_2 for source in feeding)


def _finding(
    panel: Panel, raceway: Raceway, wire: Wire, made: str, other: Wire, volts: Volts
) -> Finding:
    return Finding(
        f"`{panel.wire_name(wire)}` is {made} and runs through `{raceway.name}` with "
        f"`{panel.wire_name(other)}` of {volts_in_words(volts)}",
        Place(wire.span, made),
        wires=(panel.called(wire), panel.called(other)),
        condition=f"{raceway.name}: {made}",
        related=(
            Place(raceway.span, "the raceway they share"),
            Place(other.span, volts_in_words(volts)),
        ),
        live=volts_in_words(volts),
        help="lead it through a raceway of its own, or use wire made for the higher voltage",
    )
