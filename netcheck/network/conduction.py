"""On what condition current can flow between rails and the vertices between them.

A rail is a pole of a source: what lies beyond it is another question, so no
path here passes through one. Taking the rails out leaves islands. A path from
rail r to vertex v stays in the island of v, for it could leave only by a rail.

Within the island and r, take the blocks in their tree, rooted at r. A path to v
passes the cut vertices between r and v in order and stays, from each to the
next, inside one block. Joined the other way round, any paths through those
blocks, one each, make a path from r to v. So the condition of v is that of the
cut vertex above it and the way from there to v inside one block, and inside a
block elimination gives all such ways at once. Conditions are thus pushed
outwards from r, each block once, however many vertices are asked about. All of
this holds with directions too: blocks are blocks of the graph without them,
where every directed path is a path.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from itertools import combinations

from netcheck.network.algebra import FALSE, TRUE, Algebra
from netcheck.network.blocks import BlockCutTree, block_cut_tree
from netcheck.network.elimination import AT_ROOT, Arc, Reach, reach_from
from netcheck.network.unions import Unions
from netcheck.record import fresh, record

NO_ISLAND = -1


@record
class Edge:
    """A way between two vertices, with its conditions from u to v and from v to u.

    `label` is the caller's own name for it, such as the number of a contact.
    """

    u: int
    v: int
    forward: int
    backward: int
    label: int


@record
class ConductionPath:
    """A path as it is walked; `labels[i]` is the edge from `vertices[i]` to `vertices[i + 1]`."""

    vertices: tuple[int, ...]
    labels: tuple[int, ...]


class Conduction:
    """Answers which rails reach which vertices, and on what condition.

    Nothing is worked out before it is asked for, and nothing twice. Should
    `algebra` raise (out of its budget, say), the question may be asked again.
    """

    def __init__(
        self,
        vertex_count: int,
        edges: Sequence[Edge],
        rails: Collection[int],
        algebra: Algebra,
    ) -> None:
        """Vertices are numbered from 0; edges may be parallel, self-loops, or never conduct."""
        self._algebra = algebra
        self._edges = edges
        self._rails = frozenset(rails)
        self._vertex_count = vertex_count
        self._island_of = [NO_ISLAND] * vertex_count
        self._place = [0] * vertex_count
        self._islands: list[_Island] = []
        self._islands_at: dict[int, list[int]] = {}
        self._direct: dict[tuple[int, int], int] = {}
        self._spreads: dict[tuple[int, int], _Spread] = {}
        self._joins: dict[tuple[int, int], int] = {}
        self._joins_by_island: dict[tuple[int, int], dict[int, int]] = {}
        self._ways: list[list[_Way]] | None = None
        # What never conducts would only tie blocks together.
        conducting = [e for e in edges if e.u != e.v and (e.forward, e.backward) != (FALSE, FALSE)]
        self._find_islands(conducting)
        for edge in conducting:
            self._place_edge(edge)

    def island(self, vertex: int) -> int:
        """The number of the island that a vertex lies in; NO_ISLAND for a rail."""
        return self._island_of[vertex]

    def rails_at(self, vertex: int) -> tuple[int, ...]:
        """The rails, rising, that touch the vertex's island; of a rail, itself alone."""
        if vertex in self._rails:
            return (vertex,)
        return tuple(sorted(self._islands[self._island_of[vertex]].at_rail))

    def rail_pairs(self) -> list[tuple[int, int]]:
        """The pairs of rails, lower first and rising, that touch one island or one edge."""
        pairs = {(min(pair), max(pair)) for pair in self._direct}
        for island in self._islands:
            pairs.update(combinations(sorted(island.at_rail), 2))
        return sorted(pairs)

    def from_rail(self, vertex: int, rail: int) -> int:
        """The condition on which current can flow from `rail` to `vertex`, past no other rail.

        Raises ValueError if `rail` is none.
        """
        self._require_rail(rail)
        if vertex in self._rails:
            return TRUE if vertex == rail else self.rail_join(rail, vertex)
        return self._reach(vertex, rail).from_root

    def to_rail(self, vertex: int, rail: int) -> int:
        """The condition on which current can flow from `vertex` to `rail`, past no other rail.

        Raises ValueError if `rail` is none.
        """
        self._require_rail(rail)
        if vertex in self._rails:
            return TRUE if vertex == rail else self.rail_join(vertex, rail)
        return self._reach(vertex, rail).to_root

    def rail_join(self, start: int, end: int) -> int:
        """The condition on which current can flow between two rails, past no third.

        Either an edge joins them or the path lies in one island, for to change
        islands it would have to pass a rail. Raises ValueError if either is no
        rail, or if both are one: nothing is asked of a rail and itself.
        """
        if (start, end) not in self._joins:
            condition = FALSE
            for way in self.rail_joins(start, end).values():
                condition = self._algebra.either(condition, way)
            self._joins[start, end] = condition
        return self._joins[start, end]

    def rail_joins(self, start: int, end: int) -> Mapping[int, int]:
        """The same for each island apart, NO_ISLAND for edges that join the rails themselves."""
        self._require_rail(start)
        self._require_rail(end)
        if start == end:
            raise ValueError(f"rail {start} is asked to join itself")
        if (start, end) not in self._joins_by_island:
            self._joins_by_island[start, end] = self._work_out_joins(start, end)
        return self._joins_by_island[start, end]

    def conduction_path(
        self,
        start: int,
        end: int,
        closed: Callable[[int], bool],
        *,
        through_rails: bool = False,
    ) -> ConductionPath | None:
        """A path of fewest edges from start to end over those that are closed; None if none is.

        `closed` is asked with the label of an edge; a direction whose condition
        is FALSE is not taken. Of paths equally short it is the one whose first
        edge comes earliest, then whose second does, and so on.
        """

        def passable(label: int, condition: int) -> bool:
            return condition != FALSE and closed(label)

        return self._shortest(start, end, passable, through_rails)

    def path_where(
        self,
        start: int,
        end: int,
        holds: Callable[[int], bool],
        *,
        through_rails: bool = False,
    ) -> ConductionPath | None:
        """As `conduction_path`, but `holds` is asked with the condition of the direction walked.

        To be used where one label can conduct in one direction and not, in the
        same state, in the other.
        """

        def passable(label: int, condition: int) -> bool:
            return holds(condition)

        return self._shortest(start, end, passable, through_rails)

    def _require_rail(self, vertex: int) -> None:
        if vertex not in self._rails:
            raise ValueError(f"vertex {vertex} is not a rail")

    def _find_islands(self, conducting: Iterable[Edge]) -> None:
        unions: Unions[int] = Unions()
        for vertex in range(self._vertex_count):
            if vertex not in self._rails:
                unions.find(vertex)
        for edge in conducting:
            if edge.u not in self._rails and edge.v not in self._rails:
                unions.join(edge.u, edge.v)
        for number, vertices in enumerate(unions.groups()):
            self._islands.append(_Island(len(vertices)))
            for place, vertex in enumerate(vertices, start=_RAIL_PLACE + 1):
                self._island_of[vertex] = number
                self._place[vertex] = place

    def _place_edge(self, edge: Edge) -> None:
        u, v, forward, backward = edge.u, edge.v, edge.forward, edge.backward
        if v in self._rails:
            u, v, forward, backward = v, u, backward, forward
        if v in self._rails:
            self._add_direct(u, v, forward)
            self._add_direct(v, u, backward)
            return
        island = self._islands[self._island_of[v]]
        arc = Arc(self._place[u], self._place[v], forward, backward)
        if u not in self._rails:
            island.inner.append(arc)
            return
        if u not in island.at_rail:
            self._islands_at.setdefault(u, []).append(self._island_of[v])
        island.at_rail.setdefault(u, []).append(arc)

    def _add_direct(self, start: int, end: int, condition: int) -> None:
        before = self._direct.get((start, end), FALSE)
        self._direct[start, end] = self._algebra.either(before, condition)

    def _reach(self, vertex: int, rail: int) -> Reach:
        number = self._island_of[vertex]
        if rail not in self._islands[number].at_rail:
            return _NO_REACH
        return self._spread(number, rail).reach(self._place[vertex])

    def _spread(self, island: int, rail: int) -> _Spread:
        if (island, rail) not in self._spreads:
            self._spreads[island, rail] = _Spread(self._islands[island], rail, self._algebra)
        return self._spreads[island, rail]

    def _work_out_joins(self, start: int, end: int) -> dict[int, int]:
        either, both = self._algebra.either, self._algebra.both
        found = {NO_ISLAND: self._direct.get((start, end), FALSE)}
        # Both directions are read off the spread of the lower rail: one elimination for the two.
        root, other = min(start, end), max(start, end)
        for number in self._islands_at.get(root, ()):
            for arc in self._islands[number].at_rail.get(other, ()):
                reach = self._spread(number, root).reach(arc.v)
                if start == root:
                    way = both(reach.from_root, arc.backward)
                else:
                    way = both(arc.forward, reach.to_root)
                found[number] = either(found.get(number, FALSE), way)
        return {number: condition for number, condition in found.items() if condition != FALSE}

    def _shortest(
        self,
        start: int,
        end: int,
        passable: Callable[[int, int], bool],
        through_rails: bool,
    ) -> ConductionPath | None:
        """Breadth first, each vertex's edges in their order.

        Vertices then queue up in the order of their best paths, so the first
        way found to a vertex is the best there is.
        """
        ways = self._ways_out()
        came_by: dict[int, tuple[int, int]] = {start: (start, 0)}
        queue = deque([start])
        while queue and end not in came_by:
            vertex = queue.popleft()
            if vertex in self._rails and vertex != start and not through_rails:
                continue
            for way in ways[vertex]:
                if way.end not in came_by and passable(way.label, way.condition):
                    came_by[way.end] = (vertex, way.label)
                    queue.append(way.end)
        return _walk_back(start, end, came_by) if end in came_by else None

    def _ways_out(self) -> list[list[_Way]]:
        if self._ways is None:
            ways: list[list[_Way]] = [[] for _ in range(self._vertex_count)]
            for edge in self._edges:
                ways[edge.u].append(_Way(edge.v, edge.label, edge.forward))
                ways[edge.v].append(_Way(edge.u, edge.label, edge.backward))
            self._ways = ways
        return self._ways


_NO_REACH = Reach(FALSE, FALSE)

# An island's vertices have places from 1, in its own numbering; place 0 is for the rail that
# is asked about. It is also the place of every rail while edges are sorted into islands.
_RAIL_PLACE = 0


@record
class _Way:
    end: int
    label: int
    condition: int


@record
class _Island:
    """A part that holds together without rails, and the arcs from each rail into it."""

    vertex_count: int
    inner: list[Arc] = fresh(factory=list)
    at_rail: dict[int, list[Arc]] = fresh(factory=dict)


class _Spread:
    """How current spreads from one rail through one island, and gathers back to it."""

    def __init__(self, island: _Island, rail: int, algebra: Algebra) -> None:
        self._algebra = algebra
        arcs = [*island.at_rail[rail], *island.inner]
        # The rail has the lowest place, and so is the root of the tree.
        self._tree = _tree(island.vertex_count + 1, arcs)
        self._arcs: list[list[Arc]] = [[] for _ in self._tree.top]
        for arc in arcs:
            self._arcs[self._tree.block_of_edge(arc.u, arc.v)].append(arc)
        self._known: dict[int, Reach] = {_RAIL_PLACE: AT_ROOT}

    def reach(self, place: int) -> Reach:
        """The conditions between the rail and a place of the island."""
        blocks_to_do = []
        top = place
        while top not in self._known:
            block = self._tree.above[top]
            blocks_to_do.append(block)
            top = self._tree.top[block]
        for block in reversed(blocks_to_do):
            self._push_outwards(block)
        return self._known[place]

    def _push_outwards(self, block: int) -> None:
        both = self._algebra.both
        top = self._tree.top[block]
        at_top = self._known[top]
        inside = reach_from(top, self._arcs[block], self._algebra)
        undirected = at_top.from_root == at_top.to_root
        for place in self._tree.below[block]:
            way = inside[place]
            from_root = both(at_top.from_root, way.from_root)
            if undirected and way.from_root == way.to_root:
                to_root = from_root
            else:
                to_root = both(way.to_root, at_top.to_root)
            self._known[place] = Reach(from_root, to_root)


def _tree(vertex_count: int, arcs: Iterable[Arc]) -> BlockCutTree:
    adjacency: list[list[int]] = [[] for _ in range(vertex_count)]
    for arc in arcs:
        adjacency[arc.u].append(arc.v)
        adjacency[arc.v].append(arc.u)
    return block_cut_tree(adjacency)


def _walk_back(start: int, end: int, came_by: dict[int, tuple[int, int]]) -> ConductionPath:
    vertices, labels = [end], []
    while vertices[-1] != start:
        before, label = came_by[vertices[-1]]
        vertices.append(before)
        labels.append(label)
    return ConductionPath(tuple(reversed(vertices)), tuple(reversed(labels)))
