"""Every way a load is fed, bonds to ground counted as wire, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from netcheck.model.devices import Load, Part
from netcheck.network.conduction import Conduction
from netcheck.record import record
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE
from netcheck.states.volts import Volts, dc_volts, kind_of, magnitude
from netcheck.states.ways import Way

TOLERANCE_V = 1e-6


class Fault(StrEnum):
    """What a load gets that it is not made for."""

    KIND = "kind"
    POLARITY = "polarity"
    VOLTAGE = "voltage"
    FREQUENCY = "frequency"
    PHASES = "phases"


@record
class LoadWay:
    """A load fed from a rail at its `a` to one at its `b`, and the way back between them.

    The way's volts are those of `a` against `b`.
    """

    load: Part
    rail_a: int
    rail_b: int
    way: Way
    condition: int

    @property
    def volts(self) -> Volts:
        return self.way.volts


def ways_of(behaviour: Behaviour, load: Part) -> Iterator[LoadWay]:
    """All ways of feeding a load without another load in the path, at any voltage.

    An end that no circuit conductor joins to any pole is taken to where ground leads it.
    """
    a, b = behaviour.node(load.a), behaviour.node(load.b)
    if a == b:
        return
    at_a, at_b = _conduction(behaviour, a), _conduction(behaviour, b)
    for p in at_a.rails_at(a):
        for q in at_b.rails_at(b):
            for way in behaviour.ways(q, p, bonds=True) if p != q else ():
                if dc_volts(way.volts) < 0:
                    path = behaviour.logic.both(at_a.to_rail(a, p), at_b.from_rail(b, q))
                else:
                    path = behaviour.logic.both(at_a.from_rail(a, p), at_b.to_rail(b, q))
                condition = behaviour.logic.both(path, way.condition)
                if way.volts and condition != FALSE:
                    yield LoadWay(load, p, q, way, condition)


def _conduction(behaviour: Behaviour, node: int) -> Conduction:
    return behaviour.circuit if behaviour.circuit.rails_at(node) else behaviour.whole


def fault_of(
    load: Load, volts: Volts, frequencies_hz: frozenset[float] = frozenset()
) -> Fault | None:
    """The first thing wrong, of kind, polarity, voltage and frequency; None if nothing is.

    A load that says no voltage, kind or frequency is taken as made for any.
    """
    kind = kind_of(volts)
    if kind not in ("AC", "DC") or (load.kind and kind != load.kind):
        return Fault.KIND
    if load.polarised and dc_volts(volts) < 0:
        return Fault.POLARITY
    if load.volts is not None:
        least, most = load.volts * load.low, load.volts * load.high
        if not least - TOLERANCE_V <= magnitude(volts) <= most + TOLERANCE_V:
            return Fault.VOLTAGE
    if load.frequency_hz is not None and frequencies_hz - {load.frequency_hz}:
        return Fault.FREQUENCY
    return None


def frequencies_hz(behaviour: Behaviour, way: Way) -> frozenset[float | None]:
    """The frequencies of the AC sources on a way; None stands for one that is not said.

    A transformer has that of what feeds it; a drive's is what it is set to, and left out.
    """
    found: set[float | None] = set()
    for index in way.sources:
        found |= _of_source(behaviour, index, frozenset())
    return frozenset(found)


def _of_source(behaviour: Behaviour, index: int, seen: frozenset[int]) -> set[float | None]:
    source = behaviour.panel.sources[index]
    kind = behaviour.panel.devices[source.device].kind
    if source.kind != "AC" or kind == "drive" or index in seen:
        return set()
    if kind != "transformer":
        return {source.frequency_hz}
    return {
        hertz
        for part in source.inputs
        for fed in ways_of(behaviour, behaviour.panel.parts[part])
        for feeding in fed.way.sources
        for hertz in _of_source(behaviour, feeding, seen | {index})
    }
