"""The test script: what a person does at the machine, what must follow, and a box to tick.

It is played through from the same states as the one-fault table: each line says what this
panel does, not what it should.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from netcheck.bench.standing import Standing, settled
from netcheck.facts.stop_devices import StopDevices
from netcheck.figure import figure
from netcheck.model.devices import Drive, Mechanism
from netcheck.model.panel import Panel
from netcheck.report.sheets.bench import Bench, highest_volts
from netcheck.report.sheets.lifted import LiftedWires
from netcheck.report.sheets.running import Running
from netcheck.report.sheets.table import Cell, Table

WAIT = "wait 10 seconds"


def stop_script(bench: Bench) -> Table:
    wires = LiftedWires(bench)
    rows = [row for number, one in enumerate(bench.running.states, 1)
            for row in _Script(bench, one, number, wires).rows()]  # fmt: skip
    notes = (
        "Only by who may do it, the machine clear of people, tools and product, another person "
        "at the disconnect.  Wires are lifted with power off, locked and proved dead.",
        "A line with STARTS is how it is wired, wanted or not: stand clear, and judge it.",
        *highest_volts(bench.panel),
        "Wait at each step for timers.  What does not happen as written: stop, and find out why.",
        "Grounded wires and welded contacts are not tried on the machine: see One fault at a time.",
        *(f"Not in this script, {line}." for line in bench.running.never),
    )
    columns = ("part", "step", "do", "must happen", "amperes, as rated", "seen")
    empty = "no stop, or nothing that a stop should stop, or nothing of it could be made to run"
    return Table("script", "Test script of stops", columns, tuple(rows), notes, empty,
                 frozenset((5,)), len(bench.running.never), grouped=True, once=(4,))  # fmt: skip


class _Script:
    """One running state, and what is done from there."""

    def __init__(self, bench: Bench, running: Running, number: int, wires: LiftedWires) -> None:
        self._bench = bench
        self._panel: Panel = bench.panel
        self._running = running
        self._names = [load.name for load in running.loads]
        self._number = number
        self._wires = wires
        self._step = 0

    def rows(self) -> Iterator[tuple[Cell, ...]]:
        part = f"{self._number}. Start it"
        names = ", ".join(self._names)
        steps = self._running.steps or ("power on",)
        for place, step in enumerate(steps, 1):
            last = place == len(steps)
            must, amperes = (f"{names} run", self._amperes()) if last else ("", "")
            yield self._row(part, self._described(step), must, amperes)
        yield from self._stops()
        yield from self._others()
        yield from self._power()
        yield from self._lifted()

    def _row(self, part: str, do: str, must: str, amperes: str = "") -> tuple[Cell, ...]:
        self._step += 1
        return part, f"{self._number}.{self._step:02d}", do, must, amperes, ""

    def _amperes(self) -> str:
        """What a clamp must not show more of, load by load."""
        loads = {load.name: load.parts[0].load for load in self._running.loads}
        rated = {name: None if one is None else one.current_a for name, one in loads.items()}
        return "; ".join(
            f"{name} {'not said' if amperes is None else figure(amperes, 'A')}"
            for name, amperes in rated.items()
        )

    # ---- what is played --------------------------------------------------------------------

    def _on(self, standing: Standing) -> list[str]:
        """The names of the loads that are on."""
        states = standing.states
        return [
            load.name
            for load in self._running.loads
            if any(standing.holds(states.energised(part)) for part in load.parts)
        ]

    def _after(self, standing: Standing, moved: Mapping[str, int]) -> tuple[Standing, str]:
        """Where it then stands, and in words what of the loads changed."""
        there = settled(standing, moved)
        if there.restless:
            return there, "NOT DECIDED: relays do not come to rest"
        before, after = self._on(standing), self._on(there)
        stopped = [name for name in before if name not in after]
        started = [name for name in after if name not in before]
        told = [f"{', '.join(stopped)} stop{'s' * (len(stopped) == 1)}"] if stopped else []
        if started:
            told.append(f"{', '.join(started)} START{'S' * (len(started) == 1)}")
        return there, "; ".join(told) or "nothing starts or stops"

    def _stops(self) -> Iterator[tuple[Cell, ...]]:
        part = f"{self._number}. Each stop"
        for stop in self._bench.fact(StopDevices).stops:
            name = stop.mechanism.name
            if name not in self._running.standing.states.machine.switches:
                continue
            held, told = self._after(self._running.standing, {name: stop.stopping})
            if held.restless or self._on(held) == self._names:
                continue
            yield self._row(part, f"{self._verb(stop.mechanism, stop.stopping)}, keep it", told)
            released, told = self._after(held, {name: 0})
            yield self._row(part, f"{self._verb(stop.mechanism, 0)}, {WAIT}", told)
            if self._on(released) != self._names:
                yield self._row(part, "start all again", "all run as before")

    def _others(self) -> Iterator[tuple[Cell, ...]]:
        """What the process or a protection moves: limits, floats, trips; there and back."""
        part = f"{self._number}. Limits, floats and trips"
        standing = self._running.standing
        for name, mechanism in self._panel.mechanisms.items():
            device = self._panel.devices[mechanism.device]
            trip = device.kind == "overload"
            if name not in standing.states.machine.switches:
                continue
            if mechanism.drive is not Drive.PROCESS and not trip:
                continue
            now = mechanism.positions.index(standing.position(name))
            for position in sorted(mechanism.resting - {now}):
                there, told = self._after(standing, {name: position})
                if not there.restless and self._on(there) == self._names:
                    continue
                yield self._row(part, self._verb(mechanism, position), told)
                _, told = self._after(there, {name: now})
                yield self._row(part, f"{self._verb(mechanism, now)}, {WAIT}", told)

    def _power(self) -> Iterator[tuple[Cell, ...]]:
        part = f"{self._number}. Power lost and back"
        standing = self._running.standing
        names = [
            name
            for name in standing.states.machine.switches
            if self._panel.mechanisms[name].drive is Drive.SOURCE
        ]
        if not names:
            return
        gone, told = self._after(standing, dict.fromkeys(names, 0))
        yield self._row(part, "open the main, leave every switch as it is", told)
        _, told = self._after(gone, dict.fromkeys(names, 1))
        yield self._row(part, f"close the main, {WAIT}", told)

    def _lifted(self) -> Iterator[tuple[Cell, ...]]:
        """A wire lifted at each stop: the stop must fail to the safe side."""
        part = f"{self._number}. A wire lifted at each stop"
        for one in self._wires.from_here(self._running):
            do = f"lift wire {one.wire.number or 'without number'} at {one.end}, power on, start"
            yield self._row(part, do, f"{', '.join(load.name for load in one.off)} will not start")

    def _described(self, step: str) -> str:
        """A step with what its device is called."""
        found = (
            self._panel.devices.get(word.strip(",").partition(":")[0]) for word in step.split()
        )
        said = next((one.description for one in found if one is not None and one.description), "")
        return f"{step} ({said})" if said else step

    def _verb(self, mechanism: Mechanism, position: int) -> str:
        said = mechanism.steps[position] or mechanism.positions[position]
        description = self._panel.devices[mechanism.device].description
        return f"{said} ({description})" if description else said
