"""What is left after series and parallel, against every simple path that networkx lists."""

from __future__ import annotations

from collections.abc import Iterator

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from netcheck.network.series_parallel import irreducible

Edges = list[tuple[int, int, int]]
TERMINALS = (0, 1)


@st.composite
def networks(draw: st.DrawFn) -> Edges:
    """Between terminals 0 and 1, edges labelled by their number."""
    vertex = st.integers(0, draw(st.integers(2, 6)))
    ends = draw(st.lists(st.tuples(vertex, vertex), max_size=11))
    return [(u, v, label) for label, (u, v) in enumerate(ends)]


def passed(edges: Edges) -> Iterator[tuple[int, int]]:
    """Each edge as a path from terminal 0 to terminal 1 passes it: from which vertex, by which."""
    graph = nx.MultiGraph()
    graph.add_nodes_from(TERMINALS)
    graph.add_edges_from((u, v, label) for u, v, label in edges if u != v)
    for path in nx.all_simple_edge_paths(graph, *TERMINALS):
        at = 0
        for u, v, label in path:
            yield at, label
            at = v if u == at else u


@given(networks())
def test_an_edge_that_paths_pass_both_ways_is_among_what_is_left(edges: Edges) -> None:
    left = {label for branch in irreducible(edges, TERMINALS) for label in branch.labels}
    starts: dict[int, set[int]] = {}
    for at, label in passed(edges):
        starts.setdefault(label, set()).add(at)
    assert {label for label, found in starts.items() if len(found) == 2} <= left


@given(networks())
def test_what_is_left_has_three_neighbours_at_each_inner_vertex(edges: Edges) -> None:
    branches = irreducible(edges, TERMINALS)
    assert len({frozenset((one.u, one.v)) for one in branches}) == len(branches)
    ends = [end for one in branches for end in (one.u, one.v) if end not in TERMINALS]
    assert [] == [vertex for vertex in set(ends) if ends.count(vertex) < 3]


def test_a_ladder_of_branches_comes_down_to_nothing() -> None:
    rungs = [(0, 2, 0), (2, 3, 1), (2, 3, 2), (3, 1, 3), (3, 4, 4), (4, 1, 5), (0, 4, 6)]
    assert [] == irreducible(rungs[:6], TERMINALS)
    assert [] != irreducible(rungs, TERMINALS)


def test_the_bridge_of_an_h_is_left() -> None:
    tie = [(0, 2, 0), (2, 1, 1), (0, 3, 2), (3, 1, 3), (2, 3, 4), (3, 5, 5)]
    (bridge,) = (b for b in irreducible(tie, TERMINALS) if not {b.u, b.v} & set(TERMINALS))
    assert (4,) == bridge.labels
