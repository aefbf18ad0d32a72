"""How large each grounding conductor must be, for the equipment it grounds.

By the device ahead of the equipment (NEC 250.122), in proportion where the circuit
conductors are larger than they need be ((B)), never larger than these ((A)); in IEC
practice by the line conductors (IEC 60204-1 table 1).  A conductor that leads from where a
feeder comes in to a grounding bar goes by what is ahead of the feeder.  The conductors of
a service, ahead of the main, follow other rules (250.66, 250.102) and are not judged.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.facts.load_currents import LoadCurrent, LoadCurrents, Sort
from netcheck.facts.protection import Ahead, Holds, Protection
from netcheck.facts.wire_currents import SHARE
from netcheck.facts.wire_limits import WireLimits
from netcheck.finding import Working
from netcheck.model.devices import Conducts, Device, device_of, mark_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.blocks import NO_BLOCK, EdgesBetween
from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import record


@record
class Needed:
    """The smallest grounding conductor for one piece of equipment, and how it comes about."""

    equipment: str
    size: ConductorSize
    ahead: Ahead
    working: tuple[Working, ...]


@record
class GroundingFault:
    wire: Wire
    size: ConductorSize
    needed: Needed


@record
class GroundingConductors:
    """Too small ones, wires that say no size, and equipment of which too little is known."""

    faults: tuple[GroundingFault, ...]
    missing: tuple[tuple[Wire, str], ...]
    unknown: tuple[tuple[str, str], ...]
    needs: tuple[tuple[Wire, Needed], ...]
    """Every grounding conductor that something needs, with the largest need beyond it."""


@concludes(GroundingWires, Protection, WireLimits, LoadCurrents, CurrentPaths)
def find_grounding_conductors(view: View) -> GroundingConductors:
    return _Finder(view).find()


class _Finder:
    def __init__(self, view: View) -> None:
        self.grounding = view[GroundingWires]
        self.protection = view[Protection]
        self.panel: Panel = self.protection.sections.panel
        self.limits = view[WireLimits]
        self.paths = view[CurrentPaths]
        self.loads: dict[str, list[tuple[int, LoadCurrent]]] = {}
        for number, load in enumerate(view[LoadCurrents].loads):
            self.loads.setdefault(load.device, []).append((number, load))
        self.iec = view[LoadCurrents].iec
        self.unknown: dict[str, str] = {}

    def find(self) -> GroundingConductors:
        faults, missing = [], []
        beyond = self._beyond()
        for wire in self.panel.wires:
            needed = beyond.get(wire.index)
            if needed is None:
                continue
            size = wire.properties.size
            if size is None:
                missing.append((wire, "no size said"))
            elif size.area_mm2 < needed.size.area_mm2 * (1 - 1e-6):
                faults.append(GroundingFault(wire, size, needed))
        return GroundingConductors(
            tuple(faults),
            tuple(missing),
            tuple(sorted(self.unknown.items())),
            tuple((w, beyond[w.index]) for w in self.panel.wires if w.index in beyond),
        )

    # ---- what lies beyond each grounding conductor -------------------------------------------

    def _beyond(self) -> dict[int, Needed]:
        """For each wire the largest need of all it grounds, away from where ground comes in."""
        number = {name: vertex for vertex, name in enumerate(("", *self.grounding.group))}
        ends = [(0, number[root]) for root in self._roots()]
        wires: list[Wire | None] = [None] * len(ends)
        for wire in self.panel.wires:
            if wire.index in self.grounding.wires:
                ends.append((number[wire.a], number[wire.b]))
                wires.append(wire)
        for part in self.panel.parts:
            joins = part.conducts is Conducts.BOND and part.role == "bar"
            joins = joins or (part.conducts is Conducts.JOINS and not part.mechanism)
            if joins and part.a in number and part.b in number:
                ends.append((number[part.a], number[part.b]))
                wires.append(None)
        tree = EdgesBetween(len(number), ends).tree
        needs: list[Needed | None] = [None] * len(number)
        for terminal, vertex in number.items():
            needs[vertex] = self._needed_at(terminal) if terminal else None
        found: dict[int, Needed] = {}
        edges: dict[int, list[int]] = {}
        for edge, (a, b) in enumerate(ends):
            block = tree.block_of_edge(a, b)
            if block != NO_BLOCK:
                edges.setdefault(block, []).append(edge)
        for block, top in enumerate(tree.top):
            most = _larger([needs[vertex] for vertex in tree.below[block]])
            for edge in edges[block]:
                wire_here = wires[edge]
                if wire_here is not None and most is not None and tree.root[ends[edge][0]] == 0:
                    found[wire_here.index] = most
            needs[top] = _larger([needs[top], most])
        return found

    def _roots(self) -> Iterator[str]:
        """Where ground comes in: with a source; else each grounding bar is taken for it."""
        roots = [f"{source.device}:PE" for source in self.panel.sources if not source.inputs]
        met = {self.grounding.group[root] for root in roots if root in self.grounding.group}
        yield from (root for root in dict.fromkeys(roots) if root in self.grounding.group)
        for device in self.panel.devices.values():
            if device.values.get("grounding"):
                group = self.grounding.group.get(device.terminals[0])
                if group is not None and group not in met:
                    met.add(group)
                    yield device.terminals[0]

    # ---- what one piece of equipment needs ---------------------------------------------------

    def _needed_at(self, terminal: str) -> Needed | None:
        device = self.panel.devices[device_of(terminal)]
        if device.values.get("grounding"):
            return self._of_bar(device, terminal)
        if mark_of(terminal) != "PE" or device.name not in self.loads:
            return None
        lines = [
            end
            for _, load in self.loads[device.name]
            for part in load.parts
            for end in (part.a, part.b)
        ]
        return self._of_lines(device.name, list(dict.fromkeys(lines)))

    def _of_bar(self, bar: Device, terminal: str) -> Needed | None:
        """A bar stands for the feeder that comes in with its ground, once."""
        if terminal != bar.terminals[0]:
            return None
        group = self.grounding.group.get(terminal)
        for source in self.panel.sources:
            ground = f"{source.device}:PE"
            if source.fused_a is not None and self.grounding.group.get(ground) == group:
                poles = [f"{source.device}:{mark}" for mark in source.poles]
                return self._of_lines(source.device, poles)
        return None

    def _of_lines(self, name: str, lines: list[str]) -> Needed | None:
        ways = [way for line in lines if (way := self.protection.worst(line)) is not None]
        if not ways:
            return None
        ahead = max(ways, key=lambda way: way.slackness)
        laid = [
            wire
            for line in lines
            if line in self.protection.sections.of
            for wire in self.panel.wires_at.get(line, ())
        ]
        sizes = [size for wire in laid if (size := wire.properties.size) is not None]
        if ahead.holds is Holds.CLASS_2 or not sizes:
            return None
        if self.iec:
            return _by_line_conductor(name, ahead, max(sizes))
        if ahead.holds in (Holds.NOTHING, Holds.UNKNOWN, Holds.UNRATED):
            if ahead.holds is not Holds.NOTHING:
                self.unknown[name] = f"what protects {name} is not known"
            return None
        return self._by_device(name, ahead, laid, max(sizes))

    def _by_device(
        self, name: str, ahead: Ahead, laid: list[Wire], largest: ConductorSize
    ) -> Needed | None:
        from netcheck.tables.lookup import NotTabulated
        from netcheck.tables.protection import egc_increased_size, egc_minimum_size

        found = egc_minimum_size(ahead.amperes)
        if isinstance(found, NotTabulated):
            self.unknown[name] = found.reason
            return None
        steps = [Working("grounding conductor", str(found.size), "", found.source, found.confirmed)]
        size = found.size
        needed = self._line_needed(name, ahead, laid)
        sizes = [wire.properties.size for wire in laid if wire.properties.size is not None]
        smallest = min(sizes, default=largest)
        if needed is not None and needed < smallest and not smallest.is_metric:
            raised = egc_increased_size(size, needed, smallest)
            line = f"{raised.source}, line {needed} raised to {smallest}"
            steps.append(Working("in proportion", str(raised.size), "", line, raised.confirmed))
            size = raised.size
        if size > largest:
            steps.append(Working("not above the line", str(largest), "", "NEC 250.122(A)", True))
            size = largest
        return Needed(name, size, ahead, tuple(steps))

    def _line_needed(self, name: str, ahead: Ahead, laid: list[Wire]) -> ConductorSize | None:
        """The circuit conductor that would have sufficed, where the laid one lies."""
        from netcheck.tables.lookup import NotTabulated
        from netcheck.tables.sizing import smallest_size_for

        limits = [self.limits.of(wire, ahead.amperes) for wire in laid]
        known = [limit for limit in limits if not isinstance(limit, str)]
        if not known:
            return None
        loads = [load for _, load in self.loads.get(name, ())]
        if not loads or any(load.unknown for load in loads):
            return None
        motor = any(load.sort is Sort.MOTOR for load in loads)
        needed_a = sum(
            load.current_a * (1.0 if load.sort is Sort.OTHER else SHARE) for load in loads
        )
        found = smallest_size_for(needed_a, known[0].conditions, ahead.amperes, motor_circuit=motor)
        return None if isinstance(found, NotTabulated) else found.size


def _by_line_conductor(name: str, ahead: Ahead, line: ConductorSize) -> Needed:
    from netcheck.tables.protection import iec_protective_minimum_mm2

    found = iec_protective_minimum_mm2(line.area_mm2)
    size = ConductorSize(
        found.value, line.text if found.value == line.area_mm2 else f"{found.value:g} mm2"
    )
    return Needed(name, size, ahead, (found.working,))


def _larger(needs: list[Needed | None]) -> Needed | None:
    known = [need for need in needs if need is not None]
    return max(known, key=lambda need: need.size, default=None)
