"""What a load does once a button is let go: whether a relay remembers it by a contact of its own.

No state that is settled from rest shows that, so the panel is operated: the button pressed until
nothing moves, and let go."""

from __future__ import annotations

from netcheck.bench.observations import LetGo, Symptom
from netcheck.bench.trial import Trial
from netcheck.facts.component_values import ComponentValues
from netcheck.model.panel import Panel

MOST_TIMES = 50
"""Timers that run out one after the other, before it is given up."""


def held(panel: Panel, one: LetGo) -> Symptom:
    """That it is on while the button is held."""
    pressed = panel.mechanisms[one.button].positions[-1]
    return Symptom(one.words, one.device, True, (*one.withs, f"{one.button} {pressed}"))


def at_rest(one: LetGo) -> Symptom:
    """That it is off with nothing pressed: there points are read as well."""
    return Symptom(one.words, one.device, False, one.withs)


def stays_on(panel: Panel, one: LetGo, rated: ComponentValues) -> bool | None:
    """With `panel` as it stands with what is put somewhere.  None where it is not on while the
    button is held, or does not come to rest."""
    trial = Trial(panel, rated=rated, moved=(one.button,))
    trial.powered()
    for position in (len(panel.mechanisms[one.button].positions) - 1, 0):
        trial.put(one.button, position)
        if not _has_run_out(trial) or not trial.stands:
            return None
        on = _is_on(trial, panel, one.device)
        if position and not on:
            return None
    return on


def _has_run_out(trial: Trial) -> bool:
    for _ in range(MOST_TIMES):
        running = trial.running()
        if not running:
            return True
        trial.put(running[0], 1 - trial.position(running[0]))
    return False


def _is_on(trial: Trial, panel: Panel, name: str) -> bool:
    device = panel.devices[name]
    relays = [one for one in device.mechanisms if panel.mechanisms[one].moved_by_coil]
    if relays:
        return trial.position(relays[0]) == 1
    loads = [panel.parts[index] for index in device.parts]
    return any(trial.is_on(load) for load in loads if load.load is not None)
