"""Contacts that meet more than they are rated for, or DC where they are rated for AC only.

A contact meets what stands across it while it is open, in every reachable state, other
loads counted as wire.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

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

_Meeting = tuple[int, Feed]


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
        left: dict[tuple[str, Ratings, Excess], tuple[Part, str]] = {}
        for part in (self._wide.panel.parts[index] for index in device.parts):
            ratings = ratings_of(part, device)
            if part.conducts is not Conducts.CONTACT or part.spare or not ratings:
                continue
            for excess, meetings in self._beyond(part, ratings):
                kind = (part.role, ratings, excess)
                if kind in told:
                    continue
                answer = self._ask(part, meetings)
                if isinstance(answer, Undecided):
                    left.setdefault(kind, (part, answer.reason))
                elif isinstance(answer, Reached) and answer.kind != "race":
                    told.add(kind)
                    meeting = self._that_holds(part, meetings, answer)
                    self.found.append(self._told(part, ratings, excess, meeting, answer))
        self.undecided += [about for kind, about in left.items() if kind not in told]

    def _beyond(self, part: Part, ratings: Ratings) -> list[tuple[Excess, list[_Meeting]]]:
        """What is beyond a contact's ratings, numbered, the highest volts first and those of one
        height together."""
        places = (self._wide.node(part.a), self._wide.node(part.b))
        if not any(
            excess_of(ratings, volts, protects=False) for volts in self._circuits.all_of(places)
        ):
            return []
        alike: dict[tuple[Excess, float], list[_Meeting]] = {}
        for number, meeting in enumerate(self._near.between(part, bonds=True)):
            excess = excess_of(ratings, meeting.volts, protects=False)
            if excess is not None:
                height = round(magnitude(meeting.volts), 3)
                alike.setdefault((excess, height), []).append((number, meeting))
        highest_first = sorted(alike.items(), key=lambda one: -one[0][1])
        return [(excess, meetings) for (excess, _), meetings in highest_first]

    def _ask(self, part: Part, meetings: Sequence[_Meeting]) -> Answer:
        """Whether the contact is open while one of these is there, whatever uncertain coils do."""
        literal = _while_open(self._wide, part, [meeting for _, meeting in meetings])
        wide = self._wide.prover.can_happen(literal)
        if not isinstance(wide, Reached) or self._certain is self._wide:
            return wide
        concerned = set(self._wide.prover.depends_on(literal))
        coils = [name for name in self._wide.uncertain_coils if name in concerned]
        if not coils:
            return wide
        # Both behaviours know the same ways in the same order, only their relays differ.
        all_there = tuple(self._certainly_near.between(part, bonds=True))
        same = _while_open(self._certain, part, [all_there[number] for number, _ in meetings])
        return decided(self._certain.prover.can_happen(same), wide, coils)

    @cached_property
    def _certainly_near(self) -> Neighbourhoods:
        return Neighbourhoods(self._certain)

    def _that_holds(self, part: Part, meetings: Sequence[_Meeting], answer: Reached) -> Feed:
        """The one of several that the state which shows them has."""
        values, logic = assignment(self._wide, answer), self._wide.logic
        return next(
            (one for _, one in meetings if logic.evaluate(one.condition, values)), meetings[0][1]
        )

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


def _while_open(behaviour: Behaviour, part: Part, meetings: Sequence[Feed]) -> int:
    there = behaviour.logic.any_of([meeting.condition for meeting in meetings])
    return behaviour.logic.both(there, behaviour.closed(part) ^ 1)
