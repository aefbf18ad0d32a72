"""Questions with one fault: one wire that opens, one contact that welds, one ground fault.

The fault comes at any moment and stays.  Nothing is worked out before a question is asked.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.model.devices import Conducts
from netcheck.model.faults import (
    Fault,
    FaultKind,
    can_weld,
    grounded,
    held,
    welded,
    wire_open,
)
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.single_faults import SingleFaults


@record
class OneFault:
    """`opens.can_happen(condition)`: whether one wire that opens lets it happen, and so on.

    A condition is a function of the behaviour it is asked of, `lambda b: b.on("M1")`.
    """

    panel: Panel

    @cached_property
    def opens(self) -> SingleFaults:
        """Any one wire."""
        return SingleFaults(self.panel, wires_that_open(self.panel))

    @cached_property
    def welds(self) -> SingleFaults:
        """Any one contact, or the armature that a welded contact holds in."""
        return SingleFaults(self.panel, contacts_that_weld(self.panel))

    @cached_property
    def grounds(self) -> SingleFaults:
        """Any one node that is neither a source's pole nor grounded already."""
        return SingleFaults(self.panel, nodes_that_ground(self.panel))


@concludes(Behaviour)
def ask_with_one_fault(view: View) -> OneFault:
    return OneFault(view[Behaviour].panel)


def wires_that_open(panel: Panel) -> Iterator[Fault]:
    for wire in panel.wires:
        yield wire_open(panel, wire)


def contacts_that_weld(panel: Panel) -> Iterator[Fault]:
    """Also transistors, which fail shorted; not contacts with direct opening."""
    for part in panel.parts:
        if can_weld(part):
            yield welded(panel, part)
    for mechanism in panel.mechanisms.values():
        if mechanism.moved_by_coil and mechanism.held is None:
            yield held(mechanism, FaultKind.HELD_IN)


def nodes_that_ground(panel: Panel) -> Iterator[Fault]:
    """One wire for each node.  Poles are left out: the first ground fault there shorts the
    source or, if it floats, starts nothing."""
    nodes = find_nodes(panel)
    joined: Unions[int] = Unions()
    known = {nodes.of[f"{s.device}:{pole}"] for s in panel.sources for pole in s.poles}
    for part in panel.parts:
        if part.conducts is Conducts.BOND:
            known |= {nodes.of[part.a], nodes.of[part.b]}
        if part.conducts in (Conducts.BOND, Conducts.JOINS):
            joined.join(nodes.of[part.a], nodes.of[part.b])
    left_out = {joined.find(node) for node in known}
    left_out |= {joined.find(nodes.of[t]) for t in panel.terminals if t.endswith(":PE")}
    seen: set[int] = set()
    for wire in panel.wires:
        node = joined.find(nodes.of[wire.a])
        if node not in left_out and node not in seen:
            seen.add(node)
            yield grounded(panel, wire)
