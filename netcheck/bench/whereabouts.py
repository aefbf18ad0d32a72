"""Where somebody stands: in which panel of the text, what is within reach, where ground is."""

from __future__ import annotations

from collections.abc import Iterable, Set

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
    """Where ground is met within reach of somebody.

    A grounding bar that wires join to a grounded pole comes before a grounding terminal of a device
    that they join to one; then a bar that is only wired, and a grounded pole, which is at ground
    only as long as it is whole.
    """

    def __init__(self, panel: Panel) -> None:
        self._panel = panel
        self._poles = grounded_poles(panel)
        self._held = held_at_ground(panel)
        bars = [bar for bar in _bars(panel) if _ends(panel, bar)]
        joined = [bar for bar in bars if not self._held.isdisjoint(_ends(panel, bar))]
        own = [end for end in panel.terminals if self._is_wired_to_ground(end)]
        self._firm = self._by_place([*joined, *own])
        self._known = self._by_place([*joined, *own, *bars, *self._poles])

    def _is_wired_to_ground(self, end: str) -> bool:
        wired = end in self._held and end in self._panel.wires_at
        return wired and is_grounding_terminal(self._panel, end)

    def _by_place(self, names: Iterable[str]) -> dict[tuple[str, str], str]:
        found: dict[tuple[str, str], str] = {}
        for name in names:
            found.setdefault(place_of(self._panel, device_of(name)), name)
        return found

    def beside(self, device: str) -> str:
        """What to put a lead on for ground beside a device, in words: `ground (GB1)`; `ground`
        where the text tells of none.  Outside of an enclosure its own terminal comes first."""
        place, own = place_of(self._panel, device), f"{device}:PE"
        if place[1] and self._is_wired_to_ground(own):
            return f"{GROUND} ({own})"
        at = self._known.get(place)
        return f"{GROUND} ({at})" if at else GROUND

    def is_met(self, red: str, black: str) -> bool:
        """Whether somebody beside the red lead's point has the black one's at hand, or what does
        for it."""
        return within_reach(self._panel, red, black) or bool(self.instead_of(black, red))

    def instead_of(self, black: str, red: str) -> str:
        """What does for a black lead on a grounded pole that does not reach from the red one, in
        words: `ground (GB1)`; empty where there is nothing, or no need."""
        if black not in self._poles or within_reach(self._panel, red, black):
            return ""
        at = self._firm.get(place_of(self._panel, device_of(red)))
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


def _bars(panel: Panel) -> list[str]:
    return [name for name, one in panel.devices.items() if one.kind == "grounding bar"]


def _ends(panel: Panel, bar: str) -> Set[str]:
    return {end for end in panel.devices[bar].terminals if end in panel.wires_at}


def _nearest_first(panel: Panel, names: list[str], near: str) -> list[str]:
    here = panel_of(panel, near)
    return sorted(names, key=lambda name: panel_of(panel, name) != here)
