"""Contacts that meet more than they are rated for, or DC where they are rated for AC only.

A contact meets what stands across it while it is open, in every reachable state, other
loads counted as wire.
"""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided
from netcheck.facts.circuit_volts import CircuitVolts
from netcheck.model.devices import Conducts, Device, Part
from netcheck.record import record
from netcheck.states.answers import Answer, Reached, Undecided
from netcheck.states.behaviour import Feed
from netcheck.states.feed_path import Circuit, feed_path, poles_at
from netcheck.states.feeds_through_loads import Neighbourhoods
from netcheck.states.stress import Excess, Ratings, Stress, excess_of, ratings_of
from netcheck.states.volts import magnitude
from netcheck.states.witness import assignment, tell


@record
class ContactVolts:
    found: tuple[Stress, ...]
    undecided: tuple[tuple[Part, str], ...]


@concludes(Behaviour, CertainBehaviour, CircuitVolts)
def find_contact_volts(view: View) -> ContactVolts:
    search = _Search(view)
    for device in view.panel.devices.values():
        if "spare" not in device.marks:
            search.look_at(device)
    return ContactVolts(tuple(search.found), tuple(search.undecided))


class _Search:
    def __init__(self, view: View) -> None:
        self._wide, self._certain = view[Behaviour], view[CertainBehaviour].behaviour
        self._circuits = view[CircuitVolts]
        self._near = Neighbourhoods(self._wide)
        self.found: list[Stress] = []
        self.undecided: list[tuple[Part, str]] = []

    def look_at(self, device: Device) -> None:
        """Each kind of contact of a device once: three main poles of one rating are told as one."""
        told: set[tuple[str, Ratings, Excess]] = set()
        for part in (self._wide.panel.parts[index] for index in device.parts):
            ratings = ratings_of(part, device)
            if part.conducts is not Conducts.CONTACT or part.spare or not ratings:
                continue
            for stress in self._of_contact(part, ratings):
                if (part.role, ratings, stress.excess) not in told:
                    told.add((part.role, ratings, stress.excess))
                    self.found.append(stress)

    def _of_contact(self, part: Part, ratings: Ratings) -> Iterator[Stress]:
        """What is beyond its ratings, the highest volts first, as far as it happens."""
        places = (self._wide.node(part.a), self._wide.node(part.b))
        if not any(
            excess_of(ratings, volts, protects=False) for volts in self._circuits.all_of(places)
        ):
            return
        meets = enumerate(self._near.between(part, bonds=True))
        for number, meeting in sorted(meets, key=lambda one: -magnitude(one[1].volts)):
            excess = excess_of(ratings, meeting.volts, protects=False)
            if excess is None:
                continue
            answer = self._ask(part, number, meeting)
            if isinstance(answer, Undecided):
                self.undecided.append((part, answer.reason))
            elif isinstance(answer, Reached) and answer.kind != "race":
                yield self._told(part, ratings, excess, meeting, answer)

    def _ask(self, part: Part, number: int, meeting: Feed) -> Answer:
        """Whether the contact is open there and then, whatever uncertain coils do."""
        literal = _while_open(self._wide, part, meeting)
        wide = self._wide.prover.can_happen(literal)
        if not isinstance(wide, Reached) or self._certain is self._wide:
            return wide
        concerned = set(self._wide.prover.depends_on(literal))
        coils = [name for name in self._wide.uncertain_coils if name in concerned]
        if not coils:
            return wide
        # Both behaviours know the same ways in the same order, only their relays differ.
        same = tuple(Neighbourhoods(self._certain).between(part, bonds=True))[number]
        sure = self._certain.prover.can_happen(_while_open(self._certain, part, same))
        return decided(sure, wide, coils)

    def _told(
        self, part: Part, ratings: Ratings, excess: Excess, meeting: Feed, answer: Reached
    ) -> Stress:
        poles_a, poles_b = (poles_at(self._wide, r) for r in (meeting.rail_a, meeting.rail_b))
        path = feed_path(
            self._wide,
            Circuit(part, poles_a, poles_b, meeting.volts),
            assignment(self._wide, answer),
            without=part,
            through_loads=frozenset(
                one.index for one in self._near.around(part) if one.load is not None
            ),
        )
        witness = tell(self._wide.panel, answer)
        return Stress(part, ratings, excess, meeting.volts, False, path or (), witness)


def _while_open(behaviour: Behaviour, part: Part, meeting: Feed) -> int:
    return behaviour.logic.both(meeting.condition, behaviour.closed(part) ^ 1)
