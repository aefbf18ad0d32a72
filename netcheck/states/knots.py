"""Which movers all influence one another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence


def knots(needs: Mapping[str, Sequence[str]]) -> Iterator[list[str]]:
    """The strongly connected parts of who needs whom, each a list of names.

    R. E. Tarjan's algorithm (from memory), without recursion.
    """
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    place: dict[str, int] = {}
    stack: list[str] = []
    stacked: set[str] = set()
    for root in needs:
        if root in index:
            continue
        work: list[tuple[str, Iterator[str]]] = []
        entering: str | None = root
        while entering is not None or work:
            if entering is not None:
                index[entering] = low[entering] = len(index)
                place[entering] = len(stack)
                stack.append(entering)
                stacked.add(entering)
                work.append((entering, iter(needs[entering])))
                entering = None
            name, rest = work[-1]
            for other in rest:
                if other not in index:
                    entering = other
                    break
                if other in stacked:
                    low[name] = min(low[name], index[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[name])
                if low[name] == index[name]:
                    knot, stack[place[name] :] = stack[place[name] :], []
                    stacked.difference_update(knot)
                    yield knot
