"""Which loads draw through which wires, against networkx, which lists every simple path."""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
from hypothesis import assume, given
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from tests.facts.panels import panel_of

POLES = ("B1:+", "B1:-")


@st.composite
def networks(draw: st.DrawFn) -> Panel:
    """One battery, each lamp on a chain of switches and fuses, and wires that stray."""
    switches = [f"S{n}" for n in range(draw(st.integers(0, 4)))]
    fuses = [f"F{n}" for n in range(draw(st.integers(0, 3)))]
    lamps = [f"H{n}" for n in range(draw(st.integers(1, 3)))]
    contacts = [(f"{name}:1", f"{name}:2") for name in (*switches, *fuses)]
    loads = [(f"{lamp}:X1", f"{lamp}:X2") for lamp in lamps]
    end = st.sampled_from([*POLES, *(end for pair in (*contacts, *loads) for end in pair)])
    wires: set[tuple[str, ...]] = set()
    for load in loads:
        ways = st.lists(st.sampled_from(contacts), max_size=3) if contacts else st.just([])
        before, after = draw(ways), draw(ways)
        stops = [("", POLES[0]), *before, load, *after, (POLES[1], "")]
        drawn = [(left, entered) for (_, left), (entered, _) in pairwise(stops)]
        wires |= {tuple(sorted(pair)) for pair in drawn if pair[0] != pair[1]}
    for a, b in draw(st.lists(st.tuples(end, end), max_size=4)):
        wires |= {tuple(sorted((a, b)))} if a != b else set()
    lines = [
        'panel "Bench"',
        "battery B1 24 V DC, ungrounded",
        *(f"switch {name} normally open 1-2" for name in switches),
        *(f"fuse {name} 5 A" for name in fuses),
        *(f"lamp {name} 24 V DC 1 A" for name in lamps),
        'circuit "All"',
        *(f"  {a} -- {b}" for a, b in sorted(wires)),
    ]
    return panel_of("\n".join(lines) + "\n")


def lamps_by_listing_paths(panel: Panel) -> dict[int, set[str]]:
    """For each wire the lamps on it: each side of a lamp goes to one pole, by a path that
    stays on that pole's place once it is there and keeps off the other's."""
    joined = nx.Graph()
    joined.add_nodes_from(panel.terminals)
    graph = nx.MultiGraph()
    graph.add_nodes_from(panel.terminals)
    for wire in panel.wires:
        joined.add_edge(wire.a, wire.b)
        graph.add_edge(wire.a, wire.b, key=("wire", wire.index))
    for part in panel.parts:
        if part.load is None:
            graph.add_edge(part.a, part.b, key=("part", part.index))
            if panel.devices[part.device].kind == "fuse":
                joined.add_edge(part.a, part.b)
    home = {pole: nx.node_connected_component(joined, pole) for pole in POLES}
    found: dict[int, set[str]] = {wire.index: set() for wire in panel.wires}
    for part in panel.parts:
        if part.load is None:
            continue
        sides = {
            (end, pole): wires_to(graph, end, pole, home)
            for end in (part.a, part.b)
            for pole in POLES
        }
        for first, second in (POLES, POLES[::-1]):
            there, back = sides[part.a, first], sides[part.b, second]
            if there is not None and back is not None and not_one_place(part, joined):
                for number in there | back:
                    found[number].add(part.device)
    return found


def not_one_place(part: Part, joined: nx.Graph) -> bool:
    return not nx.has_path(joined, part.a, part.b)


def wires_to(
    graph: nx.MultiGraph, end: str, pole: str, home: dict[str, set[str]]
) -> set[int] | None:
    """The wires on such paths; None if there is no path."""
    other = home[POLES[1] if pole == POLES[0] else POLES[0]]
    if end in other:
        return None
    if end == pole:
        return set()
    allowed = graph.subgraph(set(graph) - other)
    found: set[int] | None = None
    for path in nx.all_simple_edge_paths(allowed, end, pole):
        on_place = [start in home[pole] for start, _, _ in path]
        if on_place == sorted(on_place):
            found = found or set()
            found |= {number for _, _, (kind, number) in path if kind == "wire"}
    return found


@given(networks())
def test_a_wire_carries_the_loads_whose_simple_paths_lead_through_it(panel: Panel) -> None:
    states = Case(panel).conclude(Behaviour)
    assume(states.panel is panel)
    assume(states.node("B1:+") != states.node("B1:-"))
    paths = Case(panel).conclude(CurrentPaths)
    actual = {
        wire.index: {
            paths.loads[number].device
            for number in paths.loads_on(wire.index)
            if number in paths.fed  # loads fed through loads alone are laid more widely
        }
        for wire in panel.wires
    }
    assert lamps_by_listing_paths(panel) == actual


@given(networks())
def test_the_bound_of_a_wire_is_no_less_than_its_loads(panel: Panel) -> None:
    paths = Case(panel).conclude(CurrentPaths)
    bounds_a = paths.bounds_a([load.current_a for load in paths.loads])
    for wire in panel.wires:
        exact_a = sum(paths.loads[number].current_a for number in paths.loads_on(wire.index))
        assert (exact_a > 0) == (wire.index in bounds_a)
        assert bounds_a.get(wire.index, 0.0) >= exact_a - 1e-9
