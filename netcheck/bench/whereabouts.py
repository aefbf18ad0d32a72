"""Where somebody stands: in which panel of the text, what is within reach, where ground is."""

from __future__ import annotations

from collections.abc import Set

from netcheck.facts.grounding_terminals import is_grounding_terminal
from netcheck.model.devices import Conducts, device_of
from netcheck.model.panel import Panel

ENCLOSED = frozenset(("", "panel", "door", "plate"))
"""Places of one enclosure: what is on the door is within reach of who works behind it."""
GROUND = "ground"


def panel_of(panel: Panel, name: str) -> str:
    """The panel that a device or terminal is named in; empty where the text has only one."""
    first, dot, _ = name.partition(".")
    return first if dot and first in panel.titles else ""


def place_of(panel: Panel, device: str) -> tuple[str, str]:
    """Devices of one place are within reach of one another: the panel, and where in the plant.

    A place outside of its panel is one place whichever panel's devices are there.
    """
    location = panel.devices[device].location
    return (panel_of(panel, device), "") if location in ENCLOSED else ("", location)


def where(panel: Panel, device: str) -> str:
    """`door`, `tank`; of a text of several panels also whose door: `door of B`."""
    location, name = panel.devices[device].location, panel_of(panel, device)
    return f"{location} of {name}" if name and location in ENCLOSED - {""} else location


def place_in_words(panel: Panel, device: str) -> str:
    """`tank`, `the panel`; of a text of several panels `panel B`."""
    name, location = place_of(panel, device)
    return location or (f"panel {name}" if name else "the panel")


def within_reach(panel: Panel, one: str, other: str) -> bool:
    """Whether the leads of a meter reach from one terminal to another."""
    return place_of(panel, device_of(one)) == place_of(panel, device_of(other))


class GroundAtHand:
    """In which places a terminal for grounding conductors is wired to ground, a bar's before one of
    another device."""

    def __init__(self, panel: Panel) -> None:
        self._panel = panel
        self._poles = set(grounded_poles(panel))
        held = held_at_ground(panel)
        known = [end for end in panel.terminals if end in held]
        known = [end for end in known if is_grounding_terminal(panel, end)]
        bars = set(_bars(panel))
        known.sort(key=lambda end: device_of(end) not in bars)
        self._at: dict[tuple[str, str], str] = {}
        for end in known:
            bar = device_of(end) if device_of(end) in bars else end
            self._at.setdefault(place_of(panel, device_of(end)), bar)

    def instead_of(self, black: str, red: str) -> str:
        """What does for a black lead on a grounded pole that does not reach from the red one, in
        words: `ground (GB1)`; empty where there is nothing, or no need."""
        if black not in self._poles or within_reach(self._panel, red, black):
            return ""
        at = self._at.get(place_of(self._panel, device_of(red)))
        return f"{GROUND} ({at})" if at else ""


def grounded_poles(panel: Panel, near: str = "") -> list[str]:
    """Every grounded pole, those of the panel that `near` is named in first."""
    found = [f"{one.device}:{one.grounded_pole}" for one in panel.sources if one.grounded_pole]
    return _nearest_first(panel, list(dict.fromkeys(found)), near)


def held_at_ground(panel: Panel) -> frozenset[str]:
    """What wires and fixed joints alone connect to a grounded pole."""
    todo = grounded_poles(panel)
    seen = set(todo)
    while todo:
        at = todo.pop()
        onwards = [end for wire in panel.wires_at.get(at, ()) for end in (wire.a, wire.b)]
        for part in panel.parts_at.get(at, ()):
            fixed = part.conducts is Conducts.BOND or part.conducts is Conducts.JOINS
            if fixed and not part.mechanism:
                onwards += (part.a, part.b)
        new = set(onwards) - seen
        seen |= new
        todo += new
    return frozenset(seen)


def ground_near(panel: Panel, near: str, held: Set[str]) -> str:
    """What to put a lead on for ground beside a device or terminal, in words: `ground (GB1)`.

    A grounding bar before a grounded pole, which is at ground only as long as it is whole; one
    that wires join to such a pole, so that its terminals are among those `held` at ground,
    before one that is only wired.
    """
    wired = [bar for bar in _bars(panel) if _ends(panel, bar)]
    joined = [bar for bar in wired if not held.isdisjoint(_ends(panel, bar))]
    here = panel_of(panel, near)
    for known in (joined, wired, grounded_poles(panel)):
        beside = [name for name in known if panel_of(panel, name) == here]
        if beside:
            place = place_of(panel, device_of(near))
            same = [name for name in beside if place_of(panel, device_of(name)) == place]
            return f"{GROUND} ({(same or beside)[0]})"
    return GROUND


def _bars(panel: Panel) -> list[str]:
    return [name for name, one in panel.devices.items() if one.kind == "grounding bar"]


def _ends(panel: Panel, bar: str) -> Set[str]:
    return {end for end in panel.devices[bar].terminals if end in panel.wires_at}


def _nearest_first(panel: Panel, names: list[str], near: str) -> list[str]:
    here = panel_of(panel, near)
    return sorted(names, key=lambda name: panel_of(panel, name) != here)
