"""What electronic contacts keep of the volts on a way that is closed: sensors, transistor outputs.

The solver has them as wire; a two-wire sensor may keep a third of 24 V.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Set
from math import copysign

from netcheck.bench.diodes import quenching
from netcheck.bench.input_lamps import input_levels
from netcheck.bench.readings import Reading, fits
from netcheck.bench.standing import Standing
from netcheck.facts.electronic_drops import drop_of, needed_v
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.record import replace


def kept_v(standing: Standing, terminal: str) -> float:
    """The fewest volts kept between a terminal and a pole, V; 0 where no closed way leads there."""
    panel = standing.panel
    if not any(drop_of(panel, part) for part in panel.parts):
        return 0.0
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


def past_sensors(
    standing: Standing, reading: Reading, terminal: str, *, home: bool, kind: str
) -> Reading:
    """A reading against the end of a way that carries the current of its load: less what is kept
    ahead of the terminal, or on the way `home` from the load what is kept yet."""
    kept = kept_v(standing, terminal)
    return less(reading, -kept if home else kept, kind)


def across_load(standing: Standing, reading: Reading, load: Part) -> Reading:
    """What a load gets of a reading at its ends, on a way that carries its current."""
    return less(reading, sum(kept_v(standing, end) for end in (load.a, load.b)))


def is_enough(panel: Panel, reading: Reading, part: Part) -> bool:
    """Whether a load works with what it gets: a coil from where it pulls in, an input from where
    it is on, whatever their volts are called; a resistor with whatever is left."""
    load = part.load
    assert load is not None
    if not load.volts:
        return fits(reading, load)
    least_v = 0.0 if load.works == "resistor" else needed_v(panel, part)
    if load.works == "input":
        least_v = input_levels(part).on_v
    return fits(reading, replace(load, low=min(load.low, least_v / load.volts)))


def less(reading: Reading, volts: float, kind: str = "") -> Reading:
    """What is left of a reading where so much is kept; of the larger of its kinds, if none is
    said."""
    if reading.floats or not volts:
        return reading
    direct, alternating = reading.dc_v, reading.ac_v
    if kind == "DC" or (not kind and abs(direct) > alternating):
        return Reading(copysign(max(0.0, abs(direct) - volts), direct), alternating)
    return Reading(direct, max(0.0, alternating - volts))
