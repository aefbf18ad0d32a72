"""Whether current may come back to a breaker or fuse without a load, however all else stands.

One that can be in no such circle clears no short, so that this is told of a fault without putting
it into a panel and operating that.
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions

MOST_STEPS = 2_000
"""Past so many it may: it is tried then."""
IN = frozenset((1,))
PLAIN = (Conducts.JOINS, Conducts.CONTACT, Conducts.BOND)


def may_be_in_a_circle(panel: Panel, device: str) -> bool:
    """Of anything that conducts in it.  Two mechanisms that are interlocked never stand in the
    same way of it, nor does a contact with one that opens as it closes."""
    circles = _Circles(panel)
    return any(circles.may_hold(part) for part in circles.parts if part.device == device)


class _Circles:
    def __init__(self, panel: Panel) -> None:
        self._panel = panel
        self.parts = [p for p in panel.parts if p.conducts in PLAIN and p.a != p.b]
        self._joined = Unions[str]()
        for wire in panel.wires:
            self._joined.join(wire.a, wire.b)
        for part in self.parts:
            if not part.mechanism:
                self._joined.join(part.a, part.b)
        self._at: dict[str, list[Part]] = {}
        for part in self.parts:
            for end in (part.a, part.b) if part.mechanism else ():
                self._at.setdefault(self._joined.find(end), []).append(part)
        self._poles = {
            self._joined.find(f"{source.device}:{pole}")
            for source in panel.sources
            for pole in source.poles
        }

    def may_hold(self, own: Part) -> bool:
        """Both its ends must lead to a pole or to its other end, past itself."""
        if not own.mechanism:
            return True
        ends = self._joined.find(own.a), self._joined.find(own.b)
        return all(self._leads_on(own, ends[end], ends[1 - end]) for end in (0, 1))

    def _leads_on(self, own: Part, start: str, end: str) -> bool:
        todo = [(start, frozenset((start,)), {own.mechanism: own.closed})]
        for _ in range(MOST_STEPS):
            if not todo:
                return False
            at, seen, stands = todo.pop()
            if at == end or at in self._poles:
                return True
            for part in self._at.get(at, ()):
                a, b = self._joined.find(part.a), self._joined.find(part.b)
                there = b if a == at else a
                now = self._standing(part, stands)
                if part is not own and there not in seen and now is not None:
                    todo.append((there, seen | {there}, now))
        return True

    def _standing(
        self, part: Part, stands: Mapping[str, frozenset[int]]
    ) -> dict[str, frozenset[int]] | None:
        """Where mechanisms may stand once this part conducts as well; None where none may."""
        name = part.mechanism
        held = self._panel.mechanisms[name].held
        can = part.closed if held is None else part.closed & {held}
        can &= stands.get(name, part.closed)
        if not can:
            return None
        if can == IN:
            for group in self._panel.interlocks:
                others = (one for one in group if name in group and one != name)
                if any(stands.get(one) == IN for one in others):
                    return None
        return {**stands, name: can}
