"""Terminals joined by wire alone are one node."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.record import record


@record
class Nodes:
    """The node number of every terminal, and each node's terminals in the text's order."""

    of: Mapping[str, int]
    members: Sequence[tuple[str, ...]]

    def __len__(self) -> int:
        return len(self.members)


def find_nodes(panel: Panel) -> Nodes:
    """Merge terminals over wires; a terminal without any is a node of its own."""
    unions: Unions[str] = Unions()
    for terminal in panel.terminals:
        unions.find(terminal)
    for wire in panel.wires:
        unions.join(wire.a, wire.b)
    groups = unions.groups()
    of = {terminal: number for number, group in enumerate(groups) for terminal in group}
    return Nodes(of, [tuple(group) for group in groups])
