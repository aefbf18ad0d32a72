"""`everything is off`: which loads that is said of, each in a state in which it would be on.

What somebody sees is off: a motor, a lamp, a coil; no supply or transformer, which may have its
volts while all that hangs on it is dead, and no socket or feeder to elsewhere.  Where too few of
them are on in the state told, the next are taken with what puts them on, for whoever says that
nothing works has tried.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from netcheck.bench.energising import energise
from netcheck.bench.observations import Everything, Symptom
from netcheck.bench.sound import Sound
from netcheck.model.devices import Part
from netcheck.model.panel import Panel

ENOUGH = 3
"""Loads in the state told, or with what puts them on."""
UNSEEN = frozenset(("outlet", "edge", "input"))


def each_off(sound: Sound, said: Everything, but: Collection[str] = ()) -> Iterator[Symptom]:
    """A symptom of each load; none of those `but`, of which something else is said."""
    devices = sound.panel.devices
    loads = [load for load in _seen(sound.panel) if load.device not in but]
    loads = [load for load in loads if said.kind in ("", devices[load.device].kind)]
    standing = sound.standing(said.withs)
    on = [load for load in loads if sound.is_on(said.withs, load)]
    for load in on:
        yield Symptom(said.words, load.device, False, said.withs)
    found = len(on)
    for load in loads:
        if found >= ENOUGH:
            return
        if load not in on:
            tried = energise(standing, load)
            withs = (*said.withs, *tried.moves)
            if tried.moves and not tried.tells_of and sound.is_on(withs, load):
                found += 1
                yield Symptom(said.words, load.device, False, withs)


def _seen(panel: Panel) -> list[Part]:
    """The first load of each device that somebody sees to be on."""
    inputs = {index for source in panel.sources for index in source.inputs}
    found: dict[str, Part] = {}
    for part in panel.parts:
        if part.load is None or part.a == part.b or part.spare or part.index in inputs:
            continue
        if part.role not in UNSEEN:
            found.setdefault(part.device, part)
    return list(found.values())
