"""Which rule speaks of a break that keeps loads dead: one cause is one finding.

- A break that cuts off anything but coils, were it among coils, is a load's: a common lost
  to a lamp and two relays is told once, as `load never energised`.
- One that cuts off coils alone is theirs, `relay never pulls in`, with what their contacts
  then never do and what waits for them.
- If what keeps such coils out is other relays, it is an interlock that contradicts itself:
  relays that wait for one another, or contacts of two or more relays that exclude each other.
"""

from __future__ import annotations

from enum import StrEnum

from netcheck.case import View, concludes
from netcheck.facts.breaks import Kind
from netcheck.facts.load_feeds import LoadFeed, coil_parts
from netcheck.facts.open_paths import OpenPath, OpenPaths, OpenQuestion
from netcheck.model.panel import Panel
from netcheck.record import record


class Speaker(StrEnum):
    LOAD = "load never energised"
    RELAY = "relay never pulls in"
    INTERLOCK = "contradictory interlock"


@record
class DeadCircuits:
    """Every break, and every load left open, with the rule that speaks of it."""

    found: tuple[tuple[Speaker, OpenPath], ...]
    undecided: tuple[tuple[Speaker, OpenQuestion], ...]

    def of(self, speaker: Speaker) -> tuple[OpenPath, ...]:
        return tuple(path for one, path in self.found if one is speaker)

    def left_open(self, speaker: Speaker) -> tuple[OpenQuestion, ...]:
        return tuple(question for one, question in self.undecided if one is speaker)


@concludes(OpenPaths)
def sort_dead_circuits(view: View) -> DeadCircuits:
    panel, coils = view.panel, coil_parts(view.panel)

    def all_coils(loads: tuple[LoadFeed, ...]) -> bool:
        return all(part.index in coils for load in loads for part in load.parts)

    def speaker(path: OpenPath) -> Speaker:
        if not all_coils(path.loads):
            return Speaker.LOAD
        return Speaker.INTERLOCK if _is_interlock(panel, path) else Speaker.RELAY

    return DeadCircuits(
        tuple((speaker(path), path) for path in view[OpenPaths].found),
        tuple(
            (Speaker.RELAY if all_coils(question.loads) else Speaker.LOAD, question)
            for question in view[OpenPaths].undecided
        ),
    )


def _is_interlock(panel: Panel, path: OpenPath) -> bool:
    if path.broken.kind is Kind.WAITING:
        return len(path.loads) > 1
    if path.broken.kind is not Kind.CONTACTS:
        return False
    mechanisms = {part.mechanism for part in path.broken.parts}
    return len(mechanisms) > 1 and all(panel.mechanisms[one].moved_by_coil for one in mechanisms)
