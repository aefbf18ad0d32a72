"""The stop grid: each load that stops are to stop, against each stop."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
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
MOST_COLUMNS = 8
"""Stops that a sheet of paper has room for side by side."""
BY_RESULT = ("load", "result", "stops")
Cells = Mapping[tuple[str, str], str]
Row = tuple[Cell, ...]


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
    described = {
        name: f"{name} {panel.devices[device].description}".strip()
        for name, device in sorted(loads.items(), key=lambda item: place[item[1]])
    }
    many = len(stops) > MOST_COLUMNS
    rows = _by_result(described, stops, cells) if many else _grid(described, stops, cells)
    columns = BY_RESULT if many else ("load", *(_head(stop) for stop in stops))
    notes = (
        "Settled states with the stop held, every other switch anywhere.  Topology only: this is "
        "no performance level.",
        "The number: positions together of all switches that have a say, relays following.",
        f"`{NO_SAY}`: the load is not wired through that stop, nor stopped by it in any state.",
    )
    left = sum(isinstance(one.answer, Undecided) for one in found.loads)
    empty = "no stop, or nothing that a stop should stop"
    return Table("stops", "Stop grid", columns, tuple(rows), notes, empty, open=left, grouped=many)


def _grid(loads: Mapping[str, str], stops: Sequence[StopDevice], cells: Cells) -> Iterator[Row]:
    for load, described in loads.items():
        yield described, *(cells.get((load, stop.mechanism.name), NO_SAY) for stop in stops)


def _by_result(
    loads: Mapping[str, str], stops: Sequence[StopDevice], cells: Cells
) -> Iterator[Row]:
    """Of more stops than a sheet has room for: each result with the stops of which it is true."""
    for load, described in loads.items():
        alike: dict[str, list[str]] = {}
        for stop in stops:
            cell = cells.get((load, stop.mechanism.name), NO_SAY)
            alike.setdefault(cell, []).append(_head(stop))
        unsaid = len(alike.pop(NO_SAY, ()))
        for cell, names in alike.items():
            yield described, cell, "; ".join(names)
        if unsaid:
            yield described, NO_SAY, f"all {unsaid} others" if alike else f"all {unsaid}"


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
