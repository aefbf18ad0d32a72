"""Wires lifted at stops, for a test: what then will not start.

All of them are played at once: the power goes, the wire is lifted, the power comes back, and
every button that has a say is pressed and let go.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.facts.load_feeds import LoadFeed
from netcheck.facts.stop_devices import StopDevice, StopDevices
from netcheck.model.devices import Drive
from netcheck.model.faults import wire_open
from netcheck.model.wires import Wire
from netcheck.record import record
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.running import Running
from netcheck.states.breakable import Breakable
from netcheck.states.faults_at_once import FaultsAtOnce, Played, state_of

LIFTED = 2
"""Wires of each stop that are lifted for a test: one on either side."""


@record
class Lifted:
    """One wire, the end it is lifted at, and the running loads that then will not start."""

    wire: Wire
    end: str
    off: tuple[LoadFeed, ...]


class LiftedWires:
    """The wires at the stops of one panel."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._stops = bench.fact(StopDevices).stops
        self._tried = list(dict(self._wires()).values())
        panel = bench.panel
        faults = [wire_open(panel, wire) for wire, _ in self._tried]
        self._machine = FaultsAtOnce(Breakable(panel, faults, certain=True)) if faults else None

    def _wires(self) -> Iterator[tuple[int, tuple[Wire, str]]]:
        for stop in self._stops:
            yield from list(dict(self._at(stop)).items())[:LIFTED]

    def _at(self, stop: StopDevice) -> Iterator[tuple[int, tuple[Wire, str]]]:
        for end in stop.device.terminals:
            for wire in self._bench.panel.wires_at.get(end, ()):
                yield wire.index, (wire, end)

    def from_here(self, running: Running) -> Iterator[Lifted]:
        """Those that keep a load off that runs in this state."""
        if self._machine is None:
            return
        there = self._started_again(self._machine, running)
        on = {load.name: there.on(load.parts) for load in running.loads}
        for number, (wire, end) in enumerate(self._tried):
            bit = 1 << number
            off = tuple(load for load in running.loads if not on[load.name] & bit)
            if off and bit & there.settled:
                yield Lifted(wire, end, off)

    def _started_again(self, machine: FaultsAtOnce, running: Running) -> Played:
        whole, mechanisms = running.standing, self._bench.panel.mechanisms
        switches = whole.states.machine.switches
        sources = [name for name in switches if mechanisms[name].drive is Drive.SOURCE]
        there = machine.standing(state_of(whole.states.machine, whole.values))
        there = there.after(dict.fromkeys(sources, 0)).with_faults()
        there = there.after(dict.fromkeys(sources, 1))
        for name in self._buttons(running):
            there = there.after({name: len(mechanisms[name].positions) - 1}).after({name: 0})
        return there

    def _buttons(self, running: Running) -> list[str]:
        """Those with a say in what runs, stops apart."""
        panel, states = self._bench.panel, running.standing.states
        on = [states.energised(part) for load in running.loads for part in load.parts]
        say = set(states.prover.depends_on(states.logic.any_of(on)))
        stops = {one.mechanism.name for one in self._stops}
        return [
            name
            for name in states.machine.switches
            if name in say - stops and panel.devices[panel.mechanisms[name].device].kind == "button"
        ]
