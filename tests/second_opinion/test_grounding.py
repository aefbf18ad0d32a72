"""Which metal leads to ground, asked again of networkx: each grounding wire taken out in turn."""

from __future__ import annotations

from pathlib import Path

import networkx as nx
import pytest

from netcheck.case import Case
from netcheck.facts.ground_paths import TOUCHABLE_V, GroundPaths
from netcheck.facts.grounding_wires import GroundingWires
from netcheck.model.build import build_panel
from netcheck.model.devices import Conducts, Device
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from netcheck.record import replace
from tests.annotated import Texts

SAMPLES = Path(__file__).parents[2] / "samples"
TEXTS = {
    path.relative_to(SAMPLES).as_posix(): path.read_text(encoding="utf-8")
    for folder in ("sound", "panels")
    for path in sorted((SAMPLES / folder).rglob("*.panel"))
}


def panel_of(path: str) -> Panel:
    panel, _ = build_panel(path, gather(path, Texts(TEXTS)))
    return panel


def without(panel: Panel, index: int) -> Panel:
    left = [wire for wire in panel.wires if wire.index != index]
    return replace(panel, wires=tuple(replace(wire, index=at) for at, wire in enumerate(left)))


def conductors(panel: Panel) -> nx.Graph[str]:
    """What is joined whatever stands where: wires, bars, bridges, bonds."""
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(panel.terminals)
    graph.add_edges_from((wire.a, wire.b) for wire in panel.wires)
    graph.add_edges_from(
        (part.a, part.b)
        for part in panel.parts
        if part.conducts is Conducts.BOND
        or (part.conducts is Conducts.JOINS and not part.mechanism)
    )
    return graph


def has_more_than_a_touch(panel: Panel, device: Device) -> bool:
    volts = [panel.sources[index].volts for index in device.sources]
    loads = [panel.parts[index].load for index in device.parts]
    volts += [load.volts for load in loads if load is not None and load.volts is not None]
    return max(volts, default=0.0) > TOUCHABLE_V


def off_ground(panel: Panel) -> set[str]:
    """Devices with loads above the touch voltage whose PE no present source's ground reaches."""
    graph = conductors(panel)
    roots = {
        terminal
        for source in panel.sources
        if source.mechanism
        for terminal in (f"{source.device}:PE", *(f"{source.device}:{p}" for p in source.poles))
        if terminal in graph
    }
    reached = {node for root in roots for node in nx.node_connected_component(graph, root)}
    return {
        device.name
        for device in panel.devices.values()
        if f"{device.name}:PE" in device.terminals
        and device.kind != "edge"
        and not any(panel.sources[index].mechanism for index in device.sources)
        and has_more_than_a_touch(panel, device)
        and f"{device.name}:PE" not in reached
    }


def found(panel: Panel) -> set[str]:
    islands = Case(panel).conclude(GroundPaths).ungrounded
    return {name for island in islands for name in island.devices}


@pytest.mark.parametrize("path", TEXTS)
def test_every_grounding_wire_taken_out_leaves_off_ground_what_networkx_says(path: str) -> None:
    panel = panel_of(path)
    if not panel.devices:
        return
    by_loads = {name for name, one in panel.devices.items() if has_more_than_a_touch(panel, one)}
    assert off_ground(panel) == found(panel) == set()
    for index in sorted(Case(panel).conclude(GroundingWires).wires):
        fewer = without(panel, index)
        assert off_ground(fewer) == found(fewer) & by_loads


def test_without_the_grounding_core_of_its_cable_the_north_pump_is_off_ground() -> None:
    panel = panel_of("panels/greenhouse.panel")
    core = next(wire for wire in panel.wires if wire.number == "W1.3")
    assert {"M1"} == found(without(panel, core.index))
