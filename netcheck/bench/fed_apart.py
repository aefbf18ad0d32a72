"""What is fed apart in one state of a panel, and whether wires that are swapped bring it together.

On the ways that pass it a swapped wire changes what it feeds.  What stands on no way of it is moved
only where two poles are joined, so that something opens, or where a load lies between poles between
which none lay, so that one circuit feeds another.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from netcheck.bench.at_places import IDLE, WIRES
from netcheck.bench.troubles import Edit
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions

Poles = frozenset[str]
"""All that are one place."""
NONE: Poles = frozenset()
Joint = tuple[int | None, str, str]
"""What makes two terminals one place: a wire by its index, or a closed part."""
End = tuple[int | None, str]
Fed = tuple[Conducts, str, str]
"""What lies between two terminals, from the one to the other."""


class FedApart:
    """`stands` has the number of the position that each mechanism is in."""

    def __init__(self, panel: Panel, stands: Mapping[str, int]) -> None:
        def is_closed(part: Part) -> bool:
            return not part.mechanism or stands[part.mechanism] in part.closed

        closed = [part for part in panel.parts if is_closed(part)]
        joints: list[Joint] = [(wire.index, wire.a, wire.b) for wire in panel.wires]
        joints += [(None, part.a, part.b) for part in closed if part.conducts in WIRES]
        parts = [part for part in closed if part.conducts not in IDLE]
        fed: list[Fed] = [(part.conducts, part.a, part.b) for part in parts]
        fed += [(p.conducts, p.b, p.a) for p in parts if p.conducts is not Conducts.ONE_WAY]
        poles = [f"{one.device}:{pole}" for one in panel.sources for pole in one.poles]

        self._joined = _joined(joints, {})
        self._named = _named(self._joined, poles)
        self._places = {*self._named.values()}
        self._between = {(one, self._poles(a), self._poles(b)) for one, a, b in fed}
        # By place, so that of wires that are swapped only their own are looked at.
        self._joints_at: dict[str, list[Joint]] = {}
        for joint in joints:
            self._joints_at.setdefault(self._joined.find(joint[1]), []).append(joint)
        self._fed_at: dict[str, list[Fed]] = {}
        for one in fed:
            for place in {self._joined.find(end) for end in one[1:]}:
                self._fed_at.setdefault(place, []).append(one)
        self._poles_at: dict[str, list[str]] = {}
        for pole in poles:
            self._poles_at.setdefault(self._joined.find(pole), []).append(pole)

    def _poles(self, terminal: str) -> Poles:
        return self._named.get(self._joined.find(terminal), NONE)

    def is_mixed_by(self, edit: Edit) -> bool:
        """Whether wires that are `moved` join poles, or feed from one circuit into another."""
        moved: dict[End, str] = {(wire, leaves): comes_to for wire, leaves, comes_to in edit.moved}
        changed = {self._joined.find(end) for _, *ends in edit.moved for end in ends}
        joined = _joined([one for at in changed for one in self._joints_at.get(at, ())], moved)
        named = _named(joined, [one for at in changed for one in self._poles_at.get(at, ())])

        def poles(terminal: str) -> Poles:
            if self._joined.find(terminal) not in changed:
                return self._poles(terminal)
            return named.get(joined.find(terminal), NONE)

        fed = [one for at in changed for one in self._fed_at.get(at, ())]
        between = {(conducts, poles(a), poles(b)) for conducts, a, b in fed}
        return not (self._places.issuperset(named.values()) and between <= self._between)


def _joined(joints: Iterable[Joint], moved: Mapping[End, str]) -> Unions[str]:
    """`moved` has the terminal to which the end of a wire comes instead."""
    joined = Unions[str]()
    for wire, a, b in joints:
        joined.join(moved.get((wire, a), a), moved.get((wire, b), b))
    return joined


def _named(joined: Unions[str], poles: Iterable[str]) -> dict[str, Poles]:
    """The poles at each place that has some."""
    at: dict[str, set[str]] = {}
    for pole in poles:
        at.setdefault(joined.find(pole), set()).add(pole)
    return {place: frozenset(some) for place, some in at.items()}
