"""Outputs of safety-rated controllers that are trusted to be off while a stop is held.

A controller marked `safety-rated` is trusted with the stops it reads: those through whose
contacts one of its inputs draws.  What its program does with them is no part of the text.
"""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.load_feeds import ask, energised, never
from netcheck.facts.stop_devices import StopDevice, StopDevices
from netcheck.facts.unstopped_loads import UnstoppedLoad, UnstoppedLoads
from netcheck.model.devices import Drive
from netcheck.model.panel import Panel
from netcheck.record import record

OFF = frozenset((0,))


@record
class TrustedOutputs:
    """By stop, the mechanisms of such outputs; and the loads that run on only by these."""

    by_stop: Mapping[str, tuple[str, ...]]
    trusted: tuple[UnstoppedLoad, ...]


@concludes(Behaviour, CertainBehaviour, CurrentPaths, StopDevices, UnstoppedLoads)
def find_trusted_outputs(view: View) -> TrustedOutputs:
    panel = view.panel
    rated = [one.name for one in panel.devices.values() if _is_rated(one.kind, one.marks)]
    if not rated:
        return TrustedOutputs({}, ())
    by_stop: dict[str, tuple[str, ...]] = {}
    for stop in view[StopDevices].stops:
        outputs = [
            name for one in rated if _reads(view, one, stop) for name in _outputs(panel, one)
        ]
        if outputs:
            by_stop[stop.mechanism.name] = tuple(outputs)
    doubtful = (one for one in view[UnstoppedLoads].loads if one.stop.mechanism.name in by_stop)
    return TrustedOutputs(by_stop, tuple(one for one in doubtful if _by_these(view, one, by_stop)))


def _is_rated(kind: str, marks: frozenset[str]) -> bool:
    return kind == "controller" and "safety-rated" in marks


def _reads(view: View, controller: str, stop: StopDevice) -> bool:
    paths = view[CurrentPaths]
    return any(
        paths.loads[number].device == controller and paths.loads[number].parts[0].role == "input"
        for part in view.panel.parts
        if part.mechanism == stop.mechanism.name
        for number in paths.loads_through(part)
    )


def _outputs(panel: Panel, controller: str) -> list[str]:
    names = panel.devices[controller].mechanisms
    return [name for name in names if panel.mechanisms[name].drive is Drive.OUTPUT]


def _by_these(view: View, one: UnstoppedLoad, by_stop: Mapping[str, tuple[str, ...]]) -> bool:
    """Whether the load stops once they are off."""
    stop = one.stop

    def runs(states: Behaviour) -> int:
        held = [states.in_positions(stop.mechanism.name, frozenset((stop.stopping,)))]
        held += [states.in_positions(name, OFF) for name in by_stop[stop.mechanism.name]]
        return states.logic.all_of([energised(one.load.parts)(states), *held])

    return never(ask(view[Behaviour], view[CertainBehaviour].behaviour, runs, "settled"))
