"""What has to be operated for a load to be on that is off as drawn: whoever tells that it does not
run tells too little, as long as it is not meant to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from netcheck.bench.energising import energise
from netcheck.bench.observations import Dim, Observation, Symptom
from netcheck.bench.sound import Sound
from netcheck.model.devices import Part
from netcheck.model.panel import Panel


def to_be_on(sound: Sound, seen: Iterable[Observation]) -> Iterator[str]:
    """`M1 is on with S1 on and FL1 operated`, as a symptom would say it: of each load that was
    seen off, or other than well, where the panel as drawn has it off."""
    for one in seen:
        if not isinstance(one, Dim) and (not isinstance(one, Symptom) or one.on):
            continue
        load = load_of(sound.panel, one.device)
        standing = sound.standing(one.withs)
        if load is None or standing.is_energised(load):
            continue
        withs = (*one.withs, *energise(standing, load).moves)
        if len(withs) > len(one.withs) and sound.is_on(withs, load):
            yield f"{one.device} is on with {' and '.join(withs)}"


def load_of(panel: Panel, device: str) -> Part | None:
    """The first load of a device that is whole."""
    parts = (panel.parts[index] for index in panel.devices[device].parts)
    return next((part for part in parts if part.load is not None and part.a != part.b), None)
