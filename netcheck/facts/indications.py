"""Indicators that say what they show, and whether they are on and off together with it.

Asked once everything has settled, with every source present and every button at rest.  A
load is on while it is energised, a relay while it is in, anything that is moved by hand or
by the process while it is operated.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import LoadFeeds, Verdict, ask, is_settled
from netcheck.model.devices import Device, Drive
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.states.answers import Answer, Undecided

RELEASED = frozenset(("button", "foot switch"))
REST, PRESENT = frozenset((0,)), frozenset((1,))


@record
class Untrue:
    """An indicator that is, or may be, on while what it shows is off, or off while that is on.

    `off` and `on` are what that is then called.  `program` is the controller that decides on
    one of the two without the other, empty where none does.
    """

    indicator: Device
    shown: Device
    lit_wrongly: Answer
    dark_wrongly: Answer
    off: str
    on: str
    program: str


@record
class Indications:
    untrue: tuple[Untrue, ...]


@concludes(Behaviour, CertainBehaviour, LoadFeeds)
def find_indications(view: View) -> Indications:
    return Indications(tuple(_untrue(view)))


def _untrue(view: View) -> Iterator[Untrue]:
    panel = view.panel
    lit = {one.device for one in view[LoadFeeds].loads if one.verdict is Verdict.ENERGISED}
    for lamp in panel.devices.values():
        shown = panel.devices.get(str(lamp.values.get("shows", "")))
        if shown is not None and lamp.name in lit and _tells(panel, shown):
            yield from _judged(view, lamp, shown)


def _tells(panel: Panel, shown: Device) -> bool:
    """Whether it is something that is on or off as the state decides."""
    return bool(_loads(panel, shown) or _moved(panel, shown))


def _loads(panel: Panel, shown: Device) -> bool:
    coils = {coil for name in shown.mechanisms for coil in panel.mechanisms[name].coils}
    return any(panel.parts[i].load is not None and i not in coils for i in shown.parts)


def _moved(panel: Panel, shown: Device) -> str:
    """The one mechanism by which it is in or operated; empty where there is none."""
    movable = [
        name
        for name in shown.mechanisms
        if panel.mechanisms[name].drive not in (Drive.OUTPUT, Drive.SOURCE)
        and len(panel.mechanisms[name].resting) == 2
        and (panel.mechanisms[name].drive is not Drive.PROTECTION or shown.kind == "overload")
    ]
    return movable[0] if len(movable) == 1 else ""


def _on(behaviour: Behaviour, shown: Device, *, fully: bool = False) -> int:
    if _loads(behaviour.panel, shown):
        return behaviour.fully_on(shown.name) if fully else behaviour.on(shown.name)
    name = _moved(behaviour.panel, shown)
    last = len(behaviour.panel.mechanisms[name].positions) - 1
    return behaviour.in_positions(name, frozenset((last,)))


def _judged(view: View, lamp: Device, shown: Device) -> Iterator[Untrue]:
    def asked(lamp_on: bool, shown_on: bool) -> Answer:
        return ask(
            view[Behaviour], view[CertainBehaviour].behaviour, at(lamp_on, shown_on), "settled"
        )

    def at(lamp_on: bool, shown_on: bool) -> Callable[[Behaviour], int]:
        def condition(states: Behaviour) -> int:
            on = _on(states, shown, fully=shown_on)
            both = states.on(lamp.name) ^ (not lamp_on), on ^ (not shown_on)
            return _at_rest(states, lamp, shown, *both)

        return condition

    lit_wrongly, dark_wrongly = asked(True, False), asked(False, True)
    if _may(lit_wrongly) or _may(dark_wrongly):
        if not (_may(asked(True, True)) or _may(asked(False, False))):
            return  # on exactly while the other is off
        off, on = _positions(view.panel, shown)
        program = _program(view[Behaviour], lamp, shown)
        yield Untrue(lamp, shown, lit_wrongly, dark_wrongly, off, on, program)


def _may(answer: Answer) -> bool:
    return is_settled(answer) or isinstance(answer, Undecided)


def _at_rest(states: Behaviour, lamp: Device, shown: Device, *literals: int) -> int:
    """These, with every source they depend on present and every button let go."""
    panel, held = states.panel, list(literals)
    for name in _concerned(states, lamp, shown):
        if panel.mechanisms[name].drive is Drive.SOURCE:
            held.append(states.in_positions(name, PRESENT))
        elif panel.devices[panel.mechanisms[name].device].kind in RELEASED:
            held.append(states.in_positions(name, REST))
    return states.logic.all_of(held)


def _concerned(states: Behaviour, lamp: Device, shown: Device) -> list[str]:
    both = states.on(lamp.name), _on(states, shown)
    return sorted({name for literal in both for name in states.prover.depends_on(literal)})


def _program(states: Behaviour, lamp: Device, shown: Device) -> str:
    """A controller whose output decides on one of the two; empty where none does."""
    panel = states.panel
    for name in _concerned(states, lamp, shown):
        device = panel.devices[panel.mechanisms[name].device]
        if panel.mechanisms[name].drive is Drive.OUTPUT and device.kind == "controller":
            own = (states.on(lamp.name), _on(states, shown))
            has_say = [name in states.prover.depends_on(literal) for literal in own]
            if not all(has_say):
                return device.name
    return ""


def _positions(panel: Panel, shown: Device) -> tuple[str, str]:
    """What it is called while it is off, and while it is on."""
    if _loads(panel, shown):
        return "off", "on"
    positions = panel.mechanisms[_moved(panel, shown)].positions
    return positions[0], positions[-1]
