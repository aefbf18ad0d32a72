"""Every way a load is fed, bonds to ground counted as wire, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import StrEnum

from netcheck.model.devices import Load, Part
from netcheck.network.conduction import Conduction
from netcheck.record import record
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE
from netcheck.states.volts import Volts, dc_volts, kind_of, magnitude, minus

TOLERANCE_V = 1e-6


class Fault(StrEnum):
    """What a load gets that it is not made for."""

    KIND = "kind"
    POLARITY = "polarity"
    VOLTAGE = "voltage"
    FREQUENCY = "frequency"
    PHASES = "phases"


@record
class HeldApart:
    """How two rails are held apart: the volts of the one against the other, and the poles of
    sources that stand at the ends of the way, on the side of each."""

    volts: Volts
    condition: int
    pole_a: str
    pole_b: str
    sources: tuple[int, ...]


@record
class LoadWay:
    """A load fed from a rail at its `a` to one at its `b`, which are held apart."""

    load: Part
    rail_a: int
    rail_b: int
    held: HeldApart
    condition: int

    @property
    def volts(self) -> Volts:
        return self.held.volts


def held_apart(behaviour: Behaviour, p: int, q: int, *, bonds: bool) -> Iterator[HeldApart]:
    """All that holds rail p apart from rail q, as its current goes: DC through each way as its
    sources drive it.  With `bonds`, ground joins and holds apart too."""
    for way in behaviour.ways(q, p, bonds=bonds):
        if way.volts and dc_volts(way.volts) >= 0:
            steps = [step for step in way.steps if not step.joins]
            poles = (steps[-1].leaves, steps[0].enters)
            yield HeldApart(way.volts, way.condition, *poles, way.sources)
    for way in behaviour.ways(p, q, bonds=bonds):
        if dc_volts(way.volts) > 0:
            steps = [step for step in way.steps if not step.joins]
            poles = (steps[0].enters, steps[-1].leaves)
            yield HeldApart(minus(way.volts), way.condition, *poles, way.sources)


def ways_of(behaviour: Behaviour, load: Part) -> Iterator[LoadWay]:
    """All ways of feeding a load without another load in the path, at any voltage.

    Ground counts as wire between sources.  An end of the load that no circuit conductor joins
    to any pole is taken to where ground leads it.
    """
    a, b = behaviour.node(load.a), behaviour.node(load.b)
    if a == b:
        return
    at_a, at_b = _conduction(behaviour, a), _conduction(behaviour, b)
    for p in at_a.rails_at(a):
        for q in at_b.rails_at(b):
            for held in held_apart(behaviour, p, q, bonds=True) if p != q else ():
                if dc_volts(held.volts) < 0:
                    path = behaviour.logic.both(at_a.to_rail(a, p), at_b.from_rail(b, q))
                else:
                    path = behaviour.logic.both(at_a.from_rail(a, p), at_b.to_rail(b, q))
                condition = behaviour.logic.both(path, held.condition)
                if condition != FALSE:
                    yield LoadWay(load, p, q, held, condition)


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


def frequencies_hz(behaviour: Behaviour, sources: Iterable[int]) -> frozenset[float | None]:
    """The frequencies of these sources, as far as they are AC; None for one that is not said.

    A transformer has that of what feeds it; a drive's is what it is set to, and left out.
    """
    found: set[float | None] = set()
    for index in sources:
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
        for feeding in fed.held.sources
        for hertz in _of_source(behaviour, feeding, seen | {index})
    }
