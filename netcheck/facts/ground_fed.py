"""Coils and loads that one ground fault feeds past a contact that is open.

Where a contact stands between a coil and the grounded side, a wire that touches ground on
the coil's side of it does what the contact should do.  Overload contacts in the return are
the trade's accepted exception, and so are contacts of the relay itself and those that turn a
motor round.  Where a stop is bypassed so, or the loads of a common return feed each other,
that is told by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.defeated_stops import DefeatedStops, gains_nothing, grounded_rails
from netcheck.facts.load_feeds import LoadFeed, LoadFeeds, Verdict
from netcheck.facts.single_faults import OneFault, defeats_or_may
from netcheck.facts.through_other_loads import ThroughOtherLoads
from netcheck.model.devices import Part
from netcheck.record import record
from netcheck.states.answers import Undecided
from netcheck.states.expressions import FALSE

if TYPE_CHECKING:
    from netcheck.states.breakable import Breakable
    from netcheck.states.single_faults import Broken, Condition

ASKED = frozenset(("coil", "valve", "motor"))


@record
class GroundFed:
    """One load, the mechanisms whose contacts stand in its return, and the fault that does
    their work; or Undecided."""

    load: LoadFeed
    bypassed: tuple[str, ...]
    answer: Broken | Undecided


@record
class GroundFedLoads:
    loads: tuple[GroundFed, ...]


@concludes(Behaviour, LoadFeeds, OneFault, DefeatedStops, ThroughOtherLoads)
def find_ground_fed_loads(view: View) -> GroundFedLoads:
    return GroundFedLoads(tuple(_found(view)))


def _found(view: View) -> Iterator[GroundFed]:
    behaviour, told = view[Behaviour], _told(view)
    grounded = grounded_rails(behaviour)
    in_common = {part.device for one in view[ThroughOtherLoads].found for part in one.loads}
    in_common |= {one.load.device for one in view[ThroughOtherLoads].undecided}
    for load in view[LoadFeeds].loads:
        part = load.parts[0]
        if load.verdict is not Verdict.ENERGISED or part.load is None or len(load.parts) > 1:
            continue
        if part.load.works not in ASKED or load.device in in_common:
            continue
        if gains_nothing(behaviour, part, grounded):
            continue
        bypassed = in_the_return(behaviour, part, grounded)
        if not bypassed or told.intersection(bypassed):
            continue
        answer = view[OneFault].grounds.can_happen(_fed_by_ground(part))
        if defeats_or_may(answer):
            yield GroundFed(load, bypassed, answer)


def _told(view: View) -> set[str]:
    return {one.stop.mechanism.name for one in view[DefeatedStops].by_ground}


def in_the_return(behaviour: Behaviour, part: Part, grounded: frozenset[int]) -> tuple[str, ...]:
    """Mechanisms, overloads apart, that have a say in the way from the load to ground."""
    panel = behaviour.panel
    ends: list[dict[str, None]] = []
    for end in (behaviour.node(part.a), behaviour.node(part.b)):
        found: dict[str, None] = {}
        for rail in grounded.intersection(behaviour.circuit.rails_at(end)):
            way = behaviour.circuit.to_rail(end, rail)
            found.update(dict.fromkeys(moved_in(behaviour, way)))
        ends.append(found)
    if all(ends):
        return ()  # either end may lead home: it is turned round
    devices = {name: panel.mechanisms[name].device for found in ends for name in found}
    return tuple(
        name
        for name, device in devices.items()
        if panel.devices[device].kind != "overload" and device != part.device
    )


def moved_in(behaviour: Behaviour, way: int) -> Iterator[str]:
    """The mechanisms whose own contacts stand in a way, of which it is the condition."""
    owners = behaviour.owners
    return (owners[one] for one in sorted(behaviour.logic.support(way)) if one in owners)


def _fed_by_ground(part: Part) -> Condition:
    """It is energised, and would not be if nothing touched ground."""

    def condition(behaviour: Breakable) -> int:
        logic = behaviour.logic
        fed = behaviour.energised(behaviour.panel.parts[part.index])
        whole = logic.substitute(fed, dict.fromkeys(behaviour.came, FALSE))
        return logic.all_of([fed, whole ^ 1, behaviour.shorted ^ 1])

    return condition
