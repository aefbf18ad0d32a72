"""Stops that one fault defeats: a wire that opens, or a control wire that touches ground.

Asked of the loads that a stop was proved to stop while everything is whole.  The fault comes
at any moment and stays; with a ground fault only states count in which it shorts no source,
for there the protection opens.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.load_feeds import energised
from netcheck.facts.single_faults import OneFault, defeats_or_may
from netcheck.facts.stop_devices import StopDevice
from netcheck.facts.unstopped_loads import StoppedLoads, UnstoppedLoads
from netcheck.model.devices import Part
from netcheck.record import record
from netcheck.states.answers import Undecided
from netcheck.states.volts import in_band

if TYPE_CHECKING:
    from netcheck.states.breakable import Breakable
    from netcheck.states.single_faults import Broken, Condition


@record
class DefeatedStop:
    """One stop, and the fault with which a load runs on while it is held; or Undecided."""

    stop: StopDevice
    loads: StoppedLoads
    answer: Broken | Undecided


@record
class DefeatedStops:
    by_open_wire: tuple[DefeatedStop, ...]
    by_ground: tuple[DefeatedStop, ...]


@concludes(OneFault, UnstoppedLoads)
def find_defeated_stops(view: View) -> DefeatedStops:
    one, stopped = view[OneFault], view[UnstoppedLoads].stopped
    return DefeatedStops(
        tuple(_asked(stopped, one, grounds=False)), tuple(_asked(stopped, one, grounds=True))
    )


def _asked(
    stopped: tuple[StoppedLoads, ...], one: OneFault, *, grounds: bool
) -> Iterator[DefeatedStop]:
    for loads in stopped:
        if _plain(loads, one, grounds):
            continue
        faults = one.grounds if grounds else one.opens
        answer = faults.can_happen(_runs_on(loads, grounds))
        if defeats_or_may(answer):
            yield DefeatedStop(loads.stop, loads, answer)


def _plain(loads: StoppedLoads, one: OneFault, grounds: bool) -> bool:
    """Whether it is plain without a proof that no such fault defeats the stop."""
    if grounds:
        return _ground_feeds_nothing(one.behaviour, loads)
    return one.no_open_wire.cannot_let(_runs(one.behaviour, loads))


def _ground_feeds_nothing(behaviour: Behaviour, loads: StoppedLoads) -> bool:
    """Whether it is plain that no ground fault feeds any coil or load that has a say here.

    A load that always stands on a grounded pole gains nothing by another way to ground, and
    one that works at no voltage to ground gains nothing either; a ground fault that takes the
    voltage from a coil shorts its source.
    """
    grounded = grounded_rails(behaviour)
    panel = behaviour.panel
    parts = [part for load in loads.loads for part in load.parts]
    for load in loads.loads:
        for name in behaviour.prover.depends_on(energised(load.parts)(behaviour)):
            parts += [panel.parts[index] for index in panel.mechanisms[name].coils]
    return all(gains_nothing(behaviour, part, grounded) for part in parts)


def grounded_rails(behaviour: Behaviour) -> frozenset[int]:
    """Where the grounded poles of sources stand."""
    return frozenset(
        behaviour.pole_node(index, source.grounded_pole)
        for index, source in enumerate(behaviour.panel.sources)
        if source.grounded_pole
    )


def gains_nothing(behaviour: Behaviour, part: Part, grounded: frozenset[int]) -> bool:
    """Whether another way to ground plainly feeds a load no more than it is fed."""
    if grounded & {behaviour.node(part.a), behaviour.node(part.b)}:
        return True
    rails = {rail for feed in behaviour.feeds(part) for rail in (feed.rail_a, feed.rail_b)}
    return part.load is not None and not any(
        in_band(way.volts, part.load)
        for rail in rails
        for pole in grounded
        for way in (*behaviour.ways(rail, pole), *behaviour.ways(pole, rail))
    )


def _runs(behaviour: Behaviour, loads: StoppedLoads) -> int:
    """A load is on while the stop is held."""
    on = [energised(load.parts)(behaviour) for load in loads.loads]
    stop = loads.stop
    held = behaviour.in_positions(stop.mechanism.name, frozenset((stop.stopping,)))
    return behaviour.logic.both(held, behaviour.logic.any_of(on))


def _runs_on(loads: StoppedLoads, grounds: bool) -> Condition:
    def condition(behaviour: Breakable) -> int:
        runs = _runs(behaviour, loads)
        return behaviour.logic.both(runs, behaviour.shorted ^ 1) if grounds else runs

    return condition
