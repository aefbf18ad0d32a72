"""The first-power sheet: what to close in which order, and what each terminal must then read.

Nothing is closed before what feeds it.  Switches and relays are at rest: outputs are tried
one by one afterwards, by the test script.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from itertools import combinations

from netcheck.bench.as_found import as_found
from netcheck.bench.metering import Unreadable
from netcheck.bench.readings import Reading
from netcheck.bench.standing import Standing, settled, stand
from netcheck.bench.trial import movable
from netcheck.facts.component_values import ComponentValues
from netcheck.figure import figure
from netcheck.model.devices import Conducts, Device, Drive, Part
from netcheck.model.panel import Panel
from netcheck.network.traces import steps
from netcheck.network.unions import Unions
from netcheck.record import replace
from netcheck.report.sheets.bench import Bench, highest_volts, named
from netcheck.report.sheets.lists import STRIPS
from netcheck.report.sheets.live_so_far import LiveSoFar
from netcheck.report.sheets.table import Cell, Table

CLOSED_BY_HAND = frozenset(("disconnect", "breaker", "fuse"))
MOST_BRANCHES = 500_000
"""Wires and parts that are solved, over all steps; of more the sheet says that they are left."""
PULLED_DOWN = 0.8
"""No load takes more from a supply than a fifth of its volts: a short does."""
MOST_DEAD = 8
MOST_PAIRS = 3
LEAST_V = 1.0
"""What leaks through outputs that are off reads less, and is not called live."""
LEAST_A = 0.01
"""A clamp shows no less."""
TOLERANCE = 0.1
"""Of what is expected; a supply may be that far off: ANSI C84.1 allows 5 %, loads add some."""


def first_power(bench: Bench) -> Table:
    closing = _Closing(as_found(bench.panel), bench.fact(ComponentValues))
    rows = tuple(closing.rows())
    columns = (
        "step", "red on", "wire", "also there", "black on", "expect", "within", "still dead",
        "amperes so far", "read",
    )  # fmt: skip
    notes = (
        "Ring-out and expected ohms come first.  All disconnects and breakers open, fuses out, "
        "plug-in cards and controllers unplugged, motors uncoupled or their switches open.",
        "Live work: rated meter, protective equipment, not alone.  No arc-flash study is made "
        "here.  Prove the meter on a known live point before and after.",
        "Stop, open again and find out why: a reading out of its limits or the wrong way round; "
        "noise, heat, smell; a device that opens; anything live behind what is still dead.",
        "Amperes so far: all that is on at rest, outlets loaded to their rating.",
        *highest_volts(bench.panel),
        *closing.left_out,
    )
    return Table("power", "First power: order of closing, and volts", columns, rows, notes,
                 "no source that can be switched on", frozenset((9,)), closing.open,
                 grouped=True, once=(7, 8))  # fmt: skip


class _Closing:
    """Handles closed one after the other."""

    def __init__(self, panel: Panel, rated: ComponentValues) -> None:
        self.panel = panel
        self.left_out: tuple[str, ...] = ()
        self.open = 0
        places = _places(panel)
        self._members = places.groups()
        self._node = {end: at for at, ends in enumerate(self._members) for end in ends}
        self._told: set[int] = set()
        self._dead = {
            device.name: device
            for device in panel.devices.values()
            if device.kind in CLOSED_BY_HAND and any(self._held(device))
        }
        self._alive = LiveSoFar(self._all_open(rated))
        self._most_solved = MOST_BRANCHES // (len(panel.wires) + len(panel.parts) + 1)

    def rows(self) -> Iterator[tuple[Cell, ...]]:
        if not any(source.mechanism for source in self.panel.sources):
            return
        yield from self._step("Before closing anything, the incoming supply on", None)
        barred: list[str] = []
        for number in range(1, len(self._dead) + 1):
            live = self._live()
            device = next((one for one in self._dead.values() if self._is_fed(one, live)), None)
            if device is None:
                break
            if self._alive.solved > self._most_solved:
                more = (
                    f"Worked out for the first {number - 1} handles; {len(self._dead)} more are "
                    "not: close one at a time, and read what comes alive."
                )
                self.left_out, self.open = (more,), self.open + 1
                break
            del self._dead[device.name]
            if self._is_barred(device):
                barred.append(device.name)
                continue
            word = "fit" if device.kind == "fuse" else "close"
            place = f", {device.location}" if device.location else ""
            yield from self._step(f"{number}. {word} {named(device)}{place}", device)
        if barred:
            names = ", ".join(barred)
            said = f"Kept open by a mechanical interlock, tried in turn afterwards: {names}."
            self.left_out = (*self.left_out, said)
        if self._dead and not self.open:
            names = ", ".join(self._dead)
            said = f"Behind contacts that are open at rest, closed later: {names}."
            self.left_out = (*self.left_out, said)

    def _is_barred(self, device: Device) -> bool:
        """Whether a mechanical interlock keeps it open as all stands now."""
        moved = dict.fromkeys(self._switches(device), 1)
        there = settled(self._alive.standing, moved)
        machine = there.states.machine
        return not all(there.holds(literal) for literal in machine.constraints)

    def _held(self, device: Device) -> list[str]:
        """Its mechanisms that open and close."""
        return [
            name
            for name in device.mechanisms
            if self.panel.mechanisms[name].positions == ("open", "closed")
        ]

    def _all_open(self, rated: ComponentValues) -> Standing:
        """Nothing closed by hand yet, no source there."""
        standing = replace(stand(movable(self.panel), powered=False), rated=rated)
        switches = standing.states.machine.switches
        names = (name for device in self._dead.values() for name in self._held(device))
        return settled(standing, {name: 0 for name in names if name in switches})

    def _close(self, device: Device | None) -> None:
        """A device closed by hand, or the supply that comes from outside switched on."""
        moved = dict.fromkeys(self._sources() if device is None else self._switches(device), 1)
        self._alive.close(moved)

    def _switches(self, device: Device) -> list[str]:
        switches = self._alive.standing.states.machine.switches
        return [name for name in self._held(device) if name in switches]

    def _sources(self) -> list[str]:
        mechanisms, switches = self.panel.mechanisms, self._alive.standing.states.machine.switches
        return [name for name in switches if mechanisms[name].drive is Drive.SOURCE]

    # ---- what is live, by where current can come without a contact -------------------------

    def _live(self) -> set[str]:
        live: set[str] = set()
        todo = deque(
            f"{source.device}:{pole}"
            for source in self.panel.sources
            if source.mechanism
            for pole in source.poles
        )
        while todo:
            at = todo.popleft()
            if at in live:
                continue
            live.add(at)
            todo.extend(one.end for one in steps(self.panel, at, self._passes))
            for source in self.panel.sources:
                ends = [self.panel.parts[index] for index in source.inputs]
                if any(at in (part.a, part.b) for part in ends):
                    todo.extend(f"{source.device}:{pole}" for pole in source.poles)
        return live

    def _passes(self, part: Part, forwards: bool) -> bool:
        return part.conducts is Conducts.JOINS and part.device not in self._dead

    def _is_fed(self, device: Device, live: set[str]) -> bool:
        return any(terminal in live for terminal in device.terminals)

    # ---- one step --------------------------------------------------------------------------

    def _step(self, said: str, device: Device | None) -> Iterator[tuple[Cell, ...]]:
        try:
            self._close(device)
            self._refuse_a_short()
            points = list(self._points(device))
        except Unreadable as reason:
            self.open += 1
            yield said, "", "", "", "", f"not decided: {reason}", "do not close it", "", "", ""
            return
        dead, amperes = self._still_dead(), self._amperes()
        told: set[str] = set()
        for number, (terminal, reading, against) in enumerate(points):
            also = "" if terminal in told else self._also(terminal)
            told.add(terminal)
            yield (
                said, terminal, self._wire(terminal), also, against,
                str(reading), _limits(reading), dead if number == 0 else "",
                amperes if number == 0 else "", "",
            )  # fmt: skip
        if not points:
            yield said, "", "", "", "", "nothing new is live", "", dead, amperes, ""

    def _amperes(self) -> str:
        """Of each pole that gives any."""
        found = [(pole, amperes) for pole, amperes in self._alive.amperes() if amperes >= LEAST_A]
        return "\n".join(f"{pole} {figure(amperes, 'A')}" for pole, amperes in found)

    def _refuse_a_short(self) -> None:
        """Raises Unreadable where a supply that comes from outside is pulled down."""
        for source in self.panel.sources:
            home, *others = sorted(source.poles, key=lambda pole: abs(source.poles[pole]))
            for pole in others if source.mechanism else ():
                red, black = f"{source.device}:{pole}", f"{source.device}:{home}"
                reading = self._alive.read(red, black)
                nominal_v = abs(source.poles[pole] - source.poles[home])
                if reading.size_v < PULLED_DOWN * nominal_v:
                    raise Unreadable(f"a short: {red} would read {reading} against {black}")

    def _points(self, device: Device | None) -> Iterator[tuple[str, Reading, str]]:
        """Each node that is new to be live, against its own source's return; then what is new
        at the device, one pole against another."""
        new = [(terminal, *self._against(terminal)) for terminal in self._new(device)]
        yield from new
        own = set(device.terminals) if device is not None else set(self._poles())
        poles = [terminal for terminal, _, _ in new if terminal in own]
        for red, black in list(combinations(poles, 2))[:MOST_PAIRS]:
            reading = self._alive.read(red, black)
            if reading.size_v >= LEAST_V:
                yield red, reading, black

    def _poles(self) -> Iterator[str]:
        return (f"{one.device}:{pole}" for one in self.panel.sources for pole in one.poles)

    def _against(self, terminal: str) -> tuple[Reading, str]:
        """Against the return of a source of its kind, as a meter is really put there."""
        ground, at = self._alive.ground_of(terminal)
        for source in self.panel.sources:
            home = next((pole for pole, volts in source.poles.items() if not volts), None)
            if source.kind == ground.kind and home is not None:
                reading = self._alive.read(terminal, f"{source.device}:{home}")
                if reading.like(ground):
                    return reading, f"{source.device}:{home}"
        return ground, at

    def _new(self, device: Device | None) -> Iterator[str]:
        """A terminal of each node that is live now and was not before; strips first."""
        fresh: dict[int, list[str]] = {}
        for terminal in self.panel.terminals:
            if terminal not in self._alive.fresh or terminal not in self.panel.wires_at:
                continue
            if (node := self._node[terminal]) not in self._told:
                fresh.setdefault(node, []).append(terminal)
        own = set(device.terminals) if device is not None else set[str]()
        for node, terminals in fresh.items():
            reading, _ = self._alive.ground_of(terminals[0])
            at_device = [one for one in terminals if one in own]
            if not reading.floats and reading.size_v >= LEAST_V:
                self._told.add(node)
                yield (at_device or terminals)[0]

    def _wire(self, terminal: str) -> str:
        numbers = [wire.number for wire in self.panel.wires_at.get(terminal, ())]
        return ", ".join(dict.fromkeys(number for number in numbers if number))

    def _also(self, terminal: str) -> str:
        members = self._members[self._node[terminal]]
        return ", ".join(one for one in members if one != terminal)

    def _still_dead(self) -> str:
        """What is fed now and not closed yet: nothing behind it may be live."""
        live = self._live()
        shut = [one.name for one in self._dead.values() if self._is_fed(one, live)]
        more = f" and {len(shut) - MOST_DEAD} more" if len(shut) > MOST_DEAD else ""
        return f"behind {', '.join(shut[:MOST_DEAD])}{more}" if shut else ""


def _limits(reading: Reading) -> str:
    room = TOLERANCE * reading.size_v
    return f"{reading.size_v - room:.3g} to {reading.size_v + room:.3g}"


def _places(panel: Panel) -> Unions[str]:
    """Terminals that wires and bridged strips join are one place to a meter."""
    places: Unions[str] = Unions()
    for terminal in panel.terminals:
        places.find(terminal)
    for wire in panel.wires:
        places.join(wire.a, wire.b)
    for part in panel.parts:
        if part.conducts is Conducts.JOINS and panel.devices[part.device].kind in STRIPS:
            places.join(part.a, part.b)
    return places
