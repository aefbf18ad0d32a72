"""The highest volts of each wire's circuit, and wires whose declared insulation is for less.

The volts of a circuit are the highest, nominal, between any two of its conductors (NEC article
100), or against ground where that is more.  All contacts count as closed: insulation must be
right for whatever its circuit may bring.  Of what is always joined to a pole, which belongs to
all that the source feeds, the circuit is that of the loads which may draw through the wire:
the neutral of a light on one line of 480Y/277 V is a conductor of 277 V, the neutral that
lights on two lines share is one of 480 V.  In a cable the volts are the highest of all its
cores, which lie on one another (300.3(C)(1)).  Grounding conductors need no insulation.
"""

from __future__ import annotations

from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.states.volts import Volts, magnitude


@record
class Underinsulated:
    """Wires of one insulation voltage that meet the same volts, in the order they are drawn."""

    wires: tuple[Wire, ...]
    insulation_v: float
    volts: Volts


class WireVolts:
    """Volts by wire, worked out when asked for; `found` are those insulated for less."""

    def __init__(self, view: View) -> None:
        self._states = view[Behaviour]
        self._circuits = view[CircuitVolts]
        self._paths = view[CurrentPaths]
        self._of_rails: dict[frozenset[int], Volts] = {}
        self._of_loads: dict[int, frozenset[int]] = {}
        self.found = tuple(self._underinsulated(view))

    def highest(self, wire: Wire) -> Volts:
        """The highest volts of the wire's circuit, or of its cable; none where nothing feeds it."""
        if wire.cable:
            rails = self._in_cable[wire.cable]
        else:
            rails = self._rails(wire)
        if rails not in self._of_rails:
            of_circuit = self._circuits.of_rails(rails)
            self._of_rails[rails] = max(of_circuit, key=magnitude, default=())
        return self._of_rails[rails]

    @cached_property
    def _in_cable(self) -> dict[str, frozenset[int]]:
        """By cable the poles of all its cores: NEC 300.3(C)(1)."""
        found: dict[str, frozenset[int]] = {}
        for wire in self._states.panel.wires:
            if wire.cable:
                found[wire.cable] = found.get(wire.cable, frozenset()) | self._rails(wire)
        return found

    def _rails(self, wire: Wire) -> frozenset[int]:
        """The poles that the conductors of the wire's circuit hang on."""
        place = self._states.node(wire.a)
        if place not in self._states.rails:
            return self._circuits.rails(place)
        fed: set[int] = set()
        for number in self._paths.loads_on(wire.index):
            fed |= self._poles_of(number)
            if len(fed) == len(self._states.rails):  # a bus of a thousand loads: there is no other
                break
        return frozenset({place, *fed}) if fed else self._circuits.rails(place)

    def _poles_of(self, load: int) -> frozenset[int]:
        """The poles that a load's own circuit hangs on, by its number among those of the paths."""
        if load not in self._of_loads:
            parts = self._paths.loads[load].parts
            ends = {self._states.node(end) for part in parts for end in (part.a, part.b)}
            self._of_loads[load] = frozenset().union(*map(self._poles_at, ends))
        return self._of_loads[load]

    def _poles_at(self, place: int) -> frozenset[int]:
        return frozenset({place}) if place in self._states.rails else self._circuits.rails(place)

    def _underinsulated(self, view: View) -> list[Underinsulated]:
        groups: dict[tuple[float, Volts], list[Wire]] = {}
        for wire in view.panel.wires:
            insulation_v = wire.properties.voltage_v
            if insulation_v is None or wire.index in view[GroundingWires].wires:
                continue
            volts = self.highest(wire)
            if magnitude(volts) > insulation_v:
                groups.setdefault((insulation_v, volts), []).append(wire)
        return [
            Underinsulated(tuple(wires), insulation_v, volts)
            for (insulation_v, volts), wires in groups.items()
        ]


@concludes(Behaviour, CircuitVolts, CurrentPaths, GroundingWires)
def find_wire_volts(view: View) -> WireVolts:
    return WireVolts(view)
