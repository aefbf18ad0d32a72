"""Loads that only a tripped breaker or a blown fuse energises: they are there to tell of it.

Protective devices count as closed everywhere else, so that such a load looks dead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from netcheck.case import View, concludes
from netcheck.facts.load_feeds import LoadFeed, LoadFeeds, energised
from netcheck.model.panel import Panel
from netcheck.record import record

if TYPE_CHECKING:
    from netcheck.model.faults import Fault


@record
class TripAlarms:
    """The names of such loads."""

    names: frozenset[str]

    def of(self, load: LoadFeed) -> bool:
        return load.name in self.names


@concludes(LoadFeeds)
def find_trip_alarms(view: View) -> TripAlarms:
    dead = [load for load in view[LoadFeeds].loads if load.dead]
    faults = _trips(view.panel) if dead else []
    if not faults:
        return TripAlarms(frozenset())
    from netcheck.states.single_faults import Broken, SingleFaults

    tripped = SingleFaults(view.panel, faults)
    return TripAlarms(
        frozenset(
            load.name
            for load in dead
            if isinstance(tripped.can_happen(energised(load.parts)), Broken)
        )
    )


def _trips(panel: Panel) -> list[Fault]:
    """Every breaker tripped, every fuse blown, all its poles at once."""
    from netcheck.model.faults import FaultKind, of_parts

    gone = {"breaker": FaultKind.TRIPPED, "fuse": FaultKind.BLOWN}
    found = []
    for device in panel.devices.values():
        parts = [panel.parts[index] for index in device.parts]
        poles = [part for part in parts if part.role == "pole"]
        if device.kind in gone and poles:
            found.append(of_parts(panel, poles, gone[device.kind], device.name))
    return found
