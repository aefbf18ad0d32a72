"""Wires of one node that bear different numbers, where a number is to name a node.

It speaks in panels that say `numbers one for each node`, where wires joined by wire alone,
terminal strips and bars included, have more than one number among them.

It keeps silent on wires without a number, on cores of cables, which go by their cable, on
grounding conductors, across devices, where a number has to change, where a short passes from
one number to the other (a missing load), and where the one wire that joins them bridges a
contact (`contact that never matters`).
"""

from collections.abc import Iterator, Sequence

from netcheck.case import View
from netcheck.facts.idle_contacts import IdleContact, IdleContacts
from netcheck.facts.shorts import Shorts
from netcheck.facts.wire_numbers import EACH_NODE, WireNumbers
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.rule import rule
from netcheck.telling import in_words


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="a wire's number changes though no device stands between",
    why="two numbers look like two potentials, and one wire landed wrong looks like this",
    source="a number changes across a device, not across a terminal: trade article, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(WireNumbers, IdleContacts, Shorts),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    if panel.settings.numbers != EACH_NODE:
        return
    shorting = {
        passed.by.index
        for short in view[Shorts].found
        for passed in short.path
        if isinstance(passed.by, Wire)
    }
    bridged = [_beside(panel, contact) for contact in view[IdleContacts].found]
    for groups in view[WireNumbers].of_node:
        shorted = [wires for wires in groups if any(wire.index in shorting for wire in wires)]
        if len(groups) < 2 or len(shorted) > 1 or _is_bridged(groups, bridged):
            continue
        firsts = [group[0] for group in groups]
        numbers = [wire.number for wire in firsts]
        yield Finding(
            f"{in_words(numbers)} are one node, for no device stands between them",
            Place(firsts[1].span, f"number {numbers[1]} here"),
            wires=tuple(panel.called(wire) for wire in firsts),
            related=(Place(firsts[0].span, f"number {numbers[0]} here"),),
            help="give the node one number, or look for a wire landed in the wrong place",
        )


def _beside(panel: Panel, contact: IdleContact) -> set[str]:
    """The numbers on either side of a contact that one wire bridges, where all differ."""
    way = [one.by for one in contact.around if isinstance(one.by, Wire)]
    if not way or len(way) < len(contact.around):
        return set()
    last = max(way, key=lambda wire: (wire.span.line, wire.span.column))
    joined: Unions[str] = Unions()
    for wire in panel.wires:
        if wire is not last:
            joined.join(wire.a, wire.b)
    ends = contact.part.a, contact.part.b
    sides = [
        {wire.number for wire in panel.wires if wire is not last and joined.joined(wire.a, end)}
        for end in ends
    ]
    apart = not joined.joined(*ends) and not sides[0] & sides[1]
    return sides[0] | sides[1] if apart else set()


def _is_bridged(groups: Sequence[Sequence[Wire]], bridged: list[set[str]]) -> bool:
    """Whether the numbers of a node are those on both sides of a bridged contact."""
    numbers = {wire.number for wires in groups for wire in wires}
    return any(numbers <= beside for beside in bridged)
