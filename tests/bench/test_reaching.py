"""The sources that can reach each point, held against every state of a panel tried in turn."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

import networkx
import pytest
from click.testing import CliRunner

from netcheck.bench import isolate_json, isolate_text
from netcheck.bench.isolate_document import IsolateDocument
from netcheck.bench.isolating import Isolator
from netcheck.bench.reaching import Point, Reaching
from netcheck.cli.main import group
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from netcheck.report.terminal import columns
from tests.bench.panels import BRANCHES, HEATER, SAMPLES, greenhouse, panel_of
from tests.bench.test_documents import check
from tests.bench.test_isolating import BACKWARDS, DRIVE, NEUTRAL, STOPPED, TWO_SOURCES

TWO_WAYS = """\
panel "Lamp from either of two breakers"
source MAINS 120 V AC 60 Hz, 10 kA available, neutral bonded here
breaker CB1 1-pole 15 A 120 V AC
breaker CB2 1-pole 15 A 120 V AC
switch S1 normally open 1-2
switch S2 normally open 1-2
lamp H1 120 V AC 60 W
circuit "Lamp"
  MAINS:L --1-- CB1 --2-- S1 --4-- H1 --N-- MAINS:N
  MAINS:L --1-- CB2 --3-- S2 --4-- H1:X1
"""

PANELS = [BRANCHES, HEATER, TWO_SOURCES, BACKWARDS, DRIVE, STOPPED, NEUTRAL, TWO_WAYS]


def points_of(panel: Panel) -> list[Point]:
    return list(Reaching(Isolator(panel)).points())


def fed_in_some_state(panel: Panel, opened: set[str]) -> dict[str, set[str]]:
    """For each terminal the sources that reach it in at least one of all states."""
    handles = {n for one in panel.devices.values() if one.kind in ("breaker", "disconnect")
               for n in one.mechanisms}  # fmt: skip
    moved = [name for name in panel.mechanisms if name not in handles]
    found: dict[str, set[str]] = {}
    for positions in product(*(range(len(panel.mechanisms[n].positions)) for n in moved)):
        graph, held = graph_in(panel, opened, dict(zip(moved, positions, strict=True)))
        for source in panel.sources:
            if source.inputs or source.device in opened:
                continue
            for pole in {f"{source.device}:{pole}" for pole in source.poles} - held:
                for at in {pole, *networkx.descendants(graph, pole)}:
                    found.setdefault(at, set()).add(source.device)
    return found


def graph_in(
    panel: Panel, opened: set[str], positions: Mapping[str, int]
) -> tuple[networkx.DiGraph, set[str]]:
    """What conducts in one state, and what is held at ground by wire and fixed joints."""
    graph, fixed = networkx.DiGraph(), networkx.Graph()
    graph.add_nodes_from(t for one in panel.devices.values() for t in one.terminals)
    for wire in panel.wires:
        graph.add_edges_from([(wire.a, wire.b), (wire.b, wire.a)])
        fixed.add_edge(wire.a, wire.b)
    for part in panel.parts:
        if part.conducts in (Conducts.JOINS, Conducts.BOND) and not part.mechanism:
            fixed.add_edge(part.a, part.b)
        if part.conducts in (Conducts.NOTHING, Conducts.BOND):
            continue
        if part.device in opened and part.conducts is Conducts.JOINS:
            continue
        moves = part.load is None and part.mechanism in positions
        if not moves or positions[part.mechanism] in part.closed:
            graph.add_edges_from([(part.a, part.b), (part.b, part.a)])
    held: set[str] = set()
    for source in panel.sources:
        graph.add_nodes_from(f"{source.device}:{pole}" for pole in source.poles)
        if source.grounded_pole:
            pole = f"{source.device}:{source.grounded_pole}"
            held |= {pole, *(networkx.node_connected_component(fixed, pole)
                             if pole in fixed else ())}  # fmt: skip
    for source in panel.sources:
        for index in source.inputs:
            fed = panel.parts[index]
            through = list(product((fed.a, fed.b), [f"{source.device}:{p}" for p in source.poles]))
            graph.add_edges_from(through)
            if fed.role == "primary":
                graph.add_edges_from((pole, end) for end, pole in through)
    graph.remove_nodes_from(held)
    return graph, held


@pytest.mark.parametrize("text", PANELS)
def test_a_source_is_told_of_a_point_where_some_state_leads_it_there_and_nowhere_else(
    text: str,
) -> None:
    panel = panel_of(text)
    found = fed_in_some_state(panel, set())
    told = {t: {f.source for f in one.feeds} for one in points_of(panel) for t in one.terminals}
    for terminal, sources in told.items():
        assert found.get(terminal, set()) == sources, terminal


@pytest.mark.parametrize("text", PANELS)
def test_what_opens_a_way_does_so_in_every_state_and_what_is_not_told_does_not(text: str) -> None:
    panel = panel_of(text)
    isolator = Isolator(panel)
    without = {name: fed_in_some_state(panel, {name}) for name in isolator.handles}
    for point in Reaching(isolator).points():
        at = point.terminals[0]
        for feed in point.feeds:
            alone = [h for h in isolator.handles if feed.source not in without[h].get(at, ())]
            assert alone == list(feed.opened_by)
            every = fed_in_some_state(panel, set(isolator.handles)).get(at, set())
            if feed.opened_together:
                both = fed_in_some_state(panel, set(feed.opened_together))
                assert feed.source not in both.get(at, set())
            assert bool(feed.opened_by or feed.opened_together) == (feed.source not in every)


@pytest.mark.parametrize("text", ["", *PANELS])
def test_every_way_leads_from_its_source_over_what_is_joined(text: str) -> None:
    panel = panel_of(text) if text else greenhouse()
    for point in points_of(panel):
        devices = {terminal.partition(":")[0] for terminal in point.terminals}
        for feed in point.feeds:
            assert feed.source == feed.way[0]
            assert feed.way[-1] in devices
            assert set(feed.backwards) <= set(feed.way)


def test_the_lock_out_list_of_a_device_cuts_off_every_source_of_its_points() -> None:
    panel = greenhouse()
    isolator = Isolator(panel)
    for name in panel.devices:
        locked = isolator.of(name)
        reach = isolator.reach((*locked.handles, *locked.elsewhere))
        for point in Reaching(isolator).points(name):
            own = [t for t in point.terminals if t in panel.devices[name].terminals]
            assert not any(reach.get(terminal) for terminal in own)


def at(text: str, terminal: str) -> Point:
    return next(one for one in points_of(panel_of(text)) if terminal in one.terminals)


def test_control_power_from_elsewhere_is_called_that() -> None:
    (feed,) = at(TWO_SOURCES, "S1:14").feeds
    assert ("E1", True, ()) == (feed.source, feed.elsewhere, feed.opened_by)


def test_a_transformer_fed_from_its_secondary_is_told_as_backwards() -> None:
    feeds = {feed.source: feed for feed in at(BACKWARDS, "T1:H1").feeds}
    assert ("T1",) == feeds["MB"].backwards
    assert () == feeds["MA"].backwards
    assert ("CB2",) == feeds["MB"].opened_by


def test_two_ways_from_one_source_need_both_handles_opened() -> None:
    (feed,) = at(TWO_WAYS, "H1:X1").feeds
    assert ((), ("CB1", "CB2")) == (feed.opened_by, feed.opened_together)


def test_what_keeps_a_charge_is_told_of_what_it_feeds() -> None:
    assert any("VFD1" in words for words in at(DRIVE, "M1:T1").stored)


def test_a_grounded_conductor_is_told_as_held_and_no_source_of_it() -> None:
    point = at(STOPPED, "MAINS:N")
    assert point.grounded
    assert () == point.feeds


@pytest.mark.parametrize("width", [40, 60])
def test_the_points_are_as_the_schema_says_and_narrow(width: int) -> None:
    for panel in (greenhouse(), panel_of(BACKWARDS), panel_of(TWO_WAYS)):
        document = IsolateDocument("a.panel", True, points=tuple(points_of(panel)))
        check("isolate", isolate_json.render(document))
        text = isolate_text.render(document, colour=False, width=width)
        assert [] == [line for line in text.splitlines() if columns(line) > width]


def test_the_command_tells_the_points_of_one_device() -> None:
    panel = str(SAMPLES / "greenhouse.panel")
    result = CliRunner().invoke(group, ["isolate", panel, "K1", "--points"])
    assert 0 == result.exit_code
    assert "K1:13 SS1:14 S2:13  (wire 313)" in result.stdout
    assert "opened by QS1 or CB0 or CB8" in result.stdout
