"""Wires whose declared insulation is for less than the volts of their circuit.

The volts are the highest, nominal, between conductors of the wire's circuit, or against
ground.  All contacts count as closed: insulation must be right for whatever its circuit
may bring.
"""

from __future__ import annotations

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.states.volts import Volts, magnitude


@record
class Underinsulated:
    """Wires of one insulation voltage that meet the same volts, in the order they are drawn."""

    wires: tuple[Wire, ...]
    insulation_v: float
    volts: Volts


@record
class WireVolts:
    found: tuple[Underinsulated, ...]


@concludes(Behaviour, CircuitVolts)
def find_wire_volts(view: View) -> WireVolts:
    groups: dict[tuple[float, Volts], list[Wire]] = {}
    for wire in view.panel.wires:
        insulation_v = wire.properties.voltage_v
        if insulation_v is None:
            continue
        there = view[CircuitVolts].all_of((view[Behaviour].node(wire.a),))
        volts = max(there, key=magnitude, default=())
        if magnitude(volts) > insulation_v:
            groups.setdefault((insulation_v, volts), []).append(wire)
    return WireVolts(
        tuple(
            Underinsulated(tuple(wires), insulation_v, volts)
            for (insulation_v, volts), wires in groups.items()
        )
    )
