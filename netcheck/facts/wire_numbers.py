"""What bears which number: the nodes of a panel, where strips and bars count as wire.

A number only names.  In one practice it names a node, in the other a single wire; a cable's
core is named by its cable, in both.  Panels of one text have numbers of their own.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.case import View, concludes
from netcheck.facts.grounding_terminals import is_grounding_terminal
from netcheck.model.devices import Conducts, device_of
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.record import record

EACH_NODE = "node"
EACH_WIRE = "wire"


@record
class WireNumbers:
    """`bearing` gives, for each number, the wires that bear it, node by node in the text's
    order; `of_node` gives, for each node, its wires number by number.

    All grounding conductors count as one node in `bearing`, for PE is PE as a rule, and are
    left out of `of_node`, with the circuit conductors joined to them: that is a bond, a return
    by ground or a short, and told as such.  `grounding` are their wires.
    """

    bearing: tuple[tuple[tuple[Wire, ...], ...], ...]
    of_node: tuple[tuple[tuple[Wire, ...], ...], ...]
    grounding: frozenset[int]


@concludes()
def find_wire_numbers(view: View) -> WireNumbers:
    panel = view.panel
    node = _nodes(panel)
    aside = _aside(panel, node)
    numbered = [wire for wire in panel.wires if wire.number and not wire.cable]
    bearing: dict[tuple[str, str], dict[str, list[Wire]]] = {}
    of_node: dict[str, dict[str, list[Wire]]] = {}
    grounding = set()
    for wire in numbered:
        place = node.find(wire.a)
        home = _home(panel, wire)
        on_ground = place in aside
        where = "ground" if on_ground else place
        bearing.setdefault((home, wire.number), {}).setdefault(where, []).append(wire)
        if on_ground:
            grounding.add(wire.index)
            continue
        of_node.setdefault(place, {}).setdefault(wire.number, []).append(wire)
    return WireNumbers(_grouped(bearing.values()), _grouped(of_node.values()), frozenset(grounding))


def _grouped(found: Iterable[dict[str, list[Wire]]]) -> tuple[tuple[tuple[Wire, ...], ...], ...]:
    return tuple(tuple(tuple(wires) for wires in groups.values()) for groups in found)


def _nodes(panel: Panel) -> Unions[str]:
    node: Unions[str] = Unions()
    for wire in panel.wires:
        node.join(wire.a, wire.b)
    for part in panel.parts:
        if part.conducts in (Conducts.JOINS, Conducts.BOND) and part.role in ("bridge", "bar"):
            node.join(part.a, part.b)
    return node


def _aside(panel: Panel, node: Unions[str]) -> set[str]:
    """The nodes of grounding conductors."""
    return {node.find(name) for name in panel.terminals if is_grounding_terminal(panel, name)}


def _home(panel: Panel, wire: Wire) -> str:
    """The panel of the text a wire belongs to, empty where the text has one only."""
    if len(panel.titles) < 2:
        return ""
    name = device_of(wire.a).partition(".")[0]
    return name if name in panel.titles else ""
