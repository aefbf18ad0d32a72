"""Terminals joined by wire alone are one node."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
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
    groups = _groups(panel.terminals, panel.wires)
    of = {terminal: number for number, group in enumerate(groups) for terminal in group}
    return Nodes(of, groups)


def nodes_of_changed(nodes: Nodes, before: Panel, after: Panel) -> Nodes:
    """The nodes of a panel in which some wires lead elsewhere, from those it had before; in a
    fifth of the time.  Numbers that no longer stand for a node have no members."""
    kept, now = ({id(wire) for wire in panel.wires} for panel in (before, after))
    wires = [wire for wire in before.wires if id(wire) not in now]
    wires += [wire for wire in after.wires if id(wire) not in kept]
    touched = {nodes.of[end] for wire in wires for end in (wire.a, wire.b)}
    if not touched:
        return nodes
    of, members = dict(nodes.of), list(nodes.members)
    terminals = [terminal for number in sorted(touched) for terminal in members[number]]
    inside = [wire for wire in after.wires if of[wire.a] in touched]
    for number in touched:
        members[number] = ()
    for group in _groups(terminals, inside):
        of.update(dict.fromkeys(group, len(members)))
        members.append(group)
    return Nodes(of, members)


def _groups(terminals: Iterable[str], wires: Iterable[Wire]) -> list[tuple[str, ...]]:
    unions: Unions[str] = Unions()
    for terminal in terminals:
        unions.find(terminal)
    for wire in wires:
        unions.join(wire.a, wire.b)
    return [tuple(group) for group in unions.groups()]
