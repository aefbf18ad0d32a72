from __future__ import annotations

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from netcheck.network.unions import Unions

PAIRS = st.lists(st.tuples(st.integers(0, 15), st.integers(0, 15)), max_size=30)


@given(PAIRS)
def test_groups_are_the_connected_components_of_the_joins(pairs: list[tuple[int, int]]) -> None:
    unions: Unions[int] = Unions()
    for a, b in pairs:
        unions.join(a, b)
    expected = {frozenset(part) for part in nx.connected_components(nx.Graph(pairs))}
    assert expected == {frozenset(group) for group in unions.groups()}


@given(PAIRS)
def test_a_join_says_whether_it_changed_anything(pairs: list[tuple[int, int]]) -> None:
    unions: Unions[int] = Unions()
    changes = sum(unions.join(a, b) for a, b in pairs)
    items = sum(len(group) for group in unions.groups())
    assert len(unions.groups()) == items - changes


def test_items_never_joined_stand_alone() -> None:
    unions: Unions[str] = Unions()
    assert not unions.joined("K1:A1", "K1:A2")
    assert unions.joined("K1:A1", "K1:A1")
    assert [["K1:A1"], ["K1:A2"]] == unions.groups()


def test_groups_keep_the_order_in_which_items_were_met() -> None:
    unions: Unions[str] = Unions()
    for pair in [("d", "c"), ("b", "a"), ("e", "d")]:
        unions.join(*pair)
    assert [["d", "c", "e"], ["b", "a"]] == unions.groups()


def test_a_long_chain_of_joins_needs_no_recursion() -> None:
    unions: Unions[int] = Unions()
    for item in range(50_000):
        unions.join(item, item + 1)
    assert unions.joined(0, 50_000)
