"""Loads that electronic contacts in series leave too little voltage.

Two-wire sensors, transistor outputs and solid-state relays keep some volts while they are
on.  For each load the way with the fewest of them is looked for, from each of its ends to
the poles that feed it, all contacts counted as closed: more is kept in every state.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.states.expressions import FALSE
from netcheck.states.volts import magnitude


@record
class Starved:
    """A load, what feeds it, what the contacts on its best way keep, and what it needs, V."""

    load: Part
    fed_v: float
    contacts: tuple[Part, ...]
    kept_v: float
    needed_v: float


@record
class ElectronicDrops:
    starved: tuple[Starved, ...]


@concludes(Behaviour)
def find_electronic_drops(view: View) -> ElectronicDrops:
    panel = view[Behaviour].panel
    if not any(drop_of(panel, part) for part in panel.parts):
        return ElectronicDrops(())
    return ElectronicDrops(tuple(_Search(view[Behaviour]).all()))


def drop_of(panel: Panel, part: Part) -> float:
    """The volts a contact keeps while it is on; 0 where none are said."""
    if part.conducts is not Conducts.CONTACT:
        return 0.0
    own = part.number("drop_v")
    if own is None and part.role in ("output", "transistor"):
        own = panel.devices[part.device].number("drop_v")
    return own or 0.0


def needed_v(panel: Panel, part: Part) -> float:
    """The fewest volts that a load of known voltage surely works with: as it says, or its band."""
    assert part.load is not None
    assert part.load.volts
    said = part.number("on_above_v") or part.number("pull_in_v")
    said = said or panel.devices[part.device].number("coil_pull_in_v")
    return said or part.load.volts * part.load.low


class _Search:
    def __init__(self, states: Behaviour) -> None:
        self.states = states
        self.panel = states.panel
        self.beside: dict[int, list[tuple[int, Part]]] = {}
        for part in self.panel.parts:
            if part.conducts is Conducts.CONTACT and states.closed(part) != FALSE:
                a, b = states.node(part.a), states.node(part.b)
                self.beside.setdefault(a, []).append((b, part))
                self.beside.setdefault(b, []).append((a, part))

    def all(self) -> Iterator[Starved]:
        for part in self.panel.parts:
            if part.load is None or not part.load.volts or part.load.resistance_ohm:
                continue
            found = list(self._ways(part, needed_v(self.panel, part)))
            if found and all(one.fed_v - one.kept_v < one.needed_v for one in found):
                best = max(found, key=lambda one: one.fed_v - one.kept_v)
                if best.fed_v >= best.needed_v:
                    yield best

    def _ways(self, load: Part, least_v: float) -> Iterator[Starved]:
        for feed in self.states.feeds(load):
            one = self._fewest(self.states.node(load.a), feed.rail_a)
            other = self._fewest(self.states.node(load.b), feed.rail_b)
            if one is not None and other is not None:
                contacts = (*one[1], *other[1])
                kept_v = one[0] + other[0]
                yield Starved(load, magnitude(feed.volts), contacts, kept_v, least_v)

    def _fewest(self, start: int, rail: int) -> tuple[float, tuple[Part, ...]] | None:
        """The fewest volts kept on a way from a place to a rail, and by which contacts."""
        queue: list[tuple[float, int, int, tuple[Part, ...]]] = [(0.0, 0, start, ())]
        seen: set[int] = set()
        count = 0
        while queue:
            kept_v, _, place, contacts = heapq.heappop(queue)
            if place == rail:
                return kept_v, contacts
            if place in seen or (place in self.states.rails and place != start):
                continue
            seen.add(place)
            for after, part in self.beside.get(place, ()):
                drop_v = drop_of(self.panel, part)
                count += 1
                passed = (*contacts, part) if drop_v else contacts
                heapq.heappush(queue, (kept_v + drop_v, count, after, passed))
        return None
