"""Poles of breakers, fuses and disconnects that meet what they are not rated for.

A pole meets what stands between the pole of a source it is fed from and the device's other
poles, the places its loads go home to, and ground.  All contacts count as closed: a
protective device must be right for whatever its circuit may bring.  Slash ratings, such as
`120/240 V`, are another question.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.model.devices import Device, Part
from netcheck.network.traces import reached
from netcheck.record import record
from netcheck.states.expressions import FALSE
from netcheck.states.stress import (
    NOMINAL,
    PROTECTIVE,
    Excess,
    Ratings,
    Stress,
    excess_of,
    is_slash,
    ratings_of,
)
from netcheck.states.volts import Volts, kind_of, magnitude

SUITS_UNSAID_V = {"AC": 250.0, "DC": 60.0}
"""What any breaker, fuse or disconnect for panels is made for, rating said or not: from memory."""


@record
class PoleVolts:
    found: tuple[Stress, ...]
    unsaid: tuple[tuple[Part, Volts], ...]
    """Poles without a rating where one is needed, and what they meet."""


@concludes(Behaviour, CircuitVolts)
def find_pole_volts(view: View) -> PoleVolts:
    search = _Search(view)
    for device in view.panel.devices.values():
        if device.kind in PROTECTIVE and "spare" not in device.marks and not is_slash(device):
            search.look_at(device)
    return PoleVolts(tuple(search.found), tuple(search.unsaid))


class _Search:
    def __init__(self, view: View) -> None:
        self._wide, self._circuits = view[Behaviour], view[CircuitVolts]
        self.found: list[Stress] = []
        self.unsaid: list[tuple[Part, Volts]] = []

    def look_at(self, device: Device) -> None:
        """The worst of all poles for each excess."""
        worst: dict[Excess, Stress] = {}
        parts = [self._wide.panel.parts[index] for index in device.parts]
        poles = [part for part in parts if part.role == "pole"]
        for pole in poles:
            for stress in self._of_pole(poles, pole, ratings_of(pole, device)):
                known = worst.setdefault(stress.excess, stress)
                if magnitude(stress.volts) > magnitude(known.volts):
                    worst[stress.excess] = stress
        self.found += worst.values()

    def _of_pole(self, poles: list[Part], part: Part, ratings: Ratings) -> Iterator[Stress]:
        place = self._wide.node(part.a)
        if not ratings:
            beyond = [volts for volts in self._circuits.all_of((place,)) if _needs_saying(volts)]
            if beyond:
                self.unsaid.append((part, max(beyond, key=magnitude)))
            return
        if not any(
            excess_of(ratings, volts, protects=True) for volts in self._circuits.all_of((place,))
        ):
            return
        for volts, to_ground in self._meets(poles, part):
            excess = excess_of(ratings, volts, protects=True)
            if excess is not None:
                yield Stress(part, ratings, excess, volts, to_ground)

    def _meets(self, poles: list[Part], part: Part) -> Iterator[tuple[Volts, bool]]:
        """Against the device's other poles, against where its loads go home, against ground."""
        behaviour = self._wide
        against = {rail for one in poles if one is not part for rail in self._fed_from(one)}
        against |= self._homes(part)
        for rail in self._fed_from(part):
            for other in sorted(against - {rail}):
                for way in behaviour.ways_that_stand(other, rail, bonds=True):
                    yield way.volts, False
            held = self._circuits.to_ground(rail)
            if held:
                yield held, True

    def _fed_from(self, pole: Part) -> list[int]:
        """The poles of sources that can come to a pole of the device."""
        node, circuit = self._wide.node(pole.a), self._wide.circuit
        return [rail for rail in circuit.rails_at(node) if circuit.from_rail(node, rail) != FALSE]

    def _homes(self, pole: Part) -> set[int]:
        """The poles of sources that what hangs behind the pole leads to, through its loads."""
        behaviour, own = self._wide, self._wide.node(pole.a)

        def passable(part: Part, forwards: bool) -> bool:
            at = behaviour.node(part.a if forwards else part.b)
            if at in behaviour.rails and at != own:
                return False
            return part.load is not None or behaviour.closed(part) != FALSE

        sides = [
            reached(behaviour.panel, (end,), passable, without=pole) for end in (pole.a, pole.b)
        ]
        fed = {f"{s.device}:{mark}" for s in behaviour.panel.sources for mark in s.poles}
        behind = [
            side
            for side in sides
            if not any(one in fed and behaviour.node(one) == own for one in side)
        ]
        return {behaviour.node(end) for side in behind for end in side} & behaviour.rails - {own}


def _needs_saying(volts: Volts) -> bool:
    return magnitude(volts) > SUITS_UNSAID_V["DC" if kind_of(volts) == "DC" else "AC"] * NOMINAL
