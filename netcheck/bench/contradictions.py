"""Symptoms and readings that cannot all be right, and such as nothing drawn can give."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from netcheck.bench.observations import Observation, Read, Symptom, is_lamp
from netcheck.bench.readings import Reading
from netcheck.model.panel import Panel

ROOM = 0.1
"""Of the larger reading, or a volt: what meters may differ by."""


def contradictions(seen: Sequence[Observation]) -> tuple[str, ...]:
    """Direct voltages of one state add up around any three points; two readings of the same
    points are alike.  Alternating ones do so only in size, so only the same points are held
    against each other.  Nor is a load on and off in one state."""
    found = [*_on_and_off([one for one in seen if isinstance(one, Symptom)])]
    states: dict[frozenset[str], list[Read]] = {}
    for one in seen:
        if isinstance(one, Read) and not one.floats:
            states.setdefault(frozenset(one.withs), []).append(one)
    for readings in states.values():
        metered = [one for one in readings if not is_lamp(one)]
        lamps = [one for one in readings if is_lamp(one)]
        found += _twice(metered)
        found += _around(metered)
        found += _twice(lamps)
        found += _lamp_and_meter(lamps, metered)
    return tuple(dict.fromkeys(found))


def _on_and_off(symptoms: Sequence[Symptom]) -> Iterator[str]:
    for place, one in enumerate(symptoms):
        for other in symptoms[place + 1 :]:
            same = one.device == other.device and set(one.withs) == set(other.withs)
            if same and one.on != other.on:
                yield f"`{one.words}` and `{other.words}` are one load in one state"


def _twice(readings: Sequence[Read]) -> Iterator[str]:
    for place, one in enumerate(readings):
        for other in readings[place + 1 :]:
            if {one.red, one.black} != {other.red, other.black}:
                continue
            if not _near(abs(one.volts), abs(other.volts)):
                yield f"`{one.words}` and `{other.words}` are the same two points"


def _lamp_and_meter(lamps: Sequence[Read], metered: Sequence[Read]) -> Iterator[str]:
    """The lamp of an input, and what was read at it."""
    for lamp in lamps:
        for one in metered:
            volts = abs(one.volts)
            reading = Reading(ac_v=volts) if lamp.kind == "AC" else Reading(dc_v=volts)
            if {lamp.red, lamp.black} == {one.red, one.black} and not lamp.agrees(reading):
                yield f"`{lamp.words}` and `{one.words}` are the same two points"


def _around(readings: Sequence[Read]) -> Iterator[str]:
    """Around three points, the readings of DC that say so, or read nought."""
    direct = [one for one in readings if one.kind == "DC" or not one.volts]
    for place, one in enumerate(direct):
        for other in direct[place + 1 :]:
            for third in direct[place + 2 :]:
                trio = (one, other, third)
                points = {point for read in trio for point in (read.red, read.black)}
                pairs = {frozenset((read.red, read.black)) for read in trio}
                if len(points) == 3 and len(pairs) == 3 and not _adds_up(trio):
                    words = ", ".join(f"`{read.words}`" for read in trio)
                    yield f"{words} do not add up around their three points"


def _adds_up(trio: tuple[Read, Read, Read]) -> bool:
    first, *others = trio
    at, total, left = first.black, -first.volts, list(others)
    while left:
        step = next(read for read in left if at in (read.red, read.black))
        left.remove(step)
        forward = step.red == at
        total += step.volts if forward else -step.volts
        at = step.black if forward else step.red
    most = max(abs(read.volts) for read in trio)
    return abs(total) <= max(2.0, 2 * ROOM * most)


def _near(one: float, other: float) -> bool:
    return abs(one - other) <= max(1.0, ROOM * max(one, other))


def impossible(panel: Panel, seen: Iterable[Observation]) -> tuple[str, ...]:
    """Readings of more volts than all that is drawn of their kind gives."""
    found = []
    for one in seen:
        if not isinstance(one, Read) or abs(one.volts) < 1:
            continue
        kinds = [one.kind] if one.kind else ["AC", "DC"]
        most = sum(
            _widest(panel, index) for index, s in enumerate(panel.sources) if s.kind in kinds
        )
        if abs(one.volts) > most * 1.15:
            kind = f" {one.kind}" if one.kind else ""
            found.append(
                f"`{one.words}`: nothing drawn gives so many volts{kind}; "
                "look again, or the text leaves a source out"
            )
    return tuple(found)


def _widest(panel: Panel, index: int) -> float:
    poles = list(panel.sources[index].poles.values())
    return max((abs(a - b) for a in poles for b in poles), default=0.0)
