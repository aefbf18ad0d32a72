"""What is left of a network when all that stands in series or side by side is taken together.

Current can pass a branch in one direction only, whatever conducts, if the network between
its terminals comes down to single branches by joining branches in series and in parallel
(Duffin, Topology of series-parallel networks, 1965: its edges are confluent; from memory).
Only what does not come down, such as the bridge of an H, needs a closer look.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from netcheck.record import record


@record
class Branch:
    """Edges taken together as one between two vertices; `labels` are the caller's own."""

    u: int
    v: int
    labels: tuple[int, ...]


_Whole = int | tuple["_Whole", "_Whole"]
"""A branch as it was put together: one edge, or two branches."""


def irreducible(edges: Iterable[tuple[int, int, int]], terminals: Collection[int]) -> list[Branch]:
    """The branches between `terminals` and what else is left, of edges (u, v, label).

    Dead ends are dropped, and branches from one terminal straight to another.  The work
    grows with the number of edges.
    """
    near: dict[int, dict[int, _Whole]] = {}

    def add(u: int, v: int, branch: _Whole) -> None:
        if u == v:
            return
        beside = near.setdefault(u, {}).get(v)
        whole = branch if beside is None else (beside, branch)
        near[u][v] = near.setdefault(v, {})[u] = whole

    for u, v, label in edges:
        add(u, v, label)
    todo = [vertex for vertex in near if vertex not in terminals]
    while todo:
        vertex = todo.pop()
        if vertex in terminals or len(near.get(vertex, ())) > 2:
            continue
        around = near.pop(vertex, {})
        for other in around:
            del near[other][vertex]
        todo += around
        if len(around) == 2:
            (a, one), (b, other_branch) = around.items()
            add(a, b, (one, other_branch))
    return [
        Branch(u, v, _labels(branch))
        for u, around in near.items()
        for v, branch in around.items()
        if u < v and not (u in terminals and v in terminals)
    ]


def _labels(branch: _Whole) -> tuple[int, ...]:
    found: list[int] = []
    todo = [branch]
    while todo:
        one = todo.pop()
        if isinstance(one, int):
            found.append(one)
        else:
            todo += reversed(one)
    return tuple(found)
