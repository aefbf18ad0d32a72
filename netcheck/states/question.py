"""One question about one cone, and the literals that its different readings need."""

from __future__ import annotations

from netcheck.record import record
from netcheck.states.answers import Instant
from netcheck.states.cone import Cone
from netcheck.states.expressions import TRUE
from netcheck.states.machine import Machine


@record
class Question:
    """Can `bad` hold?  `chatterers` are the cone's movers that may never settle."""

    machine: Machine
    cone: Cone
    bad: int
    at: Instant
    chatterers: frozenset[str]

    def settled(self, strict: bool) -> list[int]:
        """Literals all true where the movers are settled; strictly, possible chatterers too."""
        return [
            moving.must ^ 1
            for moving in self.cone.movers
            if strict or moving.mover.name not in self.chatterers
        ]

    def wanted(self, strict: bool) -> list[int]:
        """Literals all true where what is asked about happens."""
        if self.at == "any instant":
            return [self.bad]
        machine = self.machine
        resting = [machine.in_positions(s, s.resting) for s in self.cone.switches]
        return [self.bad, *self.settled(strict), *(r for r in resting if r != TRUE)]
