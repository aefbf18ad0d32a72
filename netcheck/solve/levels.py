"""Nodes held at fixed voltages from each other: sets with a potential inside the set."""

from __future__ import annotations

from collections.abc import Hashable, Iterator

Node = Hashable
_SAME = 1e-9
"""Voltages that differ by less, against their size, are the same."""


class SourcesInConflict(Exception):
    """Ideal sources ask for two voltages between the same nodes: `.a`, `.b` are these."""

    def __init__(self, a: Node, b: Node) -> None:
        super().__init__(f"two sources fix different voltages between {a} and {b}")
        self.a, self.b = a, b


class Levels:
    """Sets of nodes, each node a fixed number of volts above its set's root."""

    def __init__(self) -> None:
        self._parent: dict[Node, Node] = {}
        self._above: dict[Node, complex] = {}

    def add(self, node: Node) -> None:
        """A set of its own, unless the node is known."""
        if node not in self._parent:
            self._parent[node] = node
            self._above[node] = 0

    def knows(self, node: Node) -> bool:
        return node in self._parent

    def roots(self) -> Iterator[Node]:
        """One node of every set, in the order they were added."""
        return (node for node, parent in self._parent.items() if node == parent)

    def root(self, node: Node) -> Node:
        """The root of the node's set."""
        return self.find(node)[0]

    def find(self, node: Node) -> tuple[Node, complex]:
        """The root of the node's set, and the volts of the node above it."""
        parent = self._parent
        up = parent[node]
        if parent[up] == up:  # as nearly always
            return up, self._above[node]
        way = []
        while parent[node] != node:
            way.append(node)
            node = parent[node]
        above: complex = 0
        for passed in reversed(way):
            above += self._above[passed]
            self._parent[passed], self._above[passed] = node, above
        return node, above

    def join(self, a: Node, b: Node, volts: complex = 0) -> bool:
        """Hold `a` at `volts` above `b`; False if it was so already.

        Raises SourcesInConflict if it was held elsewhere.
        """
        (root_a, above_a), (root_b, above_b) = self.find(a), self.find(b)
        wanted = volts + above_b - above_a
        if root_a == root_b:
            if abs(wanted) > _SAME * max(1.0, abs(volts)):
                raise SourcesInConflict(a, b)
            return False
        self._parent[root_a], self._above[root_a] = root_b, wanted
        return True
