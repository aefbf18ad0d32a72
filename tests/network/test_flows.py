"""Flows against networkx, which lists every simple path there is."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.network.flows import Flows

Ends = list[tuple[int, int]]


@st.composite
def networks(draw: st.DrawFn) -> tuple[int, Ends, Ends]:
    vertex_count = draw(st.integers(1, 9))
    vertex = st.integers(0, vertex_count - 1)
    some = st.tuples(vertex, vertex)
    return vertex_count, draw(st.lists(some, max_size=12)), draw(st.lists(some, max_size=6))


def edges_on_simple_paths(vertex_count: int, ends: Ends, a: int, b: int) -> set[int]:
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(vertex_count))
    graph.add_edges_from((u, v, number) for number, (u, v) in enumerate(ends))
    if a == b:
        return set()
    return {number for path in nx.all_simple_edge_paths(graph, a, b) for _, _, number in path}


@given(networks())
def test_a_current_passes_the_edges_of_every_simple_path(network: tuple[int, Ends, Ends]) -> None:
    vertex_count, ends, pairs = network
    flows = Flows(vertex_count, ends, pairs)
    ways = [edges_on_simple_paths(vertex_count, ends, a, b) for a, b in pairs]
    for edge in range(len(ends)):
        assert [number for number, way in enumerate(ways) if edge in way] == flows.passing(edge)


@given(networks())
def test_the_total_of_an_edge_is_the_sum_of_what_passes_it(
    network: tuple[int, Ends, Ends],
) -> None:
    vertex_count, ends, pairs = network
    flows = Flows(vertex_count, ends, pairs)
    amounts = [2.0**number for number in range(len(pairs))]
    expected = [sum(amounts[number] for number in flows.passing(edge)) for edge in range(len(ends))]
    assert expected == flows.totals(amounts)


@pytest.mark.parametrize("rungs", [3, 2000])
def test_a_daisy_chain_carries_ever_less_towards_its_end(rungs: int) -> None:
    ends = [(rung, rung + 1) for rung in range(rungs)]
    flows = Flows(rungs + 1, ends, [(0, rung + 1) for rung in range(rungs)])
    assert [float(rungs - rung) for rung in range(rungs)] == flows.totals([1.0] * rungs)
