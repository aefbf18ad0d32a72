"""Poles of fuses and breakers that can open a grounded conductor by themselves.

Linked poles do not: a breaker of several poles that opens, with the grounded conductor,
every ungrounded one of the loads behind it (NEC 240.22).  Handle ties do not link poles in
that sense, and fuses never are linked.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.protection import Protection
from netcheck.facts.sections import ProtectivePole, Sections
from netcheck.model.devices import Conducts, Part, mark_of
from netcheck.network.traces import reached
from netcheck.record import record
from netcheck.states.expressions import FALSE


@record
class GroundedDevices:
    """Poles with the grounded pole of a source that they can open, and sources that leave it
    open whether one of the devices on their poles is such a one."""

    alone: tuple[tuple[ProtectivePole, str], ...]
    unsaid: tuple[int, ...]


@concludes(Behaviour, Sections, Protection)
def find_grounded_devices(view: View) -> GroundedDevices:
    return _Finder(view).find()


class _Finder:
    def __init__(self, view: View) -> None:
        self.states = view[Behaviour]
        self.panel = self.states.panel
        self.sections = view[Sections]
        self.protection = view[Protection]

    def find(self) -> GroundedDevices:
        alone = []
        for home in self._grounded_poles():
            behind_home = reached(self.panel, (home,), self._is_home)
            for pole in self.sections.poles:
                ends = {pole.part.a, pole.part.b}
                if ends <= behind_home and not self._lawful(pole, home):
                    alone.append((pole, home))
        unsaid = [
            source for source in sorted(self.sections.undeclared) if self._poles_met(source) > 1
        ]
        return GroundedDevices(tuple(alone), tuple(unsaid))

    def _grounded_poles(self) -> Iterator[str]:
        for source in self.panel.sources:
            if source.grounded_pole:
                yield f"{source.device}:{source.grounded_pole}"

    def _is_home(self, part: Part, forwards: bool) -> bool:
        """Conductors that no ungrounded pole feeds."""
        ends = (part.a, part.b)
        return self._conducts(part) and all(self.protection.worst(end) is None for end in ends)

    def _conducts(self, part: Part) -> bool:
        wire = part.conducts in (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)
        return wire and self.states.closed(part) != FALSE

    def _lawful(self, pole: ProtectivePole, home: str) -> bool:
        behind = self._behind(pole, home)
        if not behind:
            return False
        if mark_of(home) != "N" and all(_is_three_phase_motor(part) for part in behind):
            return True
        linked = pole.device.kind == "breaker" and len(pole.device.parts) > 1
        return linked and not self._still_fed(pole, behind)

    def _behind(self, pole: ProtectivePole, home: str) -> list[Part]:
        """Loads whose way home leads through this pole."""
        with_it = reached(self.panel, (home,), self._is_home)
        lost = with_it - reached(self.panel, (home,), self._is_home, without=pole.part)
        return [
            part
            for part in self.panel.parts
            if part.load is not None and (part.a in lost or part.b in lost)
        ]

    def _still_fed(self, pole: ProtectivePole, behind: list[Part]) -> bool:
        """Whether an ungrounded pole reaches one of the loads past the poles of this device."""

        def passable(part: Part, forwards: bool) -> bool:
            ends = {part.a, part.b}
            other = part.device != pole.device.name and not ends & self.sections.grounded
            return other and self._conducts(part)

        ways = self.protection.ways.values()
        live = reached(self.panel, [way.pole for found in ways for way in found], passable)
        live -= self.sections.grounded
        return any(part.a in live or part.b in live for part in behind)

    def _poles_met(self, source: int) -> int:
        """On how many poles of a source a fuse or breaker is met before any load."""
        known = self.panel.sources[source]
        bordering = {
            section for pole in self.sections.poles for section in (pole.section_a, pole.section_b)
        }
        met = [self.sections.of.get(f"{known.device}:{mark}") for mark in known.poles]
        return sum(section in bordering for section in met)


def _is_three_phase_motor(part: Part) -> bool:
    """A grounded phase conductor of these is fused for their overload (NEC 430.36)."""
    return part.load is not None and part.load.works == "motor" and part.load.phases == 3
