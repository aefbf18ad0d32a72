"""Where the terminals of a block of rungs stand from left to right.

Each link asks for a least width; a branch that is tied to a terminal of another rung shares
its place.  Such demands are differences: the least places are found as longest ways from the
left rail, the greatest from the right.  A tie that cannot be had without running over
something becomes a flag that says where it goes on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from netcheck.model.devices import Part
from netcheck.record import record
from netcheck.report.drawing.rows import (
    LEFT,
    RIGHT,
    End,
    Place,
    Row,
    end_width,
    is_pole,
    widths,
)

STRETCHES = (2.4, 2.0, 1.7, 1.5, 1.35, 1.2, 1.1)
"""How much longer than they must be wires are drawn where there is room."""
CLEAR = 4.0
"""What a line that goes down keeps from a rung that it passes."""


@record
class _Solved:
    xs: list[list[float]]


class Block:
    """Rungs that stand together on a sheet."""

    def __init__(self, title: str, rows: list[Row], nodes: Mapping[str, int]) -> None:
        self.title = title
        self.rows = rows
        self.nodes = nodes
        self._same: dict[Place, Place] = {}

    @property
    def height(self) -> float:
        return 20.0 + sum(row.above + row.below for row in self.rows)

    def place(self, wanted: Mapping[tuple[int, str], Place]) -> None:
        """Tie what can be tied; `wanted` gives for an end of a row where it would be tied to."""
        self._take(self._solve())
        for (number, side), target in wanted.items():
            before = self.rows[number].left if side == "left" else self.rows[number].right
            self._end(number, side, End("tie", target))
            place = (number, 0 if side == "left" else len(self.rows[number].chain.terminals) - 1)
            self._same[place] = target
            solved = self._solve()
            if solved is not None and self._clear(solved):
                self._take(solved)
            else:
                self._end(number, side, before)
                del self._same[place]
        self._align()
        for stretch in STRETCHES:
            solved = self._solve(stretch)
            if solved is not None and self._clear(solved):
                self._take(solved)
                break
        self._link()

    def _end(self, number: int, side: str, end: End) -> None:
        if side == "left":
            self.rows[number].left = end
        else:
            self.rows[number].right = end

    def _take(self, solved: _Solved | None) -> None:
        assert solved is not None, "a chain is cut to fit a rung before it comes here"
        for row, xs in zip(self.rows, solved.xs, strict=True):
            row.xs = xs

    def _align(self) -> None:
        """Poles of one device, one under the other, so that they can be linked."""
        for number in range(1, len(self.rows)):
            for place, above in self._pole_pairs(number):
                here, there = (number, place), (number - 1, above)
                if here in self._same or self._middle(*here) == self._middle(*there):
                    continue
                self._same[here] = there
                solved = self._solve()
                if solved is not None and self._clear(solved):
                    self._take(solved)
                else:
                    del self._same[here]

    def _link(self) -> None:
        for number in range(1, len(self.rows)):
            for place, above in self._pole_pairs(number):
                if abs(self._middle(number, place) - self._middle(number - 1, above)) < 1:
                    part = self.rows[number].chain.links[place]
                    assert isinstance(part, Part)
                    self.rows[number].linked.add(part.index)

    def _pole_pairs(self, number: int) -> Iterator[tuple[int, int]]:
        """Places of poles of one device in a row and in the one above, in turn."""
        upper = dict[str, list[int]]()
        for place, part in self._parts(number - 1):
            if is_pole(part):
                upper.setdefault(part.device, []).append(place)
        for place, part in self._parts(number):
            if is_pole(part) and upper.get(part.device):
                yield place, upper[part.device].pop(0)

    def _middle(self, number: int, place: int) -> float:
        xs = self.rows[number].xs
        return (xs[place] + xs[place + 1]) / 2

    def _parts(self, number: int) -> Iterator[tuple[int, Part]]:
        for place, link in enumerate(self.rows[number].chain.links):
            if isinstance(link, Part):
                yield place, link

    # ---- places as differences ---------------------------------------------------------------

    def _root(self, place: Place) -> Place:
        seen = {place}
        while place in self._same:
            place = self._same[place]
            if place in seen:
                break
            seen.add(place)
        return place

    def _solve(self, stretch: float = 1.0) -> _Solved | None:
        """None where no places can be had."""
        edges: list[tuple[Place, Place, float]] = []
        least: dict[Place, float] = {}
        most: dict[Place, float] = {}
        late: set[Place] = set()
        for number, row in enumerate(self.rows):
            places = [self._root((number, at)) for at in range(len(row.chain.terminals))]
            if len(set(places)) < len(places):
                return None
            wide = widths(row.chain, row.left.sort, row.right.sort)
            edges += [
                (places[at], places[at + 1], w if isinstance(link, Part) else w * stretch)
                for at, (w, link) in enumerate(zip(wide, row.chain.links, strict=True))
            ]
            self._bounds(row, places, least, most)
            late.update(self._late(row, places))
            for at in places:
                least.setdefault(at, LEFT)
                most.setdefault(at, RIGHT)
        if not _relax(edges, least, forwards=True) or not _relax(edges, most, forwards=False):
            return None
        if any(least[at] > most[at] + 1e-6 for at in least):
            return None
        for _ in range(len(edges)):
            more = {end for start, end, _ in edges if start in late} - late
            if not more:
                break
            late |= more
        x = {at: most[at] if at in late else least[at] for at in least}
        return _Solved(
            [
                [round(x[self._root((number, at))], 2) for at in range(len(row.chain.terminals))]
                for number, row in enumerate(self.rows)
            ]
        )

    def _bounds(
        self, row: Row, places: list[Place], least: dict[Place, float], most: dict[Place, float]
    ) -> None:
        left = LEFT + end_width(row.left.sort, row.chain.terminals[0])
        least[places[0]] = max(least.get(places[0], LEFT), left)
        if row.left.sort in ("rail", "box"):
            most[places[0]] = min(most.get(places[0], RIGHT), left)
        right = RIGHT - end_width(row.right.sort, row.chain.terminals[-1])
        most[places[-1]] = min(most.get(places[-1], RIGHT), right)
        if row.right.sort in ("rail", "box"):
            least[places[-1]] = max(least.get(places[-1], LEFT), right)

    def _late(self, row: Row, places: list[Place]) -> Iterator[Place]:
        """The load of a rung stands by the right rail, and all that follows it."""
        if row.right.sort not in ("rail", "box"):
            return
        loads = [
            at
            for at, link in enumerate(row.chain.links)
            if isinstance(link, Part) and link.load is not None
        ]
        if loads:
            yield from places[loads[-1] :]
        else:
            yield places[-1]

    # ---- what runs over what -----------------------------------------------------------------

    def _clear(self, solved: _Solved) -> bool:
        """Whether no line that ties two rungs runs over a rung between them."""
        for number, row in enumerate(self.rows):
            for side, end in (("left", row.left), ("right", row.right)):
                if end.tie is None:
                    continue
                at = 0 if side == "left" else -1
                x, other = solved.xs[number][at], end.tie[0]
                node = self.nodes[row.chain.terminals[at]]
                for between in range(min(number, other) + 1, max(number, other)):
                    if not self._passes(solved, between, x, node):
                        return False
        return True

    def _passes(self, solved: _Solved, number: int, x: float, node: int) -> bool:
        row, xs = self.rows[number], solved.xs[number]
        left = xs[0] - end_width(row.left.sort, row.chain.terminals[0]) - CLEAR
        right = xs[-1] + end_width(row.right.sort, row.chain.terminals[-1]) + CLEAR
        if x < left or x > right:
            return True
        return any(
            abs(x - at) < 0.01 and self.nodes[terminal] == node
            for at, terminal in zip(xs, row.chain.terminals, strict=True)
        )


def _relax(
    edges: list[tuple[Place, Place, float]], bound: dict[Place, float], *, forwards: bool
) -> bool:
    """Raise (or lower) each place until every width is kept; False if that never ends."""
    for _ in range(len(bound) + 1):
        changed = False
        for start, end, wide in edges:
            if forwards and bound[end] < bound[start] + wide - 1e-9:
                bound[end] = bound[start] + wide
                changed = True
            elif not forwards and bound[start] > bound[end] - wide + 1e-9:
                bound[start] = bound[end] - wide
                changed = True
        if not changed:
            return True
        if (forwards and max(bound.values()) > RIGHT * 2) or min(bound.values()) < -RIGHT:
            return False
    return False
