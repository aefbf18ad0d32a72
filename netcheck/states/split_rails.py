"""Which coils may get some voltage through other loads once an open wire cuts a rail in two.

A wire that opens elsewhere only takes ways away.  But what it cuts off from a source's pole
floats from then on, and joins what lies at it: with the common of several coils lost, current
may pass one of them to come home through another and a lamp beside it.

Told are all coils of which that cannot be ruled out by what is joined to what.  It is ruled
out where only one part touches what is cut off, where what lies at it leads to one rail
alone, and where all loads at it lead to one and the same rail.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence

from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.blocks import block_cut_tree
from netcheck.network.unions import Unions
from netcheck.record import draft, fresh, record
from netcheck.states.expressions import TRUE
from netcheck.states.grid import Grid

MOST_LOOKS = 3_000_000
"""So many attachments are looked at; of what is left then, nothing is ruled out."""

INNER = -1


@record
class Attachment:
    """Where a part touches a rail: the terminal's place in the search, the area behind it, the
    part, and its terminal there."""

    at: int
    area: int
    part: Part
    end: str


@draft
class Area:
    """Places joined by contacts and loads, cut at rails: its coils, the rails it touches, and
    the rails that its loads lead to, INNER for a load inside it."""

    coils: set[int] = fresh(factory=set)
    rails: set[int] = fresh(factory=set)
    leads: set[int] = fresh(factory=set)


def coils_at_split_rails(
    panel: Panel, grid: Grid, breaking: frozenset[int], coils: Iterable[int]
) -> dict[int, list[int]]:
    """For each coil (index of its part), the parts among `breaking` that may do that to it.

    `panel` has its wires as parts; `grid` is that of the panel with nothing broken.
    """
    return _Split(panel, grid, breaking, frozenset(coils)).found()


class _Split:
    def __init__(
        self, panel: Panel, grid: Grid, breaking: frozenset[int], coils: frozenset[int]
    ) -> None:
        self._panel, self._grid, self._breaking, self._coils = panel, grid, breaking, coils
        self._looks = 0
        self._poles = {f"{s.device}:{pole}" for s in panel.sources for pole in s.poles}
        self._links: dict[int, dict[str, list[tuple[str, int]]]] = {}
        self._crossing: list[Part] = []
        self._sort()
        self._together: Unions[int] = Unions()
        for part in self._crossing:
            a, b = grid.place(part.a), grid.place(part.b)
            if a not in grid.rails and b not in grid.rails:
                self._together.join(a, b)
        self._at: dict[int, list[Part]] = {}
        self._all_areas: dict[int, Area] = {}
        self._parts: dict[int, list[Part]] = {}
        self._describe_areas()

    def _sort(self) -> None:
        """Parts into those always closed inside a rail, and those that lead elsewhere."""
        grid = self._grid
        for part in self._panel.parts:
            if part.conducts in (Conducts.NOTHING, Conducts.BOND) or part.a == part.b:
                continue
            rail = grid.place(part.a)
            always = part.conducts is Conducts.JOINS and grid.closed(part) == TRUE
            if not (always and rail == grid.place(part.b)):
                self._crossing.append(part)
            elif rail in grid.rails:
                links = self._links.setdefault(rail, {})
                links.setdefault(part.a, []).append((part.b, part.index))
                links.setdefault(part.b, []).append((part.a, part.index))

    def _describe_areas(self) -> None:
        grid = self._grid
        for part in self._crossing:
            area = self._all_areas.setdefault(self._area(part), Area())
            self._parts.setdefault(self._area(part), []).append(part)
            rails = {grid.place(part.a), grid.place(part.b)} & grid.rails
            area.rails |= rails
            for rail in rails:
                self._at.setdefault(rail, []).append(part)
            if part.index in self._coils:
                area.coils.add(part.index)
            if part.load is not None:
                area.leads |= rails or {INNER}

    def _area(self, part: Part) -> int:
        """The number of the area a part lies in; one of its own, below zero, between rails."""
        for end in (part.a, part.b):
            place = self._grid.place(end)
            if place not in self._grid.rails:
                return self._together.find(place)
        return -2 - part.index

    def found(self) -> dict[int, list[int]]:
        found: dict[int, list[int]] = {}
        for rail, links in self._links.items():
            for part, coils in self._cut(rail, links):
                for coil in coils:
                    found.setdefault(coil, []).append(part)
        return found

    def _cut(
        self, rail: int, links: dict[str, list[tuple[str, int]]]
    ) -> Iterator[tuple[int, set[int]]]:
        poles = [terminal for terminal in links if terminal in self._poles]
        order, bridges = _bridges(links, poles)
        entered = {terminal: place for place, terminal in enumerate(order)}
        attached = self._attached(rail, entered)
        by_area: dict[int, list[Attachment]] = {}
        for one in attached:
            by_area.setdefault(one.area, []).append(one)
        places = [one.at for one in attached]
        for part, first, last in bridges:
            if part not in self._breaking:
                continue
            low, high = bisect_left(places, first), bisect_left(places, last)
            inside = attached[low:high]
            behind = [pole for pole in poles if first <= entered[pole] < last]
            if behind and len(behind) < len(poles):
                # Two sources part: either side may now be held apart from the other.
                inside = attached
            coils = self._may_float(rail, inside, by_area, poles_behind=bool(behind))
            if coils:
                yield part, coils

    def _attached(self, rail: int, entered: dict[str, int]) -> list[Attachment]:
        """What touches the rail, in the order of the search."""
        attached: list[Attachment] = []
        for part in self._at.get(rail, ()):
            number = self._area(part)
            for end in (part.a, part.b):
                if self._grid.place(end) == rail and end in entered:
                    attached.append(Attachment(entered[end], number, part, end))
        attached.sort(key=lambda one: one.at)
        return attached

    def _may_float(
        self,
        rail: int,
        cut_off: Sequence[Attachment],
        by_area: dict[int, list[Attachment]],
        *,
        poles_behind: bool,
    ) -> set[int]:
        """The coils of the areas at what is cut off, where nothing rules it out."""
        self._looks += len(cut_off)
        numbers = {one.area for one in cut_off}
        coils = {coil for number in numbers for coil in self._all_areas[number].coils}
        if self._looks > MOST_LOOKS or poles_behind:
            return coils
        if len({self._far_end(one, rail) for one in cut_off}) < 2:
            return set()
        here = set(map(id, cut_off))
        rails: set[int] = set()
        leads: set[int] = set()
        for number in numbers:
            area = self._all_areas[number]
            rails.update(area.rails - {rail})
            leads.update(area.leads - {rail})
            for one in by_area[number]:
                if id(one) not in here:
                    rails.add(rail)
                    if one.part.load is not None:
                        leads.add(rail)
                elif one.part.load is not None and number >= 0:
                    leads.add(INNER)
        if len(rails) < 2 or (len(leads) == 1 and INNER not in leads):
            return set()
        floating = {(one.at, one.part.index) for one in cut_off}
        return coils & self._between_rails(rail, numbers, by_area, floating)

    def _far_end(self, one: Attachment, rail: int) -> int:
        ends = {self._grid.place(one.part.a), self._grid.place(one.part.b)} - {rail}
        return ends.pop() if ends else rail

    def _between_rails(
        self,
        rail: int,
        areas: Iterable[int],
        by_area: dict[int, list[Attachment]],
        floating: set[tuple[int, int]],
    ) -> set[int]:
        """The parts of these areas that lie on some way from one rail to another, no place
        twice: those in one block with a place that joins all rails."""
        floats = {
            (one.part.index, one.end): (one.at, one.part.index) in floating
            for number in areas
            for one in by_area[number]
        }
        number_of: dict[tuple[str, int], int] = {("outside", 0): 0}
        edges: list[tuple[int, int, int]] = []

        def vertex(kind: str, place: int) -> int:
            return number_of.setdefault((kind, place), len(number_of))

        for number in areas:
            for part in self._parts[number]:
                ends = []
                for end in (part.a, part.b):
                    place = self._grid.place(end)
                    kind = "floating" if floats.get((part.index, end)) else "place"
                    ends.append(vertex(kind, place))
                    if kind == "place" and place in self._grid.rails:
                        edges.append((0, ends[-1], -1))
                edges.append((ends[0], ends[1], part.index))
        tree = block_cut_tree(_neighbours(len(number_of), edges))
        outside = {block for block in range(len(tree.top)) if 0 in tree.vertices(block)}
        return {part for u, v, part in edges if u != v and tree.block_of_edge(u, v) in outside}


def _neighbours(count: int, edges: Iterable[tuple[int, int, int]]) -> list[list[int]]:
    found: list[list[int]] = [[] for _ in range(count)]
    for u, v in dict.fromkeys((u, v) for u, v, part in edges if part < 0):
        found[u].append(v)
        found[v].append(u)
    for u, v, part in edges:
        if part >= 0 and u != v:
            found[u].append(v)
            found[v].append(u)
    return found


def _bridges(
    links: dict[str, list[tuple[str, int]]], roots: Sequence[str]
) -> tuple[list[str], list[tuple[int, int, int]]]:
    """Terminals in the order of a depth-first search, and each link that alone holds two sides
    together: its part and the stretch of that order that lies behind it."""
    order: list[str] = []
    entered: dict[str, int] = {}
    low: dict[str, int] = {}
    found: list[tuple[int, int, int]] = []
    for root in (*roots, *links):
        if root in entered:
            continue
        entered[root] = low[root] = len(order)
        order.append(root)
        stack = [(root, -1, iter(links[root]))]
        while stack:
            at, came_by, onwards = stack[-1]
            for there, part in onwards:
                if part == came_by:
                    continue
                if there in entered:
                    low[at] = min(low[at], entered[there])
                    continue
                entered[there] = low[there] = len(order)
                order.append(there)
                stack.append((there, part, iter(links[there])))
                break
            else:
                stack.pop()
                if stack:
                    above = stack[-1][0]
                    low[above] = min(low[above], low[at])
                    if low[at] > entered[above]:
                        found.append((came_by, entered[at], len(order)))
    return order, found
