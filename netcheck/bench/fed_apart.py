"""What is fed apart in one state of a panel, and whether wires that are swapped bring it together.

On the ways that pass it a swapped wire changes what it feeds.  What stands on no way of it is moved
only where two poles are joined, so that something opens, or where a load lies between poles between
which none lay, so that one circuit feeds another.
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.bench.at_places import IDLE, WIRES
from netcheck.bench.troubles import Edit
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions

Poles = frozenset[str]
"""All that are one place."""
Between = tuple[Conducts, Poles, Poles]
"""What lies between two places: with the poles at each, or none."""


class FedApart:
    """`stands` has the number of the position that each mechanism is in."""

    def __init__(self, panel: Panel, stands: Mapping[str, int]) -> None:
        def is_closed(part: Part) -> bool:
            return not part.mechanism or stands[part.mechanism] in part.closed

        self._wires = panel.wires
        closed = [part for part in panel.parts if is_closed(part)]
        self._joined = [(part.a, part.b) for part in closed if part.conducts in WIRES]
        fed = [part for part in closed if part.conducts not in IDLE]
        self._fed = [(part.conducts, part.a, part.b) for part in fed]
        self._fed += [(p.conducts, p.b, p.a) for p in fed if p.conducts is not Conducts.ONE_WAY]
        self._poles = [f"{one.device}:{pole}" for one in panel.sources for pole in one.poles]
        self._places, self._between = self._with(Edit())

    def is_mixed_by(self, edit: Edit) -> bool:
        """Whether wires that are `moved` join poles, or feed from one circuit into another."""
        places, between = self._with(edit)
        return not (places <= self._places and between <= self._between)

    def _with(self, edit: Edit) -> tuple[set[Poles], set[Between]]:
        """The poles that are one place, and those ahead of and behind loads, either way round, and
        of what conducts one way."""
        moved = {(wire, leaves): comes_to for wire, leaves, comes_to in edit.moved}
        joined, at = Unions[str](), dict[str, set[str]]()
        for wire in self._wires:
            a, b = ((wire.index, end) for end in (wire.a, wire.b))
            joined.join(moved.get(a, wire.a), moved.get(b, wire.b))
        for ends in self._joined:
            joined.join(*ends)
        for pole in self._poles:
            at.setdefault(joined.find(pole), set()).add(pole)
        named = {root: frozenset(poles) for root, poles in at.items()}
        nothing: Poles = frozenset()
        between = {
            (conducts, named.get(joined.find(a), nothing), named.get(joined.find(b), nothing))
            for conducts, a, b in self._fed
        }
        return set(named.values()), between
