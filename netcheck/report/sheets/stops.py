"""The stop grid: each load that stops are to stop, against each stop."""

from __future__ import annotations

from math import prod

from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import LoadFeed, energised
from netcheck.facts.stop_devices import StopDevice, StopDevices
from netcheck.facts.unstopped_loads import UnstoppedLoad, UnstoppedLoads
from netcheck.report.sheets.bench import Bench, named
from netcheck.report.sheets.table import Cell, Table
from netcheck.states.answers import Undecided
from netcheck.states.witness import tell_path

STOPS = "stops in all"
MOST_POSITIONS = 1_000_000
NO_SAY = "has no say"


def stop_grid(bench: Bench) -> Table:
    """A cell says that the stop stops the load in all settled states, or the first where not."""
    panel, found = bench.panel, bench.fact(UnstoppedLoads)
    stops = bench.fact(StopDevices).stops
    cells: dict[tuple[str, str], str] = {}
    loads: dict[str, str] = {}
    for one in found.stopped:
        for load in one.loads:
            loads[load.name] = load.device
            cells[load.name, one.stop.mechanism.name] = _stops(bench, one.stop, load)
    for unstopped in found.loads:
        loads[unstopped.load.name] = unstopped.load.device
        cells[unstopped.load.name, unstopped.stop.mechanism.name] = _runs_on(bench, unstopped)
    place = {name: number for number, name in enumerate(panel.devices)}
    rows: list[tuple[Cell, ...]] = []
    for load_name, device in sorted(loads.items(), key=lambda item: place[item[1]]):
        described = f"{load_name} {panel.devices[device].description}".strip()
        grid = [cells.get((load_name, stop.mechanism.name), NO_SAY) for stop in stops]
        rows.append((described, *grid))
    columns = ("load", *(_head(stop) for stop in stops))
    notes = (
        "Settled states with the stop held, every other switch anywhere.  Topology only: this is "
        "no performance level.",
        "The number: positions together of all switches that have a say, relays following.",
        f"`{NO_SAY}`: the load is not wired through that stop, nor stopped by it in any state.",
    )
    left = sum(isinstance(one.answer, Undecided) for one in found.loads)
    empty = "no stop, or nothing that a stop should stop"
    return Table("stops", "Stop grid", columns, tuple(rows), notes, empty, open=left)


def _stops(bench: Bench, stop: StopDevice, load: LoadFeed) -> str:
    """With how many positions of the switches that have a say it was proved for."""
    behaviour, panel = bench.fact(Behaviour), bench.panel
    concerned = behaviour.prover.depends_on(energised(load.parts)(behaviour))
    switches = [
        name
        for name in concerned
        if name in behaviour.machine.switches and name != stop.mechanism.name
    ]
    positions = prod(len(panel.mechanisms[name].resting) for name in switches)
    told = f"{positions:,}" if positions < MOST_POSITIONS else f"2^{positions.bit_length() - 1}"
    return f"{STOPS} {told} states"


def _head(stop: StopDevice) -> str:
    return f"{named(stop.device)}{', emergency stop' if stop.emergency else ''}"


def _runs_on(bench: Bench, one: UnstoppedLoad) -> str:
    if isinstance(one.answer, Undecided):
        return f"not decided: {one.answer.reason}"
    path = one.path(bench.fact(CertainBehaviour).behaviour)
    witness = tell_path(bench.panel, one.answer, path)
    state = ", ".join(f"{name} {position}" for name, position in witness.state.items())
    return f"RUNS ON with {state}" if state else "RUNS ON"
