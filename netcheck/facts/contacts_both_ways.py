"""Contacts that current passes one way in one state and the other way in another.

Directions are told by a pole: away from it, or towards it, as the load's current goes.  A
contact is passed from u to v, seen from a pole, while the pole is joined to u and, but for
the contact, not to v, and a load that this pole feeds is joined to v.  Whether a contact
can be passed both ways at all shows in the network with its loads: where it comes down to
branches in series and side by side, it cannot.

A load that is itself fed the other way round, a motor that reverses, does not count.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.facts.load_feeds import ask, is_settled
from netcheck.facts.seen_states import SeenStates
from netcheck.model.devices import Conducts, Part, mark_of
from netcheck.network.conduction import Conduction, Edge
from netcheck.network.series_parallel import Branch, irreducible
from netcheck.network.traces import Passed
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.states.answers import Answer, Reached, Undecided
from netcheck.states.expressions import FALSE, Logic
from netcheck.states.feed_path import Circuit, feed_path, poles_at
from netcheck.states.truth_table import Tables
from netcheck.states.volts import Volts, dc_volts, in_band
from netcheck.states.witness import Witness, assignment, tell_path

MOST_TABLE_VARIABLES = 14
"""Up to so many, a condition that never holds is seen from its truth table."""

MOST_OF_ONE_NETWORK = 24
"""Contacts told of one network that does not come down; a mesh has no end of them."""
MOST_IN_VAIN = 8
"""Contacts of one network asked about that turned out not to be passed both ways."""
MOST_UNSEEN = 40
"""Positions that a condition may depend on for it to be proved though no state shows it."""

_CARRIES = frozenset((Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY))


@record
class OneWayThrough:
    """A load's current through a contact: from the mark it enters to the one it leaves by."""

    load: Part
    enters: str
    leaves: str
    path: tuple[Passed, ...]
    witness: Witness


@record
class BothWays:
    """A contact and a state of either direction; which way it is drawn comes first."""

    contact: Part
    one: OneWayThrough
    other: OneWayThrough


@record
class ContactsBothWays:
    """`undecided` are contacts of which one direction is open, with the reason."""

    found: tuple[BothWays, ...]
    undecided: tuple[tuple[Part, str], ...]


@concludes(Behaviour, SeenStates)
def find_contacts_both_ways(view: View) -> ContactsBothWays:
    wide = view[Behaviour]
    branches = list(_branches(wide))
    if not branches:
        return ContactsBothWays((), ())
    return _Judge(wide, view[SeenStates]).find(branches)


def _branches(states: Behaviour) -> Iterator[Branch]:
    """What does not come down to series and parallel, and does not begin at a pole: there the
    direction is never in doubt."""
    edges = []
    for part in states.panel.parts:
        if part.load is not None or (part.conducts in _CARRIES and states.closed(part) != FALSE):
            edges.append((states.node(part.a), states.node(part.b), part.index))
    for branch in irreducible(edges, states.rails):
        if branch.u not in states.rails and branch.v not in states.rails:
            yield branch


@record
class _Passing:
    """One way that a load's current may take through a contact, and when."""

    load: Part
    end: str
    volts: Volts
    rails: tuple[int, int]
    condition: int


Sides = tuple[list[_Passing], list[_Passing]]


class _Judge:
    def __init__(self, wide: Behaviour, seen: SeenStates) -> None:
        self.wide, self.certain, self.seen = wide, seen.behaviour, seen
        self._known: dict[tuple[int, int, int], Sides] = {}
        self._islands: dict[int, list[Part]] = {}
        self._loads: dict[int, list[tuple[Part, str]]] = {}
        circuit = wide.circuit
        for part in wide.panel.parts:
            ends = {end: circuit.island(wide.node(end)) for end in (part.a, part.b)}
            if part.load is not None:
                for end, island in ends.items():
                    self._loads.setdefault(island, []).append((part, end))
            elif part.conducts in _CARRIES and wide.closed(part) != FALSE:
                for island in set(ends.values()):
                    self._islands.setdefault(island, []).append(part)

    def find(self, branches: list[Branch]) -> ContactsBothWays:
        found: list[BothWays] = []
        undecided: list[tuple[Part, str]] = []
        networks: Unions[int] = Unions()
        for branch in branches:
            networks.join(branch.u, branch.v)
        told, vain = Counter[int](), Counter[int]()
        for branch in branches:
            network = networks.find(branch.u)
            for contact in self._contacts(branch):
                if vain[network] > MOST_IN_VAIN:
                    break
                rails = self._in_doubt(contact)
                if not rails:
                    continue
                if told[network] == MOST_OF_ONE_NETWORK or vain[network] == MOST_IN_VAIN:
                    vain[network] = MOST_IN_VAIN + 1
                    undecided.append((contact, "its network has more contacts than are tried"))
                    break
                both = self._judge(contact, rails)
                if isinstance(both, BothWays):
                    found.append(both)
                    told[network] += 1
                    break  # what stands in series with it or beside it is the same cause
                if both:
                    undecided.append((contact, both))
                    vain[network] = MOST_IN_VAIN + 1
                vain[network] += 1
        return ContactsBothWays(tuple(found), tuple(undecided))

    def _contacts(self, branch: Branch) -> Iterator[Part]:
        for index in sorted(branch.labels):
            part = self.wide.panel.parts[index]
            if part.conducts is Conducts.CONTACT and not self.wide.one_way(part):
                yield part

    def _in_doubt(self, contact: Part) -> list[int]:
        """The poles from which, by the look of the conditions, a contact is passed both ways."""
        rails = sorted(self.wide.circuit.rails_at(self.wide.node(contact.a)))
        return [rail for rail in rails if all(self._passings(self.wide, contact, rail))]

    def _judge(self, contact: Part, rails: list[int]) -> BothWays | str:
        """The contact passed both ways, or why that is open; nothing if it never is."""
        reason = ""
        for rail in rails:
            answers: list[Reached] = []
            for side in (0, 1):
                answer = self._ask(contact, rail, side)
                if isinstance(answer, Undecided):
                    reason = answer.reason
                if not isinstance(answer, Reached) or not is_settled(answer):
                    break
                answers.append(answer)
            if len(answers) == 2:
                one, other = (
                    self._told(contact, rail, side, answer) for side, answer in enumerate(answers)
                )
                return BothWays(contact, one, other)
        return reason

    def _ask(self, contact: Part, rail: int, side: int) -> Answer:
        def condition(states: Behaviour) -> int:
            passings = self._passings(states, contact, rail)[side]
            return states.logic.any_of([passing.condition for passing in passings])

        count = len(self.wide.logic.support(condition(self.wide)))
        if count > MOST_UNSEEN and not self.seen.happen(condition(self.certain)):
            return Undecided(
                f"it depends on {count} positions, and no state is known that shows it"
            )
        return ask(self.wide, self.certain, condition, "settled")

    def _passings(self, states: Behaviour, contact: Part, rail: int) -> Sides:
        """As seen from a pole: passed from the contact's `a`, and passed from its `b`."""
        key = id(states), contact.index, rail
        if key not in self._known:
            self._known[key] = self._find_passings(states, contact, rail)
        return self._known[key]

    def _find_passings(self, states: Behaviour, contact: Part, rail: int) -> Sides:
        u, v = states.node(contact.a), states.node(contact.b)
        links = self._links(contact)
        past_v = self._beyond(links, rail, u, v)
        past_u = self._beyond(links, rail, v, u) if past_v else []
        if not past_u:
            return [], []
        turned = {(load.index, end) for load, end in past_u}
        reversible = {
            load.index
            for load, end in past_v
            if (load.index, load.a if end == load.b else load.b) in turned
        }
        conduction = self._without(states, contact)
        sides: list[list[_Passing]] = []
        for near, far, loads in ((u, v, past_v), (v, u, past_u)):
            kept = [(load, end) for load, end in loads if load.index not in reversible]
            passings = self._one_side(states, contact, rail, near, far, kept, conduction)
            sides.append(list(passings))
            if not sides[-1]:
                return [], []
        return sides[0], sides[1]

    def _links(self, contact: Part) -> dict[int, list[int]]:
        """What leads from place to place near a contact that may be closed as well as it."""
        links: dict[int, list[int]] = {}
        for part in self._islands[self.wide.circuit.island(self.wide.node(contact.a))]:
            a, b = self.wide.node(part.a), self.wide.node(part.b)
            moved = part.mechanism and part.mechanism == contact.mechanism
            apart = moved and part.closed.isdisjoint(contact.closed)
            if part is not contact and a != b and not apart:
                links.setdefault(a, []).append(b)
                links.setdefault(b, []).append(a)
        return links

    def _beyond(
        self, links: dict[int, list[int]], rail: int, near: int, far: int
    ) -> list[tuple[Part, str]]:
        """The loads, each by an end, that a pole may feed through a contact: past `far` and by
        no place that every way from the pole to `near` needs."""
        loads = [
            (load, end)
            for load, end in self._loads.get(self.wide.circuit.island(near), ())
            if any(
                rail == (feed.rail_a if end == load.a else feed.rail_b)
                for feed in self.wide.feeds(load)
            )
        ]
        walls = self.wide.rails - {rail} | {far}
        way = _way(links, rail, near, walls) if loads else None
        if way is None:
            return []
        needed = {rail, near} | {
            one
            for one in way
            if one not in (rail, near) and _way(links, rail, near, walls | {one}) is None
        }
        there = _reached(links, far, self.wide.rails | needed)
        return [(load, end) for load, end in loads if self.wide.node(end) in there]

    def _one_side(
        self,
        states: Behaviour,
        contact: Part,
        rail: int,
        near: int,
        far: int,
        loads: list[tuple[Part, str]],
        without: tuple[Conduction, dict[int, int]],
    ) -> Iterator[_Passing]:
        conduction, number = without
        logic, join = states.logic, conduction.rail_join
        r, u, v = number[rail], number[near], number[far]
        apart = logic.any_of([join(r, v), join(v, r), join(u, v), join(v, u)]) ^ 1
        closed = logic.both(states.closed(contact), apart)
        for load, end in loads:
            place = number[states.node(end)]
            ways = {
                True: logic.all_of([closed, join(r, u), conduction.from_rail(place, v)]),
                False: logic.all_of([closed, join(u, r), conduction.to_rail(place, v)]),
            }
            ways = {out: way for out, way in ways.items() if _can_hold(logic, way)}
            for feed in states.feeds(load) if ways else ():
                at_rail, volts = feed.rail_a, dc_volts(feed.volts)
                if end == load.b:
                    at_rail, volts = feed.rail_b, -volts
                assert load.load is not None
                if at_rail == rail and in_band(feed.volts, load.load):
                    condition = logic.both(ways.get(volts >= 0, FALSE), feed.condition)
                    if _can_hold(logic, condition):
                        rails = (feed.rail_a, feed.rail_b)
                        yield _Passing(load, end, feed.volts, rails, condition)

    def _without(self, states: Behaviour, contact: Part) -> tuple[Conduction, dict[int, int]]:
        """The contact's island without it, cut at the contact's ends and at poles."""
        ends = states.node(contact.a), states.node(contact.b)
        island = states.circuit.island(ends[0])
        places = list(ends)
        edges: list[tuple[int, int, Part]] = []
        for part in self._islands[island]:
            a, b = states.node(part.a), states.node(part.b)
            places += (a, b)
            if part is not contact and a != b:
                edges.append((a, b, part))
        places += [states.node(end) for _, end in self._loads.get(island, ())]
        number = {place: n for n, place in enumerate(dict.fromkeys(places))}
        rails = {n for place, n in number.items() if place in states.rails or place in ends}
        made = []
        for a, b, part in edges:
            closed = states.closed(part)
            back = FALSE if states.one_way(part) else closed
            made.append(Edge(number[a], number[b], closed, back, part.index))
        return Conduction(len(number), made, rails, states.logic), number

    def _told(self, contact: Part, rail: int, side: int, answer: Reached) -> OneWayThrough:
        states = self.wide
        values = assignment(states, answer)
        passing = next(
            one
            for one in self._passings(states, contact, rail)[side]
            if states.logic.evaluate(one.condition, values)
        )
        poles = [poles_at(states, one) for one in passing.rails]
        circuit = Circuit(passing.load, poles[0], poles[1], passing.volts)
        path = feed_path(states, circuit, values) or ()
        volts = dc_volts(passing.volts) * (1 if passing.rails[0] == rail else -1)
        outward = volts >= 0
        near, far = (contact.a, contact.b) if side == 0 else (contact.b, contact.a)
        enters, leaves = (near, far) if outward else (far, near)
        witness = tell_path(states.panel, answer, path)
        return OneWayThrough(passing.load, mark_of(enters), mark_of(leaves), path, witness)


def _can_hold(logic: Logic, literal: int) -> bool:
    """Whether, by the look of it, a condition ever holds."""
    variables = sorted(logic.support(literal))
    if literal == FALSE or len(variables) > MOST_TABLE_VARIABLES:
        return literal != FALSE
    return Tables(logic, variables).of(literal) != 0


def _way(
    links: dict[int, list[int]], start: int, end: int, walls: frozenset[int]
) -> list[int] | None:
    """The places on a shortest way that passes no wall; None if there is none."""
    came = {start: start}
    queue = deque([start])
    while queue and end not in came:
        at = queue.popleft()
        for other in links.get(at, ()):
            if other not in came and other not in walls:
                came[other] = at
                queue.append(other)
    if end not in came:
        return None
    way = [end]
    while way[-1] != start:
        way.append(came[way[-1]])
    return way


def _reached(links: dict[int, list[int]], start: int, walls: frozenset[int]) -> set[int]:
    """The places that `start` leads to past no wall, itself among them."""
    seen, todo = {start}, [start]
    while todo:
        for other in links.get(todo.pop(), ()):
            if other not in seen and other not in walls:
                seen.add(other)
                todo.append(other)
    return seen
