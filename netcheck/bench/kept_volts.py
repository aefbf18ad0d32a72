"""What electronic contacts keep of the volts on a way that is closed: sensors, transistor outputs.

The solver has them as wire; a two-wire sensor may keep a third of 24 V.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Set
from math import copysign

from netcheck.bench.diodes import quenching
from netcheck.bench.readings import Reading
from netcheck.bench.standing import Standing
from netcheck.facts.electronic_drops import drop_of
from netcheck.model.devices import Conducts


def kept_v(standing: Standing, terminal: str) -> float:
    """The fewest volts kept between a terminal and a pole, V; 0 where no closed way leads there."""
    panel = standing.panel
    barred = quenching(standing.states)
    poles = {f"{source.device}:{pole}" for source in panel.sources for pole in source.poles}
    queue, seen = [(0.0, terminal)], set[str]()
    while queue:
        kept, at = heapq.heappop(queue)
        if at in poles:
            return kept
        if at not in seen:
            seen.add(at)
            for there, more in _onwards(standing, at, barred):
                heapq.heappush(queue, (kept + more, there))
    return 0.0


def _onwards(standing: Standing, at: str, barred: Set[int]) -> Iterator[tuple[str, float]]:
    panel = standing.panel
    for wire in panel.wires_at.get(at, ()):
        yield wire.b if wire.a == at else wire.a, 0.0
    for part in panel.parts_at.get(at, ()):
        leads = part.conducts in (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)
        if leads and part.index not in barred and standing.closed(part):
            yield part.b if part.a == at else part.a, drop_of(panel, part)


def less(reading: Reading, volts: float) -> Reading:
    """What is left of a reading where so much is kept."""
    if reading.floats or not volts:
        return reading
    direct, alternating = reading.dc_v, reading.ac_v
    if abs(direct) > alternating:
        return Reading(copysign(max(0.0, abs(direct) - volts), direct), alternating)
    return Reading(direct, max(0.0, alternating - volts))
