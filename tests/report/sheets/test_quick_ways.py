"""What sheets of big panels take a short way to, against the long way."""

from __future__ import annotations

import pytest

from netcheck.bench.metering import Meter
from netcheck.bench.readings import read
from netcheck.bench.standing import Standing, settled, stand
from netcheck.bench.trial import movable
from netcheck.model.devices import Drive
from netcheck.model.faults import broken, wire_open
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.lifted import LiftedWires
from netcheck.report.sheets.live_so_far import LiveSoFar
from tests.benchmarks.ladders import ladder
from tests.facts.panels import panel_of
from tests.report.sheets.panels import greenhouse


@pytest.fixture(params=["greenhouse", "ladder"], scope="module")
def bench(request: pytest.FixtureRequest) -> Bench:
    return greenhouse() if request.param == "greenhouse" else Bench(panel_of(ladder(16).text()))


def test_behind_what_draws_nothing_a_meter_reads_as_if_all_were_solved_again(bench: Bench) -> None:
    panel = movable(bench.panel)
    rest = stand(panel, powered=False)
    switches = rest.states.machine.switches
    handles = [name for name in switches if bench.panel.mechanisms[name].drive is Drive.PROTECTION]
    sources = [name for name in switches if panel.mechanisms[name].drive is Drive.SOURCE]
    alive = LiveSoFar(settled(rest, dict.fromkeys(handles, 0)))
    for moved in (dict.fromkeys(sources, 1), *({name: 1} for name in handles)):
        alive.close(moved)
        anew = Meter(alive.standing)
        for terminal in panel.terminals:
            for source in panel.sources:
                pole = f"{source.device}:{next(iter(source.poles))}"
                reading, expected = alive.read(terminal, pole), read(anew.steady, terminal, pole)
                assert expected.floats == reading.floats
                assert expected.size_v == pytest.approx(reading.size_v, abs=1e-6)
            if terminal not in alive.fresh and terminal not in alive._reach:
                assert anew.ground_of(terminal)[0].floats
    assert alive.solved <= len(handles)


def test_wires_lifted_all_at_once_keep_off_what_each_keeps_off_alone(bench: Bench) -> None:
    wires = LiftedWires(bench)
    for running in bench.running.states:
        buttons = wires._buttons(running)
        found = {
            one.wire.index: {load.name for load in one.off} for one in wires.from_here(running)
        }
        for wire, _ in wires._tried:
            lifted = stand(broken(bench.panel, wire_open(bench.panel, wire)))
            lifted = _as_running(bench, running.standing, lifted, buttons)
            off = {
                load.name
                for load in running.loads
                if not any(lifted.holds(lifted.states.energised(part)) for part in load.parts)
            }
            assert off == found.get(wire.index, set())


def _as_running(bench: Bench, standing: Standing, there: Standing, buttons: list[str]) -> Standing:
    """Every switch put as in the running state, buttons pressed and let go."""
    mechanisms, switches = bench.panel.mechanisms, there.states.machine.switches
    for name in switches:
        if mechanisms[name].drive is not Drive.SOURCE:
            at = mechanisms[name].positions.index(standing.position(name))
            there = settled(there, {name: at})
    for name in buttons:
        there = settled(there, {name: len(mechanisms[name].positions) - 1})
        there = settled(there, {name: 0})
    return there
