"""Blocks against networkx, which is an independent implementation, and against listed paths."""

from __future__ import annotations

from itertools import combinations

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from netcheck.network.blocks import NO_BLOCK, EdgesBetween, block_cut_tree

Ends = list[tuple[int, int]]


@st.composite
def multigraphs(draw: st.DrawFn) -> tuple[int, Ends]:
    vertex_count = draw(st.integers(1, 8))
    vertex = st.integers(0, vertex_count - 1)
    return vertex_count, draw(st.lists(st.tuples(vertex, vertex), max_size=12))


def as_networkx(vertex_count: int, ends: Ends) -> nx.MultiGraph:
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(vertex_count))
    graph.add_edges_from((u, v, number) for number, (u, v) in enumerate(ends))
    return graph


@given(multigraphs())
def test_blocks_are_the_biconnected_components(graph: tuple[int, Ends]) -> None:
    tree = EdgesBetween(*graph).tree
    plain = nx.Graph(as_networkx(*graph))
    plain.remove_edges_from(list(nx.selfloop_edges(plain)))
    expected = sorted(sorted(part) for part in nx.biconnected_components(plain))
    assert expected == sorted(sorted(tree.vertices(block)) for block in range(len(tree.top)))
    assert set(nx.articulation_points(plain)) == tree.cut_vertices()


@given(multigraphs())
def test_each_edge_lies_in_the_block_that_holds_both_its_ends(graph: tuple[int, Ends]) -> None:
    index = EdgesBetween(*graph)
    for number, (u, v) in enumerate(graph[1]):
        holding = [
            block
            for block in range(len(index.tree.top))
            if u != v and {u, v} <= set(index.tree.vertices(block))
        ]
        assert holding == [
            b for b in range(len(index.tree.top)) if number in index.edges_of_block(b)
        ]
        assert index.tree.block_of_edge(u, v) == (holding[0] if holding else NO_BLOCK)


@given(multigraphs())
def test_the_tree_hangs_together_from_the_roots(graph: tuple[int, Ends]) -> None:
    tree = EdgesBetween(*graph).tree
    for part in nx.connected_components(as_networkx(*graph)):
        assert {min(part)} == {tree.root[vertex] for vertex in part}
    for vertex, block in enumerate(tree.above):
        if block == NO_BLOCK:
            assert (vertex, 0) == (tree.root[vertex], tree.depth[vertex])
        else:
            assert vertex in tree.below[block]
            assert tree.depth[vertex] == tree.depth[tree.top[block]] + 1
            assert tree.above[tree.top[block]] == NO_BLOCK or tree.above[tree.top[block]] > block


@given(multigraphs())
def test_edges_between_two_vertices_are_those_of_all_simple_paths(graph: tuple[int, Ends]) -> None:
    index = EdgesBetween(*graph)
    oracle = as_networkx(*graph)
    for a in range(graph[0]):
        assert set() == index.edges_between(a, a)
        for b in range(graph[0]):
            if a != b:
                paths = nx.all_simple_edge_paths(oracle, a, b)
                expected = {key for path in paths for _, _, key in path}
                assert expected == index.edges_between(a, b)


@given(multigraphs())
def test_blocks_between_come_in_the_order_of_the_path(graph: tuple[int, Ends]) -> None:
    index = EdgesBetween(*graph)
    oracle = as_networkx(*graph)
    for a, b in combinations(range(graph[0]), 2):
        blocks = index.tree.blocks_between(a, b)
        assert tuple(reversed(blocks)) == index.tree.blocks_between(b, a)
        for path in nx.all_simple_edge_paths(oracle, a, b):
            met = [index.tree.block_of_edge(u, v) for u, v, _ in path]
            assert list(blocks) == list(dict.fromkeys(met))


def test_a_bridge_circuit_is_one_block() -> None:
    # The five arms of a Wheatstone bridge: any arm matters between any two corners.
    index = EdgesBetween(4, [(0, 1), (0, 2), (1, 2), (1, 3), (2, 3)])
    assert 1 == len(index.tree.top)
    assert {0, 1, 2, 3, 4} == index.edges_between(0, 3)
    assert set() == index.tree.cut_vertices()


def test_a_dead_end_lies_on_no_path_past_it() -> None:
    index = EdgesBetween(4, [(0, 1), (1, 2), (1, 3)])
    assert {0, 1} == index.edges_between(0, 2)


def test_a_self_loop_lies_on_no_path() -> None:
    index = EdgesBetween(2, [(0, 0), (0, 1), (1, 1)])
    assert {1} == index.edges_between(0, 1)


def test_parallel_contacts_are_one_block() -> None:
    index = EdgesBetween(3, [(0, 1), (1, 0), (1, 2)])
    assert {0, 1} == index.edges_between(0, 1)
    assert {1} == index.tree.cut_vertices()


def test_an_empty_graph_has_no_blocks() -> None:
    tree = block_cut_tree([])
    assert () == tree.top
    assert set() == tree.cut_vertices()


def test_a_chain_and_a_ring_of_20_000_vertices_need_no_recursion() -> None:
    count = 20_000
    chain = [(i, i + 1) for i in range(count - 1)]
    assert count - 1 == len(EdgesBetween(count, chain).edges_between(0, count - 1))
    ring = EdgesBetween(count, [*chain, (count - 1, 0)])
    assert 1 == len(ring.tree.top)
    assert count == len(ring.edges_between(7, 8))
