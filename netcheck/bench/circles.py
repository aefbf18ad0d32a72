"""Whether current may come back to a breaker or fuse without a load, however all else stands.

One that can be in no such circle clears no short, so that this is told of a fault without putting
it into a panel and operating that.  A diode is of a circle where volts drive current forwards
through it at any moment of the cycle.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from netcheck.bench.forwards import LEAST_V, most_above_v
from netcheck.bench.held_levels import held_levels
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.solve.levels import Levels

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
        self._at: dict[str, list[tuple[Part, str]]] = {}
        """At each place what may close there, and where it leads."""
        for part in self.parts:
            if part.mechanism and self._standing(part, {}) is not None:
                a, b = self._ends(part)
                self._at.setdefault(a, []).append((part, b))
                self._at.setdefault(b, []).append((part, a))
        self._sources = [
            (source, [self._joined.find(f"{source.device}:{pole}") for pole in source.poles])
            for source in panel.sources
        ]
        self._poles = {place for _, places in self._sources for place in places}
        diodes = [p for p in panel.parts if p.conducts is Conducts.ONE_WAY and p.a != p.b]
        self._diodes = [self._ends(one) for one in diodes]

    def _ends(self, part: Part) -> tuple[str, str]:
        return self._joined.find(part.a), self._joined.find(part.b)

    def may_hold(self, own: Part) -> bool:
        """Both its ends must lead to a pole or to its other end, past itself."""
        if not own.mechanism:
            return True
        ends = self._ends(own)
        if all(self._leads_on(own, ends[end], ends[1 - end]) for end in (0, 1)):
            return True
        return bool(self._diodes) and any(
            self._is_driven(own, *both) for both in (ends, ends[::-1])
        )

    def _leads_on(self, own: Part, start: str, end: str) -> bool:
        todo = [(start, frozenset((start,)), {own.mechanism: own.closed})]
        for _ in range(MOST_STEPS):
            if not todo:
                return False
            at, seen, stands = todo.pop()
            if at == end or at in self._poles:
                return True
            for part, there in self._at.get(at, ()):
                now = None if part is own or there in seen else self._standing(part, stands)
                if now is not None:
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

    # ---- over diodes -----------------------------------------------------------------------------

    def _is_driven(self, own: Part, into: str, out_of: str) -> bool:
        """Whether current may come to it over a diode, or leave it so, from one pole to another
        that is below it at any moment; all that can close taken as closed."""
        ahead = self._poles_met(own, out_of, forwards=True)
        return any(
            (over or on) and self._may_drive(pole, other)
            for pole, over in self._poles_met(own, into, forwards=False)
            for other, on in ahead
        )

    def _poles_met(self, own: Part, start: str, *, forwards: bool) -> set[tuple[str, bool]]:
        """Those that it leads to, each with whether over a diode: these passed as current goes, or
        as it came."""
        todo, found = [(start, False)], set[tuple[str, bool]]()
        seen = set(todo)
        diodes: dict[str, list[str]] = {}
        for a, b in self._diodes if forwards else [(b, a) for a, b in self._diodes]:
            diodes.setdefault(a, []).append(b)
        while todo:
            at, over = todo.pop()
            if at in self._poles:
                found.add((at, over))
                continue
            beyond = [(there, True) for there in diodes.get(at, ())]
            beyond += [(there, over) for part, there in self._at.get(at, ()) if part is not own]
            todo += [one for one in beyond if one not in seen]
            seen.update(beyond)
        return found

    def _may_drive(self, pole: str, other: str) -> bool:
        above_v = most_above_v(pole, other, self._levels)
        return above_v is None or above_v > LEAST_V

    @cached_property
    def _levels(self) -> dict[str, Levels]:
        bases = {source.basis for source, _ in self._sources}
        return {basis: held_levels(self._sources, basis)[0] for basis in bases}
