"""The short-circuit current that can flow at each protective device: at most, and at least.

At most: what the source says is available, without the wire in between.  Behind a current-
limited supply it is the limit.  Behind a transformer it is what a supply of any strength
gives through its impedance, of which a tenth may lack (UL 1561, second-hand), or through the
smallest usual one where it says none (2.1 %, as UL 508A table SB4.3 assumes, from memory),
and no more than what is ahead brings through the ratio.  DC sources add up; AC sources that
meet are never closed together.

At least: the voltage over the source's impedance and twice that of the wire to the device,
magnitudes added, which no phase angle makes larger; only where that way holds no contact
that moves.  The solution of the whole network may lie anywhere between.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable

from netcheck.case import View, concludes
from netcheck.facts.sections import NO_SECTION, ProtectivePole, Sections
from netcheck.finding import Working
from netcheck.model.devices import Conducts, Device, Part, SourcePart
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.traces import Passed, steps
from netcheck.network.unions import Unions
from netcheck.record import record

LEAST_IMPEDANCE = 0.021
"""Of control transformers, of their rated impedance: UL 508A table SB4.3, from memory."""
TOLERANCE = 0.9
"""Of the impedance on a transformer's nameplate, it has at least: UL 1561, second-hand."""
FAULT_TEMPERATURE_C = 75.0


@record
class FaultCurrent:
    """At one device: `most_a` (None where `unsaid` names a source that does not say), and
    `least_a` with its working where the device may not interrupt it, else 0.  `sources` are
    those, by index, that may reach it."""

    device: Device
    most_a: float | None
    unsaid: tuple[str, ...]
    least_a: float
    path: tuple[Passed, ...]
    working: tuple[Working, ...]
    sources: tuple[int, ...] = ()


@record
class FaultCurrents:
    """By device, in the order of the text: breakers and fuses that a source reaches."""

    devices: tuple[FaultCurrent, ...]


@concludes(Sections)
def find_fault_currents(view: View) -> FaultCurrents:
    finder = _Finder(view[Sections])
    return FaultCurrents(tuple(finder.find()))


class _Finder:
    def __init__(self, sections: Sections) -> None:
        self.sections = sections
        self.panel: Panel = sections.panel
        self.areas: Unions[int] = Unions()
        for pole in sections.poles:
            if NO_SECTION not in (pole.section_a, pole.section_b):
                self.areas.join(pole.section_a, pole.section_b)
        for start, end, _ in sections.one_way:
            self.areas.join(start, end)
        self._reaches: dict[int, dict[str, _Reached]] = {}
        self.sources: dict[int, dict[int, None]] = {}
        """By area the sources that have a pole there."""
        for index, source in enumerate(self.panel.sources):
            for mark in source.poles:
                section = sections.of.get(f"{source.device}:{mark}")
                if section is not None:
                    self.sources.setdefault(self.areas.find(section), {})[index] = None

    def find(self) -> Iterable[FaultCurrent]:
        by_device: dict[str, list[ProtectivePole]] = {}
        for pole in self.sections.poles:
            if pole.device.kind in ("breaker", "fuse"):
                by_device.setdefault(pole.device.name, []).append(pole)
        for name, poles in by_device.items():
            sections = {s for pole in poles for s in (pole.section_a, pole.section_b)}
            areas = {self.areas.find(section) for section in sections if section != NO_SECTION}
            sources = dict.fromkeys(index for area in areas for index in self.sources.get(area, ()))
            if sources:
                yield self._at(self.panel.devices[name], poles, list(sources))

    def _at(self, device: Device, poles: list[ProtectivePole], sources: list[int]) -> FaultCurrent:
        most = {index: self._available_a(index, set()) for index in sources}
        unsaid = tuple(
            self.panel.sources[index].device for index, amperes in most.items() if amperes is None
        )
        known = {index: amperes for index, amperes in most.items() if amperes is not None}
        direct_a = sum(a for i, a in known.items() if self.panel.sources[i].kind == "DC")
        most_a = max([direct_a, *known.values()], default=0.0)
        rating_a = device.number("interrupting_a")
        shown = None if unsaid else most_a
        if rating_a is None or most_a <= rating_a:
            return FaultCurrent(device, shown, unsaid, 0.0, (), (), tuple(sources))
        return FaultCurrent(device, shown, unsaid, *self._least(poles, sources), tuple(sources))

    # ---- at most -------------------------------------------------------------------------------

    def _available_a(self, index: int, seen: set[int]) -> float | None:
        source = self.panel.sources[index]
        device = self.panel.devices[source.device]
        if source.class_2:
            return 1000 / source.volts if source.volts else None
        if source.current_limited:
            return device.number("limit_a") or source.current_a
        if device.kind != "transformer":
            return source.available_a
        limits = [self._through(device, source, index, seen)]
        if source.current_a:
            said = device.number("impedance")
            limits.append(source.current_a / (said * TOLERANCE if said else LEAST_IMPEDANCE))
        known = [amperes for amperes in limits if amperes is not None]
        return min(known, default=None)

    def _through(
        self, device: Device, source: SourcePart, index: int, seen: set[int]
    ) -> float | None:
        """What is available ahead of a transformer, brought through its ratio."""
        ahead: list[float | None] = []
        for part in source.inputs:
            section = self.sections.of.get(self.panel.parts[part].a)
            if section is None:
                section = self.sections.of.get(self.panel.parts[part].b)
            for other in self.sources.get(self.areas.find(section), ()) if section else ():
                if other not in seen | {index}:
                    ahead.append(self._available_a(other, seen | {index}))
        known = [amperes for amperes in ahead if amperes is not None]
        primary_v, secondary_v = device.number("primary_v"), device.number("secondary_v")
        if not known or len(known) < len(ahead) or not primary_v or not secondary_v:
            return None
        return max(known) * primary_v / secondary_v

    # ---- at least ------------------------------------------------------------------------------

    def _least(
        self, poles: list[ProtectivePole], sources: list[int]
    ) -> tuple[float, tuple[Passed, ...], tuple[Working, ...]]:
        """The most that any source surely drives, by what path."""
        best: tuple[float, tuple[Passed, ...], tuple[Working, ...]] = (0.0, (), ())
        for index in sources:
            source = self.panel.sources[index]
            if source.available_a is None or source.current_limited or source.inputs:
                continue
            reach = self._reach(index)
            ends = [end for pole in poles for end in (pole.part.a, pole.part.b) if end in reach]
            if ends:
                end = min(ends, key=lambda name: reach[name].impedance_ohm)
                least_a, working = _worked(source, reach[end].impedance_ohm)
                if least_a > best[0]:
                    best = (least_a, tuple(_back(end, reach)), working)
        return best

    def _reach(self, index: int) -> dict[str, _Reached]:
        """Terminals that what never moves joins to a source, nearest first, and the impedance
        of the wire between; wires of which too little is said lead nowhere."""
        if index not in self._reaches:
            source = self.panel.sources[index]
            starts = (f"{source.device}:{mark}" for mark in source.poles)
            reach = {name: _Reached(0.0, None) for name in starts if name in self.sections.of}
            queue = deque(reach)
            while queue:
                at = queue.popleft()
                for passed in steps(self.panel, at, _always):
                    ohm = 0.0
                    if isinstance(passed.by, Wire):
                        ohm = _impedance_ohm(passed.by, source.kind == "AC")
                    if passed.end not in reach and not math.isnan(ohm):
                        reach[passed.end] = _Reached(reach[at].impedance_ohm + ohm, passed)
                        queue.append(passed.end)
            self._reaches[index] = reach
        return self._reaches[index]


@record
class _Reached:
    impedance_ohm: float
    by: Passed | None


def _back(at: str, reach: dict[str, _Reached]) -> list[Passed]:
    path = []
    while (passed := reach[at].by) is not None:
        path.append(passed)
        at = passed.start
    return path[::-1]


def _worked(source: SourcePart, impedance_ohm: float) -> tuple[float, tuple[Working, ...]]:
    assert source.available_a is not None
    volts = _least_volts(source)
    source_ohm = volts / source.available_a
    least_a = volts / (source_ohm + 2 * impedance_ohm)
    return least_a, (
        Working(f"available at {source.device}", source.available_a, "A", "as described"),
        Working("impedance of the source", source_ohm, "ohm", f"{volts:g} V / available"),
        Working("wire out and back", 2 * impedance_ohm, "ohm", "NEC chapter 9 tables 8 and 9"),
        Working("at least", least_a, "A", "volts over their sum"),
    )


def _always(part: Part, forwards: bool) -> bool:
    """What joins whatever moves: bridges, and devices that are closed but for isolation."""
    return part.conducts is Conducts.JOINS


def _least_volts(source: SourcePart) -> float:
    """The lowest voltage between two of its poles."""
    potentials = list(source.poles.values())
    return min(abs(a - b) for place, a in enumerate(potentials) for b in potentials[place + 1 :])


def _impedance_ohm(wire: Wire, alternating: bool) -> float:
    """No less than a wire has: resistance at 75 degC and the highest tabulated reactance.

    Not a number where the text or the tables say too little.
    """
    from netcheck.tables.lookup import NotTabulated
    from netcheck.tables.nec_ch9_table_9 import BY_SIZE
    from netcheck.tables.resistance import METRES_PER_KFT, conductor_resistance_ohm_per_m

    properties, size = wire.properties, wire.properties.size
    if size is None or properties.material is None or properties.length_m is None:
        return math.nan
    found = conductor_resistance_ohm_per_m(size, properties.material, FAULT_TEMPERATURE_C)
    if isinstance(found, NotTabulated):
        return math.nan
    reactance = 0.0
    if alternating:
        reactance = max(row.reactance_steel for row in BY_SIZE.values()) / METRES_PER_KFT
    return (found.value + reactance) * properties.length_m
