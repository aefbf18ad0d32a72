"""Conditions of all paths between one vertex and the others of a block.

Star-mesh elimination, the same that reduces resistors: take out a vertex and
give each pair of its neighbours the way that led through it. What remains
conducts between any two remaining vertices exactly when the whole did, for a
path through the vertex enters it from one neighbour and leaves to another.

Down to the root, this gives the conditions of every vertex, not of one: the
last step of a path to a vertex, in the mesh from which it was taken, comes from
a neighbour that was taken out later or is the root. Going back through the
vertices in reverse order, that neighbour's own condition is already known. So
one elimination serves all questions, in both directions.

Only the mesh that arises costs anything, about the cube of the block's width.
Taking out a vertex of fewest neighbours first keeps it narrow; a ladder or any
series-parallel circuit never needs more than two.
"""

from __future__ import annotations

from collections.abc import Iterable
from heapq import heapify, heappop, heappush
from itertools import combinations

from netcheck.network.algebra import FALSE, TRUE, Algebra
from netcheck.record import record


@record
class Arc:
    """An edge with the conditions on which it conducts from u to v and from v to u."""

    u: int
    v: int
    forward: int
    backward: int


@record
class Reach:
    """The conditions on which current can come to a vertex from the root, and go back to it."""

    from_root: int
    to_root: int


AT_ROOT = Reach(TRUE, TRUE)

# mesh[a][b] is the condition of the way a to b; b is in mesh[a] if and only if a is in mesh[b].
_Mesh = dict[int, dict[int, int]]


@record
class _Spoke:
    """One neighbour of a vertex being taken out, with the ways in from it and out to it."""

    end: int
    inwards: int
    outwards: int


def reach_from(root: int, arcs: Iterable[Arc], algebra: Algebra) -> dict[int, Reach]:
    """The conditions between `root` and every vertex that the arcs touch.

    Where no arc cares for direction, only one direction is worked out.
    """
    arcs = list(arcs)
    undirected = all(arc.forward == arc.backward for arc in arcs)
    mesh = _mesh(arcs, algebra)
    stars = _eliminate_all_but(root, mesh, undirected, algebra)
    reach = {root: AT_ROOT}
    for vertex, star in reversed(stars):
        from_root = to_root = FALSE
        for spoke in star:
            beyond = reach[spoke.end]
            from_root = algebra.either(from_root, algebra.both(beyond.from_root, spoke.inwards))
            if not undirected:
                to_root = algebra.either(to_root, algebra.both(spoke.outwards, beyond.to_root))
        reach[vertex] = Reach(from_root, from_root if undirected else to_root)
    return reach


def _mesh(arcs: Iterable[Arc], algebra: Algebra) -> _Mesh:
    mesh: _Mesh = {}
    for arc in arcs:
        outwards = mesh.setdefault(arc.u, {})
        inwards = mesh.setdefault(arc.v, {})
        outwards[arc.v] = algebra.either(outwards.get(arc.v, FALSE), arc.forward)
        inwards[arc.u] = algebra.either(inwards.get(arc.u, FALSE), arc.backward)
    return mesh


def _eliminate_all_but(
    root: int, mesh: _Mesh, undirected: bool, algebra: Algebra
) -> list[tuple[int, list[_Spoke]]]:
    """Take out every vertex but the root; each with its spokes at that moment, in that order."""
    stars = []
    queue = [(len(ways), vertex) for vertex, ways in mesh.items() if vertex != root]
    heapify(queue)
    while queue:
        width, vertex = heappop(queue)
        if vertex not in mesh or width != len(mesh[vertex]):
            continue  # Taken out already, or queued again with the width it has now.
        star = [_Spoke(end, mesh[end].pop(vertex), way) for end, way in mesh.pop(vertex).items()]
        _close_mesh(star, mesh, undirected, algebra)
        for spoke in star:
            if spoke.end != root:
                heappush(queue, (len(mesh[spoke.end]), spoke.end))
        stars.append((vertex, star))
    return stars


def _close_mesh(star: list[_Spoke], mesh: _Mesh, undirected: bool, algebra: Algebra) -> None:
    for a, b in combinations(star, 2):
        there = back = _extend(mesh, a, b, algebra)
        if not undirected:
            back = _extend(mesh, b, a, algebra)
        if there != FALSE or back != FALSE:
            mesh[a.end][b.end] = there
            mesh[b.end][a.end] = back


def _extend(mesh: _Mesh, start: _Spoke, end: _Spoke, algebra: Algebra) -> int:
    through = algebra.both(start.inwards, end.outwards)
    return algebra.either(mesh[start.end].get(end.end, FALSE), through)
