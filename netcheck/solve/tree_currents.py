"""Currents in what has no resistance: by what must flow, for no voltage tells."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence

Node = Hashable


def tree_currents(
    ends: Sequence[tuple[Node, Node]], bare: Sequence[int], leaving: Mapping[Node, complex]
) -> dict[int, complex | None]:
    """Amperes from first to second end of each `bare` branch (its place in `ends`).

    `leaving` is what leaves each node by all other branches.  None is the current of a
    branch that lies on a loop of bare ones: nothing tells how it divides.
    """
    met: dict[Node, list[int]] = {}
    for index in bare:
        for node in ends[index]:
            met.setdefault(node, []).append(index)
    order = _from_the_root(ends, met)
    above = {node: (branch, parent) for node, branch, parent in order}
    depth = _depths(order)
    currents: dict[int, complex | None] = {}
    flow = dict(leaving)
    for node, branch, parent in reversed(order):
        need = flow.get(node, 0)
        flow[parent] = flow.get(parent, 0) + need
        currents[branch] = need if ends[branch][1] == node else -need
    for index in set(bare).difference(currents):
        currents[index] = None
        currents.update(dict.fromkeys(_between(*ends[index], above, depth)))
    return currents


def _from_the_root(
    ends: Sequence[tuple[Node, Node]], met: Mapping[Node, list[int]]
) -> list[tuple[Node, int, Node]]:
    """Every node but one of each tree: with the branch towards the root, and what lies there."""
    order: list[tuple[Node, int, Node]] = []
    seen: set[Node] = set()
    for start in met:
        if start in seen:
            continue
        seen.add(start)
        todo = [start]
        while todo:
            parent = todo.pop()
            for branch in met[parent]:
                a, b = ends[branch]
                node = b if a == parent else a
                if node not in seen:
                    seen.add(node)
                    order.append((node, branch, parent))
                    todo.append(node)
    return order


def _depths(order: Sequence[tuple[Node, int, Node]]) -> dict[Node, int]:
    depth: dict[Node, int] = {}
    for node, _, parent in order:
        depth[node] = depth.setdefault(parent, 0) + 1
    return depth


def _between(
    a: Node, b: Node, above: Mapping[Node, tuple[int, Node]], depth: Mapping[Node, int]
) -> Iterator[int]:
    """The branches of the tree that lead from one node to the other."""
    while a != b:
        if depth.get(a, 0) < depth.get(b, 0):
            a, b = b, a
        branch, a = above[a]
        yield branch
