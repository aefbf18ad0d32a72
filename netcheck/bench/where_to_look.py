"""The ways on which a fault is looked for: those of what was seen, and of what these wait for."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import takewhile

from netcheck.bench.candidates import protects
from netcheck.bench.fitting import Tried
from netcheck.bench.likelihoods import Sort
from netcheck.bench.observations import Dim, Observation, Read, Symptom, Trips, is_lamp
from netcheck.bench.sound import Sound
from netcheck.bench.walks import Walk
from netcheck.model.devices import Part, device_of
from netcheck.model.panel import Panel


class Ways:
    """The ways to look at, each load's once.  `more`: there are others that were not followed."""

    def __init__(self, sound: Sound, *, near: bool) -> None:
        self._sound, self._panel, self._near = sound, sound.panel, near
        self._known: set[int] = set()
        self._met: set[str] = set()
        self.more = False

    def of(self, seen: Sequence[Observation], misfits: Collection[Read] = ()) -> Iterator[Walk]:
        """Of the loads seen, and past the fuses that open and the points that were read; near, only
        those at which a whole panel reads otherwise."""
        for one in seen:
            if isinstance(one, Trips):
                yield from self.passing({*self._panel.devices[one.device].terminals})
        lamps = {one.words for one in seen if is_lamp(one)}
        told = (
            one
            for one in seen
            if not isinstance(one, Trips) and not (isinstance(one, Symptom) and one.words in lamps)
        )
        yield from self._fed([load for one in told for load in _loads_of(self._panel, one)])
        is_told = any(not isinstance(one, Read) for one in seen)
        for one in seen:
            if isinstance(one, Read) and (not self._near or one in misfits or not self._met):
                points = self._looked_past(one, is_told=is_told)
                if points:
                    yield from self._fed([way.load for way in self.passing(points)])

    def _looked_past(self, read: Read, *, is_told: bool) -> set[str]:
        """Points of which the loads seen tell nothing.  With no load seen, everything past them is
        looked at; a pole, past which there is everything, where both are poles."""
        points = {read.red, read.black}
        if is_told:
            return points - self._met
        poles = {f"{one.device}:{pole}" for one in self._panel.sources for pole in one.poles}
        return points - poles or (set() if self._near and self._met else points)

    def passing(self, points: set[str]) -> Iterator[Walk]:
        """The ways that pass one of these terminals, or begin or end there."""
        for way in self.every():
            if any(passed.start in points or passed.end in points for passed in way.passed):
                yield way

    def every(self) -> Iterator[Walk]:
        """Those of all loads."""
        for load in self._panel.parts:
            if load.load is not None and load.a != load.b:
                yield from self._of_load(load)

    def _of_load(self, load: Part) -> Sequence[Walk]:
        found = self._sound.walks(load)
        self.more |= found.more
        return found.ways

    def _fed(self, todo: list[Part]) -> Iterator[Walk]:
        """The ways of these loads, of the coils whose contacts these pass, of their supplies."""
        panel = self._panel
        while todo:
            load = todo.pop(0)
            if load.index in self._known:
                continue
            self._known.add(load.index)
            for way in self._of_load(load):
                yield way
                for passed in way.passed:
                    self._met.update((passed.start, passed.end))
                    if isinstance(passed.by, Part) and passed.by.mechanism:
                        coils = panel.mechanisms[passed.by.mechanism].coils
                        todo += [panel.parts[index] for index in coils]
                for source in panel.sources:
                    if source.device in (device_of(way.start), device_of(way.end)):
                        todo += [panel.parts[index] for index in source.inputs]


def protected_by(panel: Panel, one: Tried) -> Sequence[str]:
    """The terminals of what a suspect says has opened by itself."""
    candidate = one.candidate
    if candidate is None or candidate.sort is not Sort.PROTECTION:
        return ()
    devices = {panel.parts[index].device for fault in candidate.faults for index in fault.parts}
    return [end for device in devices for end in panel.devices[device].terminals]


def last_protection(panel: Panel, way: Walk) -> Sequence[str]:
    """Both ends of the last fuse or breaker ahead of the load; nothing where there is none."""
    ahead = takewhile(lambda one: one.by is not way.load, way.passed)
    last = [one for one in ahead if protects(panel, one.by)][-1:]
    return [end for one in last for end in (one.start, one.end)]


def poles_of_dead(panel: Panel, one: Tried) -> Iterator[str]:
    """The poles of a source that is suspected to give nothing, or to be open at what feeds it."""
    held = one.candidate.held if one.candidate is not None else ""
    faults = one.candidate.faults if one.candidate is not None else ()
    opened = {index for fault in faults for index in fault.parts}
    for source in panel.sources:
        if (held and source.mechanism == held) or not opened.isdisjoint(source.inputs):
            yield from (f"{source.device}:{pole}" for pole in source.poles)


def _loads_of(panel: Panel, seen: Symptom | Dim | Read) -> list[Part]:
    """Of a reading those of the devices at its points, but not each other input of a controller."""
    names = {seen.red, seen.black} if isinstance(seen, Read) else {seen.device}
    devices = {device_of(name) for name in names}
    loads = (one for one in panel.parts if one.load is not None and one.device in devices)
    if not isinstance(seen, Read):
        return [*loads]
    runs_from = {index for source in panel.sources for index in source.inputs}
    return [
        one
        for one in loads
        if one.role != "input" or one.index in runs_from or not names.isdisjoint((one.a, one.b))
    ]


def own_ways(panel: Panel, ways: Sequence[Walk], seen: Iterable[Dim]) -> list[Walk]:
    """Those that feed what was seen itself, or a transformer that stands before it: that gives
    less where it gets less."""
    todo = [load for one in seen for load in _loads_of(panel, one)]
    known = {load.index for load in todo}
    while todo:
        load = todo.pop()
        ends = {device_of(end) for way in ways if way.load is load for end in (way.start, way.end)}
        for source in panel.sources:
            if source.device in ends and panel.devices[source.device].kind == "transformer":
                todo += [panel.parts[index] for index in source.inputs if index not in known]
                known.update(source.inputs)
    return [way for way in ways if way.load.index in known]
