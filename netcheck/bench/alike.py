"""Faults that join the terminals of a panel alike: whatever is seen of one is seen of them all.

The wires of one node all ground the same when one of them does, and of two wires on neighbouring
terminals it is one whichever of them is told to be swapped with the other.
"""

from __future__ import annotations

from netcheck.bench.candidates import Candidate
from netcheck.bench.troubles import Edit
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions

Group = frozenset[str]


class Alike:
    """Of one panel: its groups of terminals that nothing but wire and fixed joints lies between."""

    def __init__(self, panel: Panel) -> None:
        fixed = [p for p in panel.parts if p.conducts is Conducts.JOINS and not p.mechanism]
        edges = [(one.index, one.a, one.b) for one in panel.wires]
        edges += [(-1, one.a, one.b) for one in fixed]
        self._joined = Unions[str]()
        for terminal in panel.terminals:
            self._joined.find(terminal)
        for _, a, b in edges:
            self._joined.join(a, b)
        self._group = {self._joined.find(one[0]): frozenset(one) for one in self._joined.groups()}
        self._edges: dict[str, list[tuple[int, str, str]]] = {}
        for edge in edges:
            self._edges.setdefault(self._joined.find(edge[1]), []).append(edge)
        self._ends = {one.index: (one.a, one.b) for one in panel.wires}

    def of(self, candidate: Candidate) -> frozenset[Group] | None:
        """The groups that there are with it and not without; None of what does more than join."""
        if candidate.faults or candidate.held or len(candidate.edits) != 1:
            return None
        (edit,) = candidate.edits
        only_joins = not (edit.wires_out or edit.opened or edit.dead or edit.volts)
        if not only_joins or any(ohm for _, _, ohm in edit.joints):
            return None
        return self._groups_with(edit)

    def _groups_with(self, edit: Edit) -> frozenset[Group]:
        moved = {(wire, leaves): comes_to for wire, leaves, comes_to in edit.moved}
        touched = [end for a, b, _ in edit.joints for end in (a, b)]
        touched += [end for wire, _, _ in edit.moved for end in self._ends[wire]]
        touched += moved.values()
        roots = dict.fromkeys(self._joined.find(terminal) for terminal in touched)
        joined = Unions[str]()
        for root in roots:
            for terminal in self._group[root]:
                joined.find(terminal)
            for wire, a, b in self._edges.get(root, ()):
                joined.join(moved.get((wire, a), a), moved.get((wire, b), b))
        for a, b, _ in edit.joints:
            joined.join(a, b)
        now = {frozenset(group) for group in joined.groups()}
        return frozenset(now.difference(self._group[root] for root in roots))
