"""A wire number that stands in two places: on two nodes, or on two wires of their own.

In either practice it speaks where wires that nothing joins bear one number; terminal
strips and bars count as wire, devices do not.  In a panel that says `numbers one for each
wire` it speaks also where two wires of one node bear one number.

It keeps silent on wires without a number, on cores of cables, which go by their cable, among
grounding conductors, on the numbers of another panel of the text, where a load's path breaks
between the two nodes (`load never energised` names both ends), and on nodes that bear a
second number (`node with two numbers`).
"""

from collections.abc import Iterator

from netcheck.case import View
from netcheck.facts.open_paths import OpenPaths
from netcheck.facts.wire_numbers import EACH_NODE, EACH_WIRE, WireNumbers
from netcheck.finding import Family, Finding, Outcome, Place, ReferenceKind, Severity
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.rule import rule


@rule(
    family=Family.DRAWING,
    severity=Severity.QUERY,
    summary="one wire number stands on two nodes, or on two wires that should have their own",
    why="whoever looks for that number meets the wrong wire, and may land or cut it",
    source="a number names each electrically common point: training manual, read second-hand",
    kind=ReferenceKind.COMMON_PRACTICE,
    requires=(WireNumbers, OpenPaths),
)
def find(view: View) -> Iterator[Outcome]:
    panel = view.panel
    gaps = {(path.broken.last, path.broken.first) for path in view[OpenPaths].found}
    mixed = _mixed(view) if panel.settings.numbers == EACH_NODE else set()
    alone = panel.settings.numbers == EACH_WIRE
    grounding = view[WireNumbers].grounding
    for bearing in view[WireNumbers].bearing:
        groups = tuple(wires for wires in bearing if wires[0].index not in mixed)
        if len(groups) > 1:
            if not _told(groups, gaps):
                yield _on_nodes(panel, groups)
        elif alone and groups and len(groups[0]) > 1 and groups[0][0].index not in grounding:
            yield _on_wires(panel, groups[0])


def _mixed(view: View) -> set[int]:
    """Wires of nodes that have two numbers: told by `node with two numbers`."""
    nodes = [groups for groups in view[WireNumbers].of_node if len(groups) > 1]
    return {wire.index for groups in nodes for wires in groups for wire in wires}


def _told(groups: tuple[tuple[Wire, ...], ...], gaps: set[tuple[str, str]]) -> bool:
    """Whether a load's path breaks between two of the nodes."""
    ends = [{end for wire in wires for end in (wire.a, wire.b)} for wires in groups]
    return any(
        any(last in found for found in ends) and any(first in found for found in ends)
        for last, first in gaps
    )


def _on_nodes(panel: Panel, groups: tuple[tuple[Wire, ...], ...]) -> Finding:
    one, other = groups[0][0], groups[1][0]
    count = {2: "two", 3: "three"}.get(len(groups), str(len(groups)))
    return Finding(
        f"number {one.number} stands on {count} nodes: `{one.a}` and `{other.a}` are not joined",
        Place(other.span, "another node"),
        wires=(panel.called(one), panel.called(other)),
        related=(Place(one.span, "the number's first node"),),
        help="give one of the nodes a number of its own, or draw the wire that joins them",
    )


def _on_wires(panel: Panel, wires: tuple[Wire, ...]) -> Finding:
    one, other = wires[0], wires[1]
    return Finding(
        f"number {one.number} stands on {len(wires)} wires, and every wire has its own here",
        Place(other.span, "the same number again"),
        wires=tuple(panel.called(wire) for wire in wires),
        related=(Place(one.span, "first used here"),),
        help="give each wire a number of its own",
    )
