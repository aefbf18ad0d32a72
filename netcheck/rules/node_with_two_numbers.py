"""Wires of one node that bear different numbers, where a number is to name a node.

It speaks in panels that say `numbers one for each node`, where wires joined by wire alone,
terminal strips and bars included, have more than one number among them.

It keeps silent on wires without a number, on cores of cables, which go by their cable, on
grounding conductors, across devices, where a number has to change, and where a short passes
from one number to the other: that is a missing load.
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.shorts import Shorts
from netcheck.facts.wire_numbers import EACH_NODE, WireNumbers
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.wires import Wire
from netcheck.rule import rule
from netcheck.telling import in_words


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="a wire's number changes though no device stands between",
    why="two numbers look like two potentials, and one wire landed wrong looks like this",
    source="a number changes across a device, not across a terminal: trade article, second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(WireNumbers, Shorts),
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
    for groups in view[WireNumbers].of_node:
        shorted = [wires for wires in groups if any(wire.index in shorting for wire in wires)]
        if len(groups) < 2 or len(shorted) > 1:
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
