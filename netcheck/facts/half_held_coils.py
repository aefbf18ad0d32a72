"""Coils between two lines that one ground fault leaves part of their voltage.

Where the source is grounded between its poles, each line has volts against ground.  A coil's
contact in one line only then leaves the other on the coil: a wire of the switched side that
touches ground brings the current home, past the open contact and past the fuse that the
fault has blown.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.facts.ground_fed import moved_in
from netcheck.facts.load_feeds import LoadFeed, LoadFeeds, Verdict
from netcheck.model.devices import Part
from netcheck.record import record
from netcheck.states.volts import in_band, kind_of, magnitude

PROTECTIVE = frozenset(("breaker", "fuse", "overload", "disconnect"))
HOLDS = {"AC": 0.2, "DC": 0.1, "AC and DC": 0.1}
"""At and below this part of its rated voltage a coil has surely dropped out; above it, it may
still hold.  IEC 60947-4-1 8.2.1.2: 20 % to 75 % on AC, 10 % to 75 % on DC, from memory."""


@record
class HalfHeld:
    """One coil, the devices that switch one of its lines only, and what ground leaves on it."""

    load: LoadFeed
    devices: tuple[str, ...]
    left_v: float
    rated_v: float
    lets_go_v: float
    said: bool
    """Whether the text says at what volts it drops out."""


@record
class HalfHeldCoils:
    found: tuple[HalfHeld, ...]


@concludes(Behaviour, CircuitVolts, LoadFeeds)
def find_half_held_coils(view: View) -> HalfHeldCoils:
    finder = _Finder(view[Behaviour], view[CircuitVolts])
    return HalfHeldCoils(tuple(finder.find(view[LoadFeeds].loads)))


class _Finder:
    def __init__(self, behaviour: Behaviour, volts: CircuitVolts) -> None:
        self._behaviour = behaviour
        self._volts = volts

    def find(self, loads: tuple[LoadFeed, ...]) -> Iterator[HalfHeld]:
        for load in loads:
            part = load.parts[0]
            if load.verdict is Verdict.ENERGISED and part.role == "coil" and len(load.parts) == 1:
                yield from self._of(load, part)

    def _of(self, load: LoadFeed, part: Part) -> Iterator[HalfHeld]:
        made, behaviour = part.load, self._behaviour
        rails = {(feed.rail_a, feed.rail_b) for feed in behaviour.feeds(part)}
        if made is None or made.volts is None or len(rails) != 1:
            return
        ((rail_a, rail_b),) = rails
        switched = {part.a: self._switches(part.a, rail_a), part.b: self._switches(part.b, rail_b)}
        for end, other, rail in ((part.a, part.b, rail_b), (part.b, part.a, rail_a)):
            kept = (*switched[other], part.device)
            devices = tuple(one for one in switched[end] if one not in kept)
            left = self._volts.to_ground(rail)
            if not left or not devices or in_band(left, made):
                continue
            said = behaviour.panel.devices[part.device].number("coil_drop_out_v")
            lets_go_v = HOLDS[kind_of(left)] * made.volts if said is None else said
            if magnitude(left) > lets_go_v:
                yield HalfHeld(
                    load, devices, magnitude(left), made.volts, lets_go_v, said is not None
                )

    def _switches(self, terminal: str, rail: int) -> tuple[str, ...]:
        """Devices, protective ones apart, that have a say in the way to a pole."""
        behaviour = self._behaviour
        node, panel = behaviour.node(terminal), behaviour.panel
        if rail not in behaviour.circuit.rails_at(node):
            return ()
        way = behaviour.circuit.to_rail(node, rail)
        moved = (panel.mechanisms[name].device for name in moved_in(behaviour, way))
        devices = dict.fromkeys(moved)
        return tuple(one for one in devices if panel.devices[one].kind not in PROTECTIVE)
