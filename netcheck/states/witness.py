"""A state in words, and the steps that lead there from power-up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.network.traces import Passed
from netcheck.record import record
from netcheck.states.answers import Change, Reached
from netcheck.states.behaviour import Behaviour


@record
class Witness:
    """The mechanisms a verdict depends on with their positions, and how to get there."""

    state: Mapping[str, str]
    steps: tuple[str, ...]


def tell(panel: Panel, reached: Reached) -> Witness:
    state = {name: _position(panel, name, value) for name, value in reached.state.items()}
    steps = [
        _step(panel, name, value)
        for name, value in reached.start.items()
        if _set(panel, name, value)
    ]
    for step in reached.steps:
        words = [
            _step(panel, change.name, change.after) or _passing(reached, change)
            for change in step.changes
        ]
        steps.append(" and ".join(word for word in words if word))
    return Witness(state, tuple(step for step in steps if step))


def tell_path(panel: Panel, reached: Reached, path: Iterable[Passed]) -> Witness:
    """As `tell`, but of what is at rest only the contacts on a path."""
    witness = tell(panel, reached)
    on_path = {passed.by.mechanism for passed in path if isinstance(passed.by, Part)}
    state = {
        name: position
        for name, position in witness.state.items()
        if name in on_path or position != panel.mechanisms[name].positions[0]
    }
    return Witness(state, witness.steps)


def assignment(behaviour: Behaviour, reached: Reached) -> dict[int, bool]:
    """The state as values of variables; what it does not name is at rest."""
    values: dict[int, bool] = {}
    machine, state = behaviour.machine, reached.state
    for switch in machine.switches.values():
        held = state.get(switch.name)
        index = switch.positions.index(held) if isinstance(held, str) else 0
        values |= switch.values_in(index)
    for mover in machine.movers.values():
        values[mover.state] = bool(state.get(mover.name, False))
    return values


def _set(panel: Panel, name: str, value: str | bool) -> bool:
    """Whether something stands other than at rest before power comes."""
    return value not in (False, panel.mechanisms[name].positions[0])


def _passing(reached: Reached, change: Change) -> str:
    """A position that is only passed through is told where it is the one that matters."""
    return f"{change.name} is {change.after}" if reached.state[change.name] == change.after else ""


def _position(panel: Panel, name: str, value: str | bool) -> str:
    if isinstance(value, str):
        return value
    return panel.mechanisms[name].positions[int(value)]


def _step(panel: Panel, name: str, value: str | bool) -> str:
    mechanism = panel.mechanisms[name]
    index = int(value) if isinstance(value, bool) else mechanism.positions.index(value)
    return mechanism.steps[index]
