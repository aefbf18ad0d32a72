"""Voltages and currents of a linear network at one frequency, in complex volts and amperes.

Panels are wires with branches hanging on them, close to trees: eliminating the node with
the fewest neighbours first leaves almost no fill-in, so that plain Python solves one in
milliseconds, where importing numpy alone takes 124 ms of a start.  `tests/solve/` holds it
equal to exact fractions.

Only differences of potential mean anything.  Each galvanically joined *part* of the network
has its own reference, and a difference between two parts is none: it floats.
"""

from __future__ import annotations

import heapq
from collections.abc import Hashable, Iterator, Sequence
from functools import cached_property

from netcheck.record import record
from netcheck.solve.levels import Levels, SourcesInConflict
from netcheck.solve.tree_currents import tree_currents

Node = Hashable
_NEGLIGIBLE = 1e-12
"""A pivot this small against what was summed up in it is what rounding left of nought."""


@record
class Branch:
    """From node `a` to node `b`: `ohm` in series with a source that lifts `a` above `b` by `volts`.

    Nought ohm joins the two nodes, `volts` apart; with None it is open, as if it were not there.
    """

    a: Node
    b: Node
    ohm: complex | None
    volts: complex = 0


@record
class Winding:
    """An ideal transformer with `ohm` on its second side: v(c, d) = ratio * v(a, b), unloaded.

    It works both ways.  `ohm` must not be nought.
    """

    a: Node
    b: Node
    c: Node
    d: Node
    ratio: float
    ohm: complex


class Undetermined(Exception):
    """Nothing fixes the voltage between some nodes: `.node` is one of them."""

    def __init__(self, node: Node) -> None:
        super().__init__(f"nothing fixes the voltage at {node}")
        self.node = node


class Solution:
    """What `solve` found.  Currents are counted from `a` to `b` through the branch."""

    def __init__(
        self,
        branches: Sequence[Branch],
        ohms: Sequence[complex | None],
        windings: Sequence[Winding],
        levels: Levels,
        parts: Levels,
        potentials: dict[Node, complex],
    ) -> None:
        self._branches, self._ohms = branches, ohms
        self._windings = windings
        self._levels = levels
        self._parts = parts
        self._potentials = potentials

    def volts(self, a: Node, b: Node) -> complex | None:
        """Volts of `a` against `b`; None where nothing joins them (the difference floats).

        KeyError for a node that no branch meets.
        """
        (root_a, above_a), (root_b, above_b) = self._levels.find(a), self._levels.find(b)
        if root_a != root_b and self._parts.root(root_a) != self._parts.root(root_b):
            return None
        return self._potentials[root_a] + above_a - self._potentials[root_b] - above_b

    def current_a(self, branch: int) -> complex | None:
        """Amperes through a branch, by its place in the sequence given; None where branches
        of nought ohm lie side by side and nothing tells how they share."""
        one, ohm = self._branches[branch], self._ohms[branch]
        if ohm is None:
            return 0
        if ohm == 0:
            return self._currents_without_ohm[branch]
        return (self._across(one.a, one.b) - one.volts) / ohm

    def is_open(self, branch: int) -> bool:
        return self._ohms[branch] is None

    def winding_a(self, winding: int) -> complex:
        """Amperes that leave a winding's second side at `c` (its first takes in `ratio` times)."""
        one = self._windings[winding]
        return (one.ratio * self._across(one.a, one.b) - self._across(one.c, one.d)) / one.ohm

    def _across(self, a: Node, b: Node) -> complex:
        (root_a, above_a), (root_b, above_b) = self._levels.find(a), self._levels.find(b)
        return self._potentials[root_a] + above_a - self._potentials[root_b] - above_b

    @cached_property
    def _currents_without_ohm(self) -> dict[int, complex | None]:
        leaving: dict[Node, complex] = {}
        for node, amperes in self._ends():
            leaving[node] = leaving.get(node, 0) + amperes
        ends = [(one.a, one.b) for one in self._branches]
        bare = [index for index, ohm in enumerate(self._ohms) if ohm == 0]
        return tree_currents(ends, bare, leaving)

    def _ends(self) -> Iterator[tuple[Node, complex]]:
        """Node and the amperes that leave it there, for all that has resistance."""
        for index, branch in enumerate(self._branches):
            current = self.current_a(index) if self._ohms[index] else None
            if current is not None:
                yield branch.a, current
                yield branch.b, -current
        for index, winding in enumerate(self._windings):
            second = self.winding_a(index)
            first = winding.ratio * second
            yield from ((winding.a, first), (winding.b, -first))
            yield from ((winding.c, -second), (winding.d, second))


def solve(branches: Sequence[Branch], windings: Sequence[Winding] = ()) -> Solution:
    """Voltages and currents of the network.

    Raises SourcesInConflict where branches of nought ohm contradict each other and
    Undetermined where nothing fixes a voltage within a part (a winding on nothing).
    """
    return Layout(branches, windings).solve([one.ohm for one in branches])


class Layout:
    """Which nodes of a network are one, and which branches then lead from one to another: worked
    out once for networks that differ in ohms alone, as from round to round.  What was solved is
    known again."""

    def __init__(self, branches: Sequence[Branch], windings: Sequence[Winding] = ()) -> None:
        """Raises SourcesInConflict."""
        self._branches, self._windings = branches, windings
        self._levels, self._parts = levels, parts = Levels(), Levels()
        for branch in branches:
            if branch.ohm is None:
                continue
            levels.add(branch.a)
            levels.add(branch.b)
            if branch.ohm == 0:
                levels.join(branch.a, branch.b, branch.volts)
        for winding in windings:
            for node in (winding.a, winding.b, winding.c, winding.d):
                levels.add(node)
        roots = list(levels.roots())
        for node in roots:
            parts.add(node)
        self._apart: list[_Apart] = []
        for place, branch in enumerate(branches):
            if branch.ohm:
                (a, above_a), (b, above_b) = levels.find(branch.a), levels.find(branch.b)
                if a != b:
                    self._apart.append((place, a, b, branch.volts - above_a + above_b))
                    parts.join(a, b)
        self._wound: list[tuple[complex, _Flow]] = []
        for one in windings:
            share = [(one.a, one.ratio), (one.b, -one.ratio), (one.c, -1.0), (one.d, 1.0)]
            self._wound.append((1 / one.ohm, _flow(levels, share, 0)))
            parts.join(levels.root(one.a), levels.root(one.b))
            parts.join(levels.root(one.c), levels.root(one.d))
        driven = self._driven()
        self._apart = [one for one in self._apart if parts.root(one[1]) in driven]
        self._roots = [root for root in roots if parts.root(root) in driven]
        self._still = dict.fromkeys(roots, complex(0))
        self._known: dict[tuple[complex | None, ...], dict[Node, complex]] = {}

    def _driven(self) -> set[Node]:
        """The parts that some source drives, or a winding; in all others everything is at nought,
        as where DC is while AC is solved."""
        driven = [a for _, a, _, volts in self._apart if volts]
        driven += [root for _, (by_root, _) in self._wound for root in by_root]
        return {self._parts.root(root) for root in driven}

    def solve(self, ohms: Sequence[complex | None]) -> Solution:
        """With `ohms` of each branch, None and nought where they were.  Raises Undetermined."""
        apart = tuple([ohms[place] for place, *_ in self._apart])
        potentials = self._known.get(apart)
        if potentials is None:
            potentials = self._known[apart] = self._still | self._system(apart).solved()
        parts = (self._windings, self._levels, self._parts, potentials)
        return Solution(self._branches, ohms, *parts)

    def _system(self, ohms: Sequence[complex | None]) -> _System:
        system = _System(self._roots, self._parts)
        for ohm, (_, a, b, volts) in zip(ohms, self._apart, strict=True):
            if ohm:
                system.add_branch(a, b, volts, 1 / ohm)
        for siemens, flow in self._wound:
            system.add(flow, siemens)
        return system


_Apart = tuple[int, Node, Node, complex]
"""A branch between two roots, by its place: what lies across one root tells no potential.  The
roots, and how far the second's potential is below the first's while no current flows."""
_Flow = tuple[dict[Node, float], complex]
"""A current: the shares of the roots' potentials that drive it, and the volts it takes first."""


def _flow(levels: Levels, share: Sequence[tuple[Node, float]], volts: complex) -> _Flow:
    by_root: dict[Node, float] = {}
    for node, factor in share:
        root, above = levels.find(node)
        by_root[root] = by_root.get(root, 0.0) + factor
        volts -= factor * above
    return by_root, volts


class _System:
    """A symmetric system of equations, one for each of these roots."""

    def __init__(self, roots: Sequence[Node], parts: Levels) -> None:
        self._parts = parts
        self._rows: dict[Node, dict[Node, complex]] = {}
        self._right: dict[Node, complex] = {}
        self._size: dict[Node, float] = {}
        for node in roots:
            self._rows[node] = {node: 0}
            self._right[node] = 0
            self._size[node] = 0.0

    def add_branch(self, a: Node, b: Node, volts: complex, siemens: complex) -> None:
        """A current of `siemens` times (the potential of a less that of b less the volts)."""
        rows, size = self._rows, abs(siemens)
        self._right[a] += siemens * volts
        self._right[b] -= siemens * volts
        for one, other in ((a, b), (b, a)):
            self._size[one] += size
            row = rows[one]
            row[one] += siemens
            row[other] = row.get(other, 0) - siemens

    def add(self, flow: _Flow, siemens: complex) -> None:
        """A current of `siemens` times (the shares of the roots' potentials less the volts)."""
        by_root, volts = flow
        for root, factor in by_root.items():
            self._right[root] += factor * siemens * volts
            self._size[root] += abs(factor * factor * siemens)
            row = self._rows[root]
            for other, second in by_root.items():
                row[other] = row.get(other, 0) + factor * second * siemens

    def solved(self) -> dict[Node, complex]:
        """The potential of every root against its part's reference."""
        rows, right = self._rows, self._right
        references = self._references()
        for node in references:
            for other in rows.pop(node):
                if other != node:
                    del rows[other][node]
        order = []
        waiting = [(len(row), place, node) for place, (node, row) in enumerate(rows.items())]
        heapq.heapify(waiting)
        while waiting:
            size, place, node = heapq.heappop(waiting)
            row = rows.get(node)
            if row is None:
                continue
            if size != len(row):
                heapq.heappush(waiting, (len(row), place, node))
                continue
            order.append((node, self._eliminate(node)))
        potentials = dict.fromkeys(references, complex(0))
        for node, row in reversed(order):
            rest = sum(
                (y * potentials[other] for other, y in row.items() if other != node), complex(0)
            )
            potentials[node] = (right[node] - rest) / row[node]
        return potentials

    def _references(self) -> set[Node]:
        """Of each part the node with the most that leads there: measured against one behind a
        megohm, a milliohm would lose nine of sixteen digits."""
        best: dict[Node, Node] = {}
        for node in self._rows:
            part = self._parts.root(node)
            if part not in best or self._size[node] > self._size[best[part]]:
                best[part] = node
        return set(best.values())

    def _eliminate(self, node: Node) -> dict[Node, complex]:
        rows, right = self._rows, self._right
        row = rows.pop(node)
        pivot = row[node]
        if abs(pivot) <= _NEGLIGIBLE * self._size[node]:
            raise Undetermined(node)
        for other, y in row.items():
            if other == node:
                continue
            factor = y / pivot
            right[other] -= factor * right[node]
            target = rows[other]
            del target[node]
            for third, z in row.items():
                if third != node:
                    target[third] = target.get(third, 0) - factor * z
        return row


__all__ = ["Branch", "Layout", "Solution", "SourcesInConflict", "Undetermined", "Winding", "solve"]
