"""Where the terminals of a block of rungs stand from left to right.

Each link asks for a least width; a branch that is tied to a terminal of another rung shares
its place.  Such demands are differences: the least places are found as longest ways from the
left rail, the greatest from the right.  A tie that cannot be had without running over
something becomes a flag that says where it goes on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from netcheck.model.devices import Part, device_of
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.report.drawing.figures import PITCH, SMALL, text_width
from netcheck.report.drawing.rows import (
    BOX,
    CONTACT,
    LEFT,
    RIGHT,
    End,
    Place,
    Row,
    end_width,
    is_pole,
    told_below,
    widths,
)
from netcheck.report.drawing.symbols import RISE

GOES_ON = ", continued"
STRETCHES = (2.4, 2.0, 1.7, 1.5, 1.35, 1.2, 1.1)
"""How much longer than they must be wires are drawn where there is room."""
HEAD = 26.0
"""Room for the title of a block."""
BESIDE = 6.0
"""What letters keep from a line beside them."""
CLEAR = 4.0
"""What a line that goes down keeps from a rung that it passes."""


@record
class _Solved:
    xs: list[list[float]]


class Block:
    """Rungs that stand together on a sheet."""

    def __init__(
        self, panel: Panel, title: str, rows: list[Row], nodes: Mapping[str, int], control: bool
    ) -> None:
        self.panel = panel
        self.title = title
        self.rows = rows
        self.nodes = nodes
        self.control = control
        self._same: dict[Place, Place] = {}

    @property
    def height(self) -> float:
        return HEAD + sum(row.above + row.below for row in self.rows)

    def cut(self, room: float) -> tuple[Block, Block] | None:
        """As many rungs as there is room for, and the rest; None where that cannot be.

        A cut goes through no line that ties or links two rungs, and through no box.
        """
        found, high = 0, HEAD
        for number, row in enumerate(self.rows[:-1], 1):
            high += row.above + row.below
            if high > room:
                break
            if self._can_be_cut(number):
                found = number
        if not found:
            return None
        upper = Block(self.panel, self.title, self.rows[:found], self.nodes, self.control)
        title = self.title.removesuffix(GOES_ON) + GOES_ON
        rest = Block(self.panel, title, self.rows[found:], self.nodes, self.control)
        for row in rest.rows:
            row.left, row.right = row.left.raised(found), row.right.raised(found)
        return upper, rest

    def _can_be_cut(self, at: int) -> bool:
        """Whether nothing ties the rungs before that number to those from it on."""
        upper, lower = self.rows[at - 1], self.rows[at]
        for number, row in enumerate(self.rows):
            for end in row.ends:
                if end.tie is not None and (number < at) != (end.tie[0] < at):
                    return False
        for end, other, place in zip(upper.ends, lower.ends, (0, -1), strict=True):
            devices = {device_of(row.chain.terminals[place]) for row in (upper, lower)}
            if end.sort == other.sort == "box" and len(devices) == 1:
                return False
        hanging = any(row.hangs >= at - number for number, row in enumerate(self.rows[:at]))
        return not lower.linked and not hanging

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

    def hang(self) -> None:
        """Find room for what is written under the ends of rungs, once all are measured."""
        for number, row in enumerate(self.rows):
            load = told_below(row)
            words = self.panel.devices[load.device].description if load is not None else ""
            lines = len(row.contacts) + bool(words)
            if not lines:
                continue
            wide = CONTACT if row.contacts else min(CONTACT, text_width(words, SMALL))
            edge = RIGHT - BOX if row.right.sort == "box" else RIGHT
            for x in sorted(self._downs(number), reverse=True):
                if edge - wide - 2 * BESIDE < x < edge:
                    edge = x
            row.edge = edge - BESIDE
            room, need = row.below, RISE + 6 + PITCH * (lines + (not words and row.below > 18))
            while room < need and not self._reaches(number + row.hangs + 1, row.edge - wide):
                row.hangs += 1
                lower = self.rows[number + row.hangs]
                room += lower.above + lower.below
            row.below += max(0.0, need - room)

    def _downs(self, number: int) -> Iterator[float]:
        """Where lines go down from a row or past it."""
        for other, row in enumerate(self.rows):
            for end, x in zip(row.ends, (row.xs[0], row.xs[-1]), strict=True):
                if end.tie is not None and min(other, end.tie[0]) <= number < max(
                    other, end.tie[0]
                ):
                    yield x

    def _reaches(self, number: int, x: float) -> bool:
        """Whether a row comes as far as x, or is none of these."""
        if number >= len(self.rows):
            return True
        row = self.rows[number]
        return row.xs[-1] + end_width(row.right.sort, row.chain.terminals[-1]) > x - CLEAR

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
            wide = widths(self.panel, row.chain, row.left.sort, row.right.sort, row.ample)
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
