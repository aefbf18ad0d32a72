"""Swapped wires that one circuit feeds another by, and the nearest that do not.

Each is told by hand from the drawing: which poles are then one place, or lie at a load; and of
sample panels each swap is held against the graph of the panel with it, all places found anew."""

from __future__ import annotations

import networkx as nx
import pytest

from netcheck.bench.candidates import distinct, swapped
from netcheck.bench.fed_apart import FedApart
from netcheck.bench.sound import Sound
from netcheck.bench.standing import Standing, stand
from netcheck.bench.walks import walks_of
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from tests.bench.panels import SAMPLES, panel_of, sample

TWO_CIRCUITS = """\
panel "Vent and pump"
edge E1 24 V DC, fused 4 A, 100 A available, 0V grounded, from "greenhouse panel"
edge E2 120 V AC 60 Hz, two-wire, fused 15 A, 5 kA available, N grounded, from "greenhouse panel"
fuse FU1 2 A
fuse FU2 2 A
switch S1 normally closed 11-12
relay K1 coil 24 V DC 3 W with diode; normally open 13-14 23-24
lamp H1 120 V AC 10 W
circuit "Vent"
  E1:+ --1-- FU1 --2-- S1 --3-- K1:A1-A2 --4-- E1:0V
circuit "Pump"
  E2:L --5-- FU2 --6-- K1:13-14 --7-- H1 --8-- E2:N
"""


@pytest.mark.parametrize(
    ("swap", "mixed"),
    [
        ("wire 2 and wire 3 swapped at S1:11", False),  # a closed contact the other way round
        ("wire 5 and wire 6 swapped at FU2:1", False),
        ("wire 6 and wire 7 swapped at K1:13", False),
        ("wire 3 and wire 4 swapped at K1:A1", True),  # the diode conducts
        ("wire 4 and wire 6 swapped at K1:A2", True),  # 24 V and 120 V at one coil
    ],
)
def test_wires_are_mixed_where_poles_meet_or_a_load_lies_between_poles_of_two_circuits(
    swap: str, mixed: bool
) -> None:
    panel = panel_of(TWO_CIRCUITS)
    standing = stand(panel)
    ways = [
        way
        for load in panel.parts
        if load.load is not None
        for way in walks_of(standing.states, load).ways
    ]
    (candidate,) = (one for one in distinct(swapped(panel, ways)) if one.words == swap)
    apart = FedApart(standing.panel, standing.states.stands(standing.values))
    assert apart.is_mixed_by(candidate.edits[0]) is mixed


WIRES = (Conducts.JOINS, Conducts.CONTACT, Conducts.BOND)


def poles_and_what_lies_between(
    panel: Panel, standing: Standing
) -> tuple[set[object], set[object]]:
    stands = standing.states.stands(standing.values)
    closed = [p for p in panel.parts if not p.mechanism or stands[p.mechanism] in p.closed]
    graph = nx.Graph((wire.a, wire.b) for wire in panel.wires)
    graph.add_edges_from((part.a, part.b) for part in closed if part.conducts in WIRES)
    poles = {f"{one.device}:{pole}" for one in panel.sources for pole in one.poles}
    graph.add_nodes_from(poles)
    at: dict[str, frozenset[str]] = {}
    for group in nx.connected_components(graph):
        at |= dict.fromkeys(group, frozenset(group & poles))
    between: set[object] = set()
    for part in closed:
        if part.conducts not in (*WIRES, Conducts.NOTHING):
            a, b = at.get(part.a, frozenset()), at.get(part.b, frozenset())
            between.add((part.conducts, a, b))
            if part.conducts is not Conducts.ONE_WAY:
                between.add((part.conducts, b, a))
    return {one for one in at.values() if one}, between


@pytest.mark.parametrize("name", ["drive_pump", "fertigation", "potting_shed", "two_houses"])
def test_only_what_the_wires_touch_needs_to_be_looked_at(name: str) -> None:
    panel = sample(SAMPLES / f"{name}.panel")
    sound = Sound(panel)
    ways = [way for load in panel.parts if load.load for way in sound.walks(load).ways]
    standing = sound.standing()
    apart = FedApart(standing.panel, standing.states.stands(standing.values))
    places, between = poles_and_what_lies_between(panel, standing)
    told = []
    for one in distinct(swapped(panel, ways)):
        broken = one.put_in(panel, 0)
        new_places, new_between = poles_and_what_lies_between(broken, standing)
        mixed = not (new_places <= places and new_between <= between)
        assert apart.is_mixed_by(one.edits[0]) is mixed, one.words
        told.append(mixed)
    assert {*told} == {True, False}
