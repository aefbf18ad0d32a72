"""Questions with one fault: one wire that opens, one contact that welds, one ground fault.

The fault comes at any moment and stays.  Nothing is worked out before a question is asked.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import TYPE_CHECKING, TypeGuard

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.model.devices import Conducts
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.answers import Undecided

if TYPE_CHECKING:
    from netcheck.model.faults import Fault
    from netcheck.states.open_wires import OpenWires
    from netcheck.states.single_faults import Broken, FaultAnswer, SingleFaults


@record
class OneFault:
    """`opens.can_happen(condition)`: whether one wire that opens lets it happen, and so on.

    A condition is a function of the behaviour it is asked of, `lambda b: b.on("M1")`.
    """

    behaviour: Behaviour

    @property
    def panel(self) -> Panel:
        return self.behaviour.panel

    @cached_property
    def no_open_wire(self) -> OpenWires:
        """`no_open_wire.cannot_let(bad)`, a literal of `behaviour` that more current only helps
        to hold: whether it is plain, without any further proof, that no open wire lets it."""
        from netcheck.states.open_wires import OpenWires

        return OpenWires(self.behaviour)

    @cached_property
    def opens(self) -> SingleFaults:
        """Any one wire."""
        return _asked(self.panel, wires_that_open(self.panel))

    @cached_property
    def welds(self) -> SingleFaults:
        """Any one contact, or the armature that a welded contact holds in."""
        return _asked(self.panel, contacts_that_weld(self.panel))

    @cached_property
    def grounds(self) -> SingleFaults:
        """Any one node that is neither a source's pole nor grounded already."""
        return _asked(self.panel, nodes_that_ground(self.panel))


def _asked(panel: Panel, faults: Iterator[Fault]) -> SingleFaults:
    """The machinery is loaded by who asks: most reviews do not."""
    from netcheck.states.single_faults import SingleFaults

    return SingleFaults(panel, faults)


def defeats_or_may(answer: FaultAnswer) -> TypeGuard[Broken | Undecided]:
    """Whether a fault brings it about once all has settled, or may; in passing does not count."""
    from netcheck.states.single_faults import Broken

    if isinstance(answer, Broken):
        return answer.reached.kind == "settled operation"
    return isinstance(answer, Undecided)


@concludes(Behaviour)
def ask_with_one_fault(view: View) -> OneFault:
    return OneFault(view[Behaviour])


def wires_that_open(panel: Panel) -> Iterator[Fault]:
    from netcheck.model.faults import wire_open

    for wire in panel.wires:
        yield wire_open(panel, wire)


def contacts_that_weld(panel: Panel) -> Iterator[Fault]:
    """Also transistors, which fail shorted; not contacts with direct opening, nor what is
    marked `safety-rated`: it is made so that no single fault of its own lets it down."""
    from netcheck.model.faults import FaultKind, can_weld, held, welded

    trusted = {one.name for one in panel.devices.values() if "safety-rated" in one.marks}
    for part in panel.parts:
        if can_weld(part) and part.device not in trusted:
            yield welded(panel, part)
    for mechanism in panel.mechanisms.values():
        if mechanism.device in trusted:
            continue
        if mechanism.moved_by_coil and mechanism.held is None:
            yield held(mechanism, FaultKind.HELD_IN)


def nodes_that_ground(panel: Panel) -> Iterator[Fault]:
    """One wire for each node.  Poles are left out: the first ground fault there shorts the
    source or, if it floats, starts nothing."""
    from netcheck.model.faults import grounded

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
