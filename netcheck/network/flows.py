"""How much passes through every edge when currents flow between pairs of vertices.

A current between two vertices may take any simple path between them, so it is counted
in full on every edge of every such path: an upper bound.  Those edges are the edges of
the blocks between the two in the block-cut tree.  There a current is added at both its
ends and carried towards the root, and where the two ways meet it is taken off again:
one pass over the tree adds up all currents, however long their ways are.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from netcheck.network.blocks import NO_BLOCK, EdgesBetween


class Flows:
    """Adds up currents between pairs of vertices, and tells which pass through an edge."""

    def __init__(
        self, vertex_count: int, ends: Sequence[tuple[int, int]], pairs: Sequence[tuple[int, int]]
    ) -> None:
        """`ends[i]` are the two ends of edge i, `pairs[i]` the two ends of current i.

        Parallel edges and self-loops may occur; a pair that nothing joins, or of one
        vertex twice, flows nowhere.
        """
        self._pairs = pairs
        self._blocks = EdgesBetween(vertex_count, ends)
        self.tree = self._blocks.tree
        by_entry: list[int] = [0] * vertex_count
        for vertex, place in enumerate(self.tree.entered):
            by_entry[place] = vertex
        self._by_entry = by_entry
        self._up = [
            vertex if block == NO_BLOCK else self.tree.top[block]
            for vertex, block in enumerate(self.tree.above)
        ]
        self._jump = self._jumps()
        self._meetings = [self._meeting(a, b) for a, b in pairs]
        entered = self.tree.entered
        flowing = [number for number, meeting in enumerate(self._meetings) if meeting is not None]
        ends_of = [(entered[end], number) for number in flowing for end in pairs[number]]
        ends_of.sort()
        self._places = [place for place, _ in ends_of]
        self._numbers = [number for _, number in ends_of]
        # Both ends of currents that flow, by their places in order of entry.
        self._met_in: dict[int, list[int]] = {}
        for number in flowing:
            _, block = self._meetings[number] or (0, NO_BLOCK)
            if block != NO_BLOCK:
                self._met_in.setdefault(block, []).append(number)
        self._first, self._after = self._intervals()

    def totals(self, amounts: Sequence[float]) -> list[float]:
        """For each edge the sum of `amounts[i]` over the currents i that may pass it."""
        tree, up = self.tree, self._up
        at = [0.0] * len(up)
        through = [0.0] * len(tree.top)
        for (a, b), meeting, amount in zip(self._pairs, self._meetings, amounts, strict=True):
            if meeting is None:
                continue
            vertex, block = meeting
            at[a] += amount
            at[b] += amount
            at[vertex] -= 2 * amount
            if block != NO_BLOCK:
                through[block] -= amount
        for vertex in reversed(self._by_entry):
            block = tree.above[vertex]
            if block != NO_BLOCK:
                through[block] += at[vertex]
                at[tree.top[block]] += at[vertex]
        return [
            0.0 if block == NO_BLOCK else max(0.0, through[block])
            for block in self._blocks.block_of
        ]

    def passing(self, edge: int) -> list[int]:
        """The numbers of the currents that may pass an edge, rising."""
        block = self._blocks.block_of[edge]
        if block == NO_BLOCK:
            return []
        start = bisect_left(self._places, self._first[block])
        end = bisect_left(self._places, self._after[block], start)
        found = set(self._met_in.get(block, ()))
        within: set[int] = set()
        for number in self._numbers[start:end]:  # with both ends below it, it does not pass
            within ^= {number}
        return sorted(found | within)

    def along(self, weights: Sequence[float]) -> list[float]:
        """For each current the sum of `weights[i]` over the edges i that it may pass."""
        tree = self.tree
        of_block = [0.0] * len(tree.top)
        for block, weight in zip(self._blocks.block_of, weights, strict=True):
            if block != NO_BLOCK:
                of_block[block] += weight
        to_root = [0.0] * len(self._up)
        for vertex in self._by_entry:
            block = tree.above[vertex]
            if block != NO_BLOCK:
                to_root[vertex] = to_root[tree.top[block]] + of_block[block]
        sums = []
        for (a, b), meeting in zip(self._pairs, self._meetings, strict=True):
            if meeting is None:
                sums.append(0.0)
                continue
            vertex, block = meeting
            shared = of_block[block] if block != NO_BLOCK else 0.0
            sums.append(max(0.0, to_root[a] + to_root[b] - 2 * to_root[vertex] - shared))
        return sums

    def passed(self, number: int) -> Iterator[int]:
        """The edges that a current may pass."""
        for block in self.tree.blocks_between(*self._pairs[number]):
            yield from self._blocks.edges_of_block(block)

    def _jumps(self) -> list[int]:
        """For each vertex one far ancestor, so chosen that climbing takes few steps.

        Myers, "An applicative random-access stack", Information Processing Letters 17 (1983).
        """
        depth, up = self.tree.depth, self._up
        jump = list(range(len(up)))
        for vertex in self._by_entry:
            above = up[vertex]
            if above == vertex:
                continue
            far = jump[above]
            even = depth[above] - depth[far] == depth[far] - depth[jump[far]]
            jump[vertex] = jump[far] if even else above
        return jump

    def _meeting(self, a: int, b: int) -> tuple[int, int] | None:
        """The vertex in which the ways of a and b towards the root meet, and the block just
        below it that both pass (NO_BLOCK if they come from different ones); None if never."""
        tree, up, jump = self.tree, self._up, self._jump
        if a == b or tree.root[a] != tree.root[b]:
            return None
        depth = tree.depth
        if depth[a] < depth[b]:
            a, b = b, a
        while depth[a] > depth[b]:
            a = jump[a] if depth[jump[a]] >= depth[b] else up[a]
        if a == b:
            return a, NO_BLOCK
        while up[a] != up[b]:
            if jump[a] != jump[b]:
                a, b = jump[a], jump[b]
            else:
                a, b = up[a], up[b]
        same = tree.above[a] == tree.above[b]
        return up[a], tree.above[a] if same else NO_BLOCK

    def _intervals(self) -> tuple[list[int], list[int]]:
        """For each block the places, in order of entry, of all that hangs below its top."""
        tree = self.tree
        size = [1] * len(self._up)
        first = [len(self._up)] * len(tree.top)
        count = [0] * len(tree.top)
        for vertex in reversed(self._by_entry):
            block = tree.above[vertex]
            if block != NO_BLOCK:
                size[tree.top[block]] += size[vertex]
                count[block] += size[vertex]
                first[block] = min(first[block], tree.entered[vertex])
        return first, [start + held for start, held in zip(first, count, strict=True)]
