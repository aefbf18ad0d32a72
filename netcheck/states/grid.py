"""Where everything stands: places always joined, rails, and what conducts between them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.conduction import Conduction, Edge
from netcheck.network.nodes import Nodes
from netcheck.network.unions import Unions
from netcheck.states.expressions import FALSE, TRUE, Logic


class Grid:
    """The places of one panel and the conduction between them.

    Nodes joined by what is always closed (fuses, breakers, bridges) are one place: far
    fewer conditions are left to work out, and what a fused wire feeds is as much on the
    rail as the wire ahead of the fuse.  A *rail* is a place where a source has a pole.
    """

    def __init__(
        self,
        panel: Panel,
        nodes: Nodes,
        closed: Callable[[Part], int],
        logic: Logic,
        one_way: Callable[[Part], bool] | None = None,
    ) -> None:
        """`closed` says when a part counts as wire.  Which parts conduct one way only is
        worked out here, unless `one_way` tells it."""
        self.panel = panel
        self.closed = closed
        self.logic = logic
        self.one_way = one_way or self._conducts_one_way
        self._nodes = nodes
        self._edges: dict[int, Edge] = {}
        self._place_of, self.count = self._merge()
        self.rails = frozenset(
            self.place(f"{source.device}:{pole}")
            for source in panel.sources
            for pole in source.poles
        )

    def place(self, terminal: str) -> int:
        """Where a terminal stands: equal for terminals that are always joined."""
        return self._place_of[self._nodes.of[terminal]]

    def pole(self, source: int, mark: str) -> int:
        """Where a pole of source number `source` stands."""
        return self.place(f"{self.panel.sources[source].device}:{mark}")

    def _merge(self) -> tuple[list[int], int]:
        joined: Unions[int] = Unions()
        for node in range(len(self._nodes)):
            joined.find(node)
        for part in self.panel.parts:
            if part.conducts is Conducts.JOINS and self.closed(part) == TRUE:
                joined.join(self._nodes.of[part.a], self._nodes.of[part.b])
        groups = joined.groups()
        place_of = [0] * len(self._nodes)
        for number, group in enumerate(groups):
            for node in group:
                place_of[node] = number
        return place_of, len(groups)

    # ---- conduction ----------------------------------------------------------------------

    @cached_property
    def circuit(self) -> Conduction:
        """Conduction over circuit conductors: no bonds, no grounding."""
        return self._conduction(
            [part for part in self.panel.parts if part.conducts in _CIRCUIT], loads=False
        )

    @cached_property
    def whole(self) -> Conduction:
        """Conduction over everything that counts as wire, bonds and grounding included."""
        return self._conduction(
            [part for part in self.panel.parts if part.conducts in _WIRE], loads=False
        )

    @cached_property
    def with_loads(self) -> Conduction:
        """Conduction over circuit conductors and through every load."""
        parts = [
            part for part in self.panel.parts if part.load is not None or part.conducts in _CIRCUIT
        ]
        return self._conduction(parts, loads=True)

    def _conduction(self, parts: list[Part], *, loads: bool) -> Conduction:
        edges = [self._through(part) if loads and part.load else self._edge(part) for part in parts]
        apart = [edge for edge in edges if edge.u != edge.v]
        return Conduction(self.count, apart, self.rails, self.logic)

    def _edge(self, part: Part) -> Edge:
        """Of a part that counts as wire while closed; most are in more than one conduction."""
        edge = self._edges.get(part.index)
        if edge is None:
            closed = self.closed(part)
            back = FALSE if self.one_way(part) else closed
            ends = self.place(part.a), self.place(part.b)
            edge = self._edges[part.index] = Edge(*ends, closed, back, part.index)
        return edge

    def _through(self, load: Part) -> Edge:
        back = FALSE if self.one_way(load) else TRUE
        return Edge(self.place(load.a), self.place(load.b), TRUE, back, load.index)

    # ---- one-way parts ---------------------------------------------------------------------

    def _conducts_one_way(self, part: Part) -> bool:
        return part.is_one_way_on_dc and self._fed_by_dc(part)

    def _fed_by_dc(self, part: Part) -> bool:
        """Whether a one-way part lies where DC comes: on AC it conducts either way."""
        kinds = self._kinds_near
        near = (self._area.find(self.place(end)) for end in (part.a, part.b))
        found: set[str] = set().union(*(kinds.get(area, ()) for area in near))
        return "DC" in found or not found

    @cached_property
    def _area(self) -> Unions[int]:
        """Places joined by anything but sources, loads and bonds, cut nowhere."""
        area: Unions[int] = Unions()
        for place in range(self.count):
            area.find(place)
        for part in self.panel.parts:
            if part.conducts in _CIRCUIT:
                area.join(self.place(part.a), self.place(part.b))
        return area

    @cached_property
    def _kinds_near(self) -> dict[int, set[str]]:
        kinds: dict[int, set[str]] = {}
        for index, source in enumerate(self.panel.sources):
            for mark in source.poles:
                area = self._area.find(self.pole(index, mark))
                kinds.setdefault(area, set()).add(source.kind)
        return kinds


_CIRCUIT = frozenset((Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY))
_WIRE = _CIRCUIT | {Conducts.BOND}
