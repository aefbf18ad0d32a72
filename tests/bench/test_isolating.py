"""Lock-out lists, held against reachability in a graph that networkx walks."""

from __future__ import annotations

import networkx
import pytest

from netcheck.bench import isolate_json, isolate_text
from netcheck.bench.isolate_document import IsolateDocument
from netcheck.bench.isolating import Isolation, Isolator
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from netcheck.report.closing import CAUTION
from netcheck.report.terminal import columns
from tests.bench.panels import BRANCHES, HEATER, greenhouse, panel_of
from tests.bench.test_documents import check

TWO_SOURCES = """\
panel "Pump with control from elsewhere"
source MAINS 120/240 V AC 60 Hz, three-wire, 10 kA available, neutral bonded here
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
breaker CB1 2-pole 20 A 120/240 V AC
disconnect QS1 2-pole 30 A 240 V AC
button S1 normally open 13-14
contactor K1 coil 24 V DC 3 W; 2 main poles; normally open 13-14
heater HTR1 3 kW 240 V AC
lamp H1 24 V DC 1 W
circuit "Heater"
  MAINS:L1 --1-- CB1:1-2 --3-- K1:1-2 --5-- QS1:1-2 --7-- HTR1:1
  MAINS:L2 --2-- CB1:3-4 --4-- K1:3-4 --6-- QS1:3-4 --8-- HTR1:2
  E1:+ --11-- S1 --12-- K1:A1-A2 --13-- E1:0V
  E1:+ --14-- K1:13-14 --15-- H1 --16-- E1:0V
"""

BACKWARDS = """\
panel "Two transformers on one bus"
source MA 240 V AC single-phase 60 Hz, 10 kA available, ungrounded
source MB 240 V AC single-phase 60 Hz, 10 kA available, ungrounded
breaker CB1 2-pole 20 A 240 V AC
breaker CB2 2-pole 20 A 240 V AC
transformer T1 240 V to 24 V AC 100 VA
transformer T2 240 V to 24 V AC 100 VA
lamp H1 24 V AC 5 W
circuit "Bus"
  MA:L1 --1-- CB1:1-2 --3-- T1:H1
  MA:L2 --2-- CB1:3-4 --4-- T1:H2
  MB:L1 --5-- CB2:1-2 --7-- T2:H1
  MB:L2 --6-- CB2:3-4 --8-- T2:H2
  T1:X1 --9-- H1 --10-- T1:X2
  T2:X1 --11-- H1:X1
  T2:X2 --12-- H1:X2
"""


def reached(panel: Panel, opened: set[str]) -> set[str]:
    """Terminals that an ungrounded pole of a source reaches, another way."""
    graph = networkx.Graph()
    ground = networkx.Graph()
    for wire in panel.wires:
        graph.add_edge(wire.a, wire.b)
        ground.add_edge(wire.a, wire.b)
    for part in panel.parts:
        if part.conducts in (Conducts.JOINS, Conducts.BOND) and not part.mechanism:
            ground.add_edge(part.a, part.b)
        if part.conducts in (Conducts.NOTHING, Conducts.BOND):
            continue
        if part.device in opened and part.conducts is Conducts.JOINS:
            continue
        graph.add_edge(part.a, part.b)
    held: set[str] = set()
    for source in panel.sources:
        pole = f"{source.device}:{source.grounded_pole}"
        if source.grounded_pole:
            held |= {pole, *(networkx.node_connected_component(ground, pole)
                             if pole in ground else ())}  # fmt: skip
    graph.remove_nodes_from(held)
    starts = set()
    for source in panel.sources:
        poles = [f"{source.device}:{pole}" for pole in source.poles]
        if not source.inputs and source.device not in opened:
            starts |= set(poles) - held
        for index in source.inputs:
            part = panel.parts[index]
            for end in {part.a, part.b} - held:
                for pole in set(poles) - held:
                    graph.add_edge(end, pole)
    return set().union(*(networkx.node_connected_component(graph, at) for at in starts
                         if at in graph), starts)  # fmt: skip


PANELS = [BRANCHES, HEATER, TWO_SOURCES, BACKWARDS, ""]


@pytest.mark.parametrize("text", PANELS)
def test_with_its_list_locked_nothing_reaches_a_device_and_no_handle_of_it_is_idle(
    text: str,
) -> None:
    """Electronic supplies count as ways back in the second opinion, so it reaches no less."""
    panel = panel_of(text) if text else greenhouse()
    isolator = Isolator(panel)
    for name, device in panel.devices.items():
        told = isolator.of(name)
        points = set(device.terminals)
        locked = {*told.handles, *told.elsewhere}
        assert points.isdisjoint(isolator.reach(locked))
        assert points.isdisjoint(reached(panel, locked))
        for one in locked:
            assert not points.isdisjoint(isolator.reach(locked - {one}))


def of(text: str, device: str) -> Isolation:
    return Isolator(panel_of(text)).of(device)


def test_control_power_from_elsewhere_needs_a_lock_of_its_own() -> None:
    told = of(TWO_SOURCES, "K1")
    assert ("MAINS", "E1") == told.sources
    assert ("CB1",) == told.handles
    assert ("E1",) == told.elsewhere


def test_what_is_isolated_near_by_leaves_the_rest_on() -> None:
    told = of(TWO_SOURCES, "HTR1")
    assert ("QS1",) == told.handles
    assert () == told.elsewhere
    assert "K1" in told.stays_live


def test_a_transformer_fed_backwards_needs_both_breakers() -> None:
    told = of(BACKWARDS, "T1")
    assert ("MA", "MB") == told.sources
    assert {"CB1", "CB2"} == set(told.handles)
    assert ("MA", "MB") == of(BACKWARDS, "CB1").sources


def test_a_handle_does_not_isolate_its_own_line_side() -> None:
    assert ("MAINS",) == of(TWO_SOURCES, "CB1").elsewhere


def test_every_live_point_is_proved_to_ground_and_against_every_other() -> None:
    told = of(TWO_SOURCES, "HTR1")
    assert ("HTR1:1 to MAINS:N", "HTR1:2 to MAINS:N", "HTR1:1 to HTR1:2") == told.prove_dead


def test_the_documents_are_as_the_schema_says_and_narrow() -> None:
    isolator = Isolator(panel_of(TWO_SOURCES))
    every = tuple(isolator.of(name) for name in isolator.panel.devices)
    for document in (
        IsolateDocument("a.panel", True, every),
        IsolateDocument("a.panel", False, every),
    ):
        check("isolate", isolate_json.render(document))
        text = isolate_text.render(document, colour=False, width=60)
        assert [] == [line for line in text.splitlines() if columns(line) > 60]
        whole = isolate_text.render(document, colour=False, width=None)
        assert whole.endswith("\n".join(CAUTION) + "\n")
        assert "0 V is not proof that it is dead" in whole
