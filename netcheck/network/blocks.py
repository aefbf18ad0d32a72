"""Blocks of a graph, and the tree in which they hang together at cut vertices.

A block is a largest part that no single vertex can take apart: a lone edge, a
bundle of parallel edges, or a part in which any two edges lie on one cycle.
Blocks meet only in single vertices, the cut vertices, and those meetings form
a tree. So every simple path from a to b runs through the same blocks in the
same order and through the cut vertices between them, and whatever is asked
about paths can be asked block by block.

Hopcroft and Tarjan, "Algorithm 447: efficient algorithms for graph
manipulation", Communications of the ACM 16 (1973), for the depth-first search.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from netcheck.record import record

NO_BLOCK = -1


@record
class BlockCutTree:
    """The blocks of an undirected graph, each component rooted at its lowest vertex.

    Blocks are numbered from 0, every block after all that hang below it.
    `top[b]` is the vertex of block b nearest the root and `below[b]` its other
    vertices. `above[v]` is the one block in which v is not the top; NO_BLOCK for
    a root. `root[v]` is the root of v's component, `depth[v]` the number of
    blocks between the two, `entered[v]` v's place in the depth-first search.
    """

    top: tuple[int, ...]
    below: tuple[tuple[int, ...], ...]
    above: tuple[int, ...]
    root: tuple[int, ...]
    depth: tuple[int, ...]
    entered: tuple[int, ...]

    def vertices(self, block: int) -> tuple[int, ...]:
        """All vertices of a block, its top first."""
        return (self.top[block], *self.below[block])

    def cut_vertices(self) -> set[int]:
        """The vertices that lie in more than one block."""
        blocks_at = Counter(self.top)
        blocks_at.update(v for v, block in enumerate(self.above) if block != NO_BLOCK)
        return {vertex for vertex, count in blocks_at.items() if count > 1}

    def block_of_edge(self, u: int, v: int) -> int:
        """The block of the edges between two neighbours; NO_BLOCK for a self-loop.

        One end of any edge is an ancestor of the other in the search, and the
        edge closes a cycle with, or is, the edge by which the search entered
        the later end. So it lies in the block above the later end.
        """
        if u == v:
            return NO_BLOCK
        return self.above[u if self.entered[u] > self.entered[v] else v]

    def blocks_between(self, a: int, b: int) -> tuple[int, ...]:
        """The blocks that every simple path from a to b runs through, in its order.

        Empty if a is b or if no path joins them.
        """
        return tuple(block for block, _, _ in self.steps_between(a, b))

    def steps_between(self, a: int, b: int) -> list[tuple[int, int, int]]:
        """The same blocks, each with the vertices by which such a path enters and leaves it.

        Takes time in proportion to the answer: both ends climb, the deeper first, until they
        meet.
        """
        if self.root[a] != self.root[b]:
            return []
        from_a: list[tuple[int, int, int]] = []
        from_b: list[tuple[int, int, int]] = []
        while a != b:
            if self.depth[a] >= self.depth[b]:
                block = self.above[a]
                leaves = b if block == self.above[b] else self.top[block]
                from_a.append((block, a, leaves))
                a = leaves
            else:
                block = self.above[b]
                from_b.append((block, self.top[block], b))
                b = self.top[block]
        return [*from_a, *reversed(from_b)]


class EdgesBetween:
    """Answers, for many pairs of vertices, which edges lie on a simple path between them.

    Prepared once in linear time; each answer then costs no more than its size.
    """

    def __init__(self, vertex_count: int, ends: Sequence[tuple[int, int]]) -> None:
        """`ends[i]` are the two ends of edge i; parallel edges and self-loops may occur."""
        adjacency: list[list[int]] = [[] for _ in range(vertex_count)]
        for u, v in ends:
            adjacency[u].append(v)
            adjacency[v].append(u)
        self.tree = block_cut_tree(adjacency)
        self.block_of = [self.tree.block_of_edge(u, v) for u, v in ends]
        """The block of each edge; a self-loop has none."""
        self._edges: list[list[int]] = [[] for _ in self.tree.top]
        for number, block in enumerate(self.block_of):
            if block != NO_BLOCK:
                self._edges[block].append(number)

    def edges_of_block(self, block: int) -> Sequence[int]:
        """The numbers of a block's edges, rising."""
        return self._edges[block]

    def edges_between(self, a: int, b: int) -> set[int]:
        """The edges on some simple path from a to b; empty if a is b or none joins them.

        Inside a block any two vertices and any edge lie on one simple path (Menger),
        so these are all the edges of the blocks between.
        """
        blocks = self.tree.blocks_between(a, b)
        return {edge for block in blocks for edge in self._edges[block]}


def block_cut_tree(adjacency: Sequence[Sequence[int]]) -> BlockCutTree:
    """Split an undirected graph into blocks, in linear time and without recursion.

    `adjacency[v]` lists the neighbours of v, in both directions, one entry for
    each parallel edge or only one for all of them; self-loops do not matter.
    """
    search = _Search(adjacency)
    for vertex in range(len(adjacency)):
        if search.entered[vertex] == _NOT_ENTERED:
            search.run(vertex)
    return BlockCutTree(
        top=tuple(search.top),
        below=tuple(search.below),
        above=tuple(search.above),
        root=tuple(search.root),
        depth=_depths(search),
        entered=tuple(search.entered),
    )


_NOT_ENTERED = -1


class _Search:
    def __init__(self, adjacency: Sequence[Sequence[int]]) -> None:
        count = len(adjacency)
        self._adjacency = adjacency
        self.order: list[int] = []
        self.entered = [_NOT_ENTERED] * count
        self.root = list(range(count))
        self.above = [NO_BLOCK] * count
        self.top: list[int] = []
        self.below: list[tuple[int, ...]] = []

    def run(self, root: int) -> None:
        """Search depth-first from `root`, closing each block when its last vertex is left.

        `earliest[v]` is the earliest place reached by one edge from v or from
        below it. When nothing from v downwards reaches past v's parent, the
        parent cuts it off: what has been entered since v is one block with it.
        """
        adjacency, entered = self._adjacency, self.entered
        earliest: dict[int, int] = {root: self._enter(root, root)}
        without_block: list[int] = []
        path = [root]
        untried = [iter(adjacency[root])]
        while path:
            vertex = path[-1]
            for neighbour in untried[-1]:
                place = entered[neighbour]
                if place == _NOT_ENTERED:
                    earliest[neighbour] = self._enter(neighbour, root)
                    without_block.append(neighbour)
                    path.append(neighbour)
                    untried.append(iter(adjacency[neighbour]))
                    break
                if place < earliest[vertex]:
                    earliest[vertex] = place
            else:
                path.pop()
                untried.pop()
                if not path:
                    return
                parent = path[-1]
                if earliest[vertex] >= entered[parent]:
                    self._close(parent, vertex, without_block)
                elif earliest[vertex] < earliest[parent]:
                    earliest[parent] = earliest[vertex]

    def _enter(self, vertex: int, root: int) -> int:
        place = len(self.order)
        self.order.append(vertex)
        self.entered[vertex] = place
        self.root[vertex] = root
        return place

    def _close(self, top: int, last: int, without_block: list[int]) -> None:
        start = len(without_block) - 1
        while without_block[start] != last:
            start -= 1
        for vertex in without_block[start:]:
            self.above[vertex] = len(self.top)
        self.top.append(top)
        self.below.append(tuple(without_block[start:]))
        del without_block[start:]


def _depths(search: _Search) -> tuple[int, ...]:
    depth = [0] * len(search.entered)
    # In order of entry, so that a block's top comes before what is below it.
    for vertex in search.order:
        block = search.above[vertex]
        if block != NO_BLOCK:
            depth[vertex] = depth[search.top[block]] + 1
    return tuple(depth)
