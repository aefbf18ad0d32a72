"""Contacts that never matter: opened for good or bridged for good, the panel does the same.

Take a contact out.  If there is a reachable state, passing ones included, in which its two
ends are then apart, while one leads to a pole and the other to a pole at another potential
(through other loads too), the contact decides there what current flows: it matters.  If
there is none, then neither opening nor bridging it ever changes a current anywhere, and
so no relay and no state.  Redundancy is not idle by this: of two contacts in series, either
would let the current through if the other were bridged; of two side by side, either
would if the other were open.

Most contacts are quickly seen to matter: they are the only way to a load that is seen
energised, or a state is seen in which a load near by hangs on them alone.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Iterator

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour
from netcheck.facts.load_feeds import LoadFeeds, Verdict, ask, is_made_for_series
from netcheck.facts.seen_states import SeenStates
from netcheck.model.devices import Conducts, Drive, Part
from netcheck.network.blocks import block_cut_tree
from netcheck.network.conduction import Conduction, Edge
from netcheck.network.traces import Passed, walk
from netcheck.record import record
from netcheck.states.answers import Reached, Undecided
from netcheck.states.behaviour import Behaviour as Behaving
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.feeds_through_loads import Neighbourhoods
from netcheck.states.tagged import Tagged
from netcheck.states.witness import assignment

NEAREST_LOADS = 4
FARTHEST_PLACES = 100
"""Where a load that hangs on a contact is looked for before anything is proved."""
MOST_PROVED = 200
"""So many contacts are looked at thoroughly; of a panel with more, the others are left open."""
MOST_LOOKED_AT = 100_000
"""Parts about the contacts of a panel, contact by contact."""
_CONDUCTORS = (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)
_RAILS = 0


@record
class IdleContact:
    """`around` is the way that is closed whenever the contact could carry a current; empty
    where none ever comes to it.  `near` are the loads beside it, as parts by their index."""

    part: Part
    around: tuple[Passed, ...]
    near: frozenset[int]


@record
class IdleContacts:
    found: tuple[IdleContact, ...]
    undecided: tuple[tuple[Part, str], ...]
    left: tuple[Part, ...]
    """Contacts that were not looked at, after so many."""


@concludes(Behaviour, CertainBehaviour, SeenStates, LoadFeeds)
def find_idle_contacts(view: View) -> IdleContacts:
    search = _Search(view)
    contacts = [part for part in search.not_seen_to_matter() if search.is_by_a_live_load(part)]
    found: list[IdleContact] = []
    undecided: list[tuple[Part, str]] = []
    left: list[Part] = []
    for number, part in enumerate(contacts):
        if number >= MOST_PROVED or search.looked_at > MOST_LOOKED_AT:
            left.append(part)
            continue
        outcome = search.outcome(part)
        if isinstance(outcome, IdleContact):
            found.append(outcome)
        elif outcome is not None:
            undecided.append((part, outcome.reason))
    return IdleContacts(tuple(found), tuple(undecided), tuple(left))


class _Search:
    def __init__(self, view: View) -> None:
        self.wide, self.certain = view[Behaviour], view[CertainBehaviour].behaviour
        self.seen = view[SeenStates]
        self.verdicts = {
            part.index: load.verdict for load in view[LoadFeeds].loads for part in load.parts
        }
        self.panel = self.certain.panel
        self.graph = _Graph(self.certain)
        self.closely: dict[Behaving, Neighbourhoods] = {}
        self.looked_at = 0

    # ---- what is seen ----------------------------------------------------------------------

    def not_seen_to_matter(self) -> list[Part]:
        contacts = list(self._judged())
        only_ways = self.graph.only_ways(self._is_fed)
        contacts = [part for part in contacts if part.index not in only_ways]
        if not contacts:
            return []
        tagged = Tagged(self.certain, contacts)
        contacts = [part for part in contacts if not self._is_seen(part, tagged)]
        return [part for part in contacts if not self._is_found_on_purpose(part, tagged)]

    def _is_seen(self, part: Part, tagged: Tagged) -> bool:
        loads = self.graph.loads_near(part)
        return any(self.seen.happen(tagged.changes(part, load)) for load in loads)

    def _is_found_on_purpose(self, part: Part, tagged: Tagged) -> bool:
        """Whether a power-up that is meant to feed a load through it shows that it matters."""
        machine, mechanisms = self.certain.machine, self.panel.mechanisms.values()
        sources = [one.name for one in mechanisms if one.drive is Drive.SOURCE]
        for load in self.graph.loads_near(part):
            changes = tagged.changes(part, load)
            if changes != FALSE:
                fed = tagged.fed_with(part, load)
                from netcheck.states.directed import DirectedSamples

                if DirectedSamples(machine, sources, fed, changes).happen(changes):
                    return True
        return False

    def _is_fed(self, load: Part) -> bool:
        """Whether it is energised at some time, with no other load in its path."""
        energised = self.verdicts.get(load.index) is Verdict.ENERGISED
        return energised and not is_made_for_series(load)

    def _judged(self) -> Iterator[Part]:
        """Contacts in use, wired at both ends, beside which stands nothing that is no load and yet
        reads or stores (a voltmeter, a capacitor), nor ground."""
        panel, node = self.panel, self.certain.node
        beside = {
            node(end)
            for part in panel.parts
            if part.conducts in (Conducts.NOTHING, Conducts.BOND) and part.role != "suppressor"
            for end in (part.a, part.b)
        } - self.certain.rails
        for part in panel.parts:
            if part.conducts is not Conducts.CONTACT or part.spare:
                continue
            if "spare" in panel.devices[part.device].marks:
                continue
            ends = {node(part.a), node(part.b)}
            if {part.a, part.b} <= panel.wires_at.keys() and (
                not ends & beside if len(ends) == 2 else self._bridge(part)
            ):
                yield part

    def _bridge(self, part: Part) -> tuple[Passed, ...]:
        """Wires, terminals and their bridges from one end to the other, if there are any.

        A fuse or an ammeter across a contact is there for a purpose that no load tells.
        """

        def wire_only(other: Part, forwards: bool) -> bool:
            kind = self.panel.devices[other.device].kind
            return other.conducts is Conducts.JOINS and kind in ("strip", "terminal", "neutral bar")

        return tuple(walk(self.panel, [part.a], [part.b], wire_only) or ())

    def is_by_a_live_load(self, part: Part) -> bool:
        """Whether no load beside it is dead: of one that is, it is said why."""
        verdicts = [self.verdicts.get(load.index) for load in self.graph.loads_near(part)]
        return all(verdict in (None, Verdict.ENERGISED) for verdict in verdicts)

    # ---- what is proved --------------------------------------------------------------------

    def outcome(self, part: Part) -> IdleContact | Undecided | None:
        """None where it matters."""
        near = frozenset(load.index for load in self.graph.loads_near(part))
        if self.certain.node(part.a) == self.certain.node(part.b):
            return IdleContact(part, self._bridge(part), near)
        if self.seen.happen(self._matters(part, self.certain)):
            return None
        answer = ask(self.wide, self.certain, lambda one: self._matters(part, one), "any instant")
        if isinstance(answer, Undecided):
            return answer
        if isinstance(answer, Reached) or answer.how == "assumptions contradict":
            return None
        return IdleContact(part, self._around(part), near)

    def _matters(self, part: Part, behaviour: Behaving) -> int:
        """When, the contact taken out, its ends are apart and current would flow between them."""
        return behaviour.logic.both(
            self._wanted(part, behaviour), self._bypassed(part, behaviour) ^ 1
        )

    def _wanted(self, part: Part, behaviour: Behaving) -> int:
        """When a source is live, and the ends lead to different rails, be it through loads.

        Whether the two are held apart just then is not asked: what is joined through other
        loads, at other poles, would have to be followed through the whole panel.
        """
        number, edges = self._closely(part, behaviour, loads=True)
        rails = [at for place, at in number.items() if place in behaviour.rails]
        near = Conduction(len(number), edges, rails, behaviour.logic)
        a, b = number[behaviour.node(part.a)], number[behaviour.node(part.b)]
        both = behaviour.logic.both
        apart = [
            both(near.from_rail(a, p), near.from_rail(b, q))
            for p in near.rails_at(a)
            for q in near.rails_at(b)
            if p != q
        ]
        live = [behaviour.live(index) for index in range(len(self.panel.sources))]
        return both(behaviour.logic.any_of(apart), behaviour.logic.any_of(live))

    def _bypassed(self, part: Part, behaviour: Behaving) -> int:
        """When its ends are joined without it and without loads, whichever way current goes."""
        number, edges = self._closely(part, behaviour, loads=False)
        a, b = number[behaviour.node(part.a)], number[behaviour.node(part.b)]
        return Conduction(len(number), edges, [a], behaviour.logic).from_rail(b, a)

    def _closely(
        self, part: Part, behaviour: Behaving, *, loads: bool
    ) -> tuple[dict[int, int], list[Edge]]:
        """What lies about a contact up to the next rails: places numbered anew, and edges.

        With `loads` all is taken to conduct that may; without, only what surely does.
        """
        node = behaviour.node
        number, edges = {node(part.a): 0, node(part.b): 1}, []
        around = self._near(behaviour).around(part)
        self.looked_at += len(around)
        for other in around:
            u, v = (number.setdefault(node(end), len(number)) for end in (other.a, other.b))
            if other.load is not None or behaviour.one_way(other):
                closed = behaviour.closed(other) if other.load is None else TRUE
                if loads:
                    edges.append(Edge(u, v, closed, closed, other.index))
            else:
                closed = behaviour.closed(other)
                edges.append(Edge(u, v, closed, closed, other.index))
        return number, edges

    def _near(self, behaviour: Behaving) -> Neighbourhoods:
        if behaviour not in self.closely:
            self.closely[behaviour] = Neighbourhoods(behaviour)
        return self.closely[behaviour]

    def _around(self, part: Part) -> tuple[Passed, ...]:
        """The way past it, in a state in which it could carry a current."""
        behaviour = self.certain
        wanted = self._wanted(part, behaviour)
        answer = behaviour.prover.can_happen(wanted) if wanted != FALSE else None
        if not isinstance(answer, Reached):
            return ()
        values = assignment(behaviour, answer)

        def closed(other: Part, forwards: bool) -> bool:
            return other.index != part.index and (
                other.conducts in _CONDUCTORS
                and behaviour.logic.evaluate(behaviour.closed(other), values)
            )

        return tuple(walk(self.panel, [part.a], [part.b], closed) or ())


class _Graph:
    """Places and what may conduct between them, all rails taken as one vertex."""

    def __init__(self, behaviour: Behaving) -> None:
        self._behaviour = behaviour
        self._number: dict[int, int] = dict.fromkeys(behaviour.rails, _RAILS)
        self._count = 1
        self._loads_at: dict[int, list[Part]] = {}
        self._edges: list[tuple[int, int, Part]] = []
        self._leads_on: dict[int, list[tuple[int, Part]]] = {}
        loads = {
            frozenset((behaviour.node(part.a), behaviour.node(part.b)))
            for part in behaviour.panel.parts
            if part.load is not None
        }
        for part in behaviour.panel.parts:
            u, v = self._vertex(part.a), self._vertex(part.b)
            if part.load is not None:
                for vertex in {u, v} - {_RAILS}:
                    self._loads_at.setdefault(vertex, []).append(part)
            elif part.conducts is Conducts.ONE_WAY and (
                frozenset((behaviour.node(part.a), behaviour.node(part.b))) in loads
            ):
                continue  # across a load it suppresses, and brings nothing there
            elif part.conducts in _CONDUCTORS and u != v and behaviour.closed(part) != FALSE:
                self._edges.append((u, v, part))
                self._leads_on.setdefault(u, []).append((v, part))
                self._leads_on.setdefault(v, []).append((u, part))

    def _vertex(self, terminal: str) -> int:
        place = self._behaviour.node(terminal)
        if place not in self._number:
            self._number[place] = self._count
            self._count += 1
        return self._number[place]

    def only_ways(self, is_fed: Callable[[Part], bool]) -> set[int]:
        """The parts, by index, without which some load that is fed meets no pole at an end."""
        adjacency: list[list[int]] = [[] for _ in range(self._count)]
        for u, v, _ in self._edges:
            adjacency[u].append(v)
            adjacency[v].append(u)
        tree = block_cut_tree(adjacency)
        fed = [
            any(is_fed(load) for load in self._loads_at.get(vertex, ()))
            for vertex in range(self._count)
        ]
        for block, top in enumerate(tree.top):  # what hangs below a block comes before it
            fed[top] = fed[top] or any(fed[vertex] for vertex in tree.below[block])
        blocks = [tree.block_of_edge(u, v) for u, v, _ in self._edges]
        edges_in = Counter(blocks)
        return {
            part.index
            for (_, _, part), block in zip(self._edges, blocks, strict=True)
            if edges_in[block] == 1
            and tree.root[tree.top[block]] == _RAILS
            and fed[tree.below[block][0]]
        }

    def loads_near(self, part: Part) -> list[Part]:
        """Loads that conductors join to an end, the contact itself left out, and without passing a
        pole: a few for each end, nearest first."""
        found = dict[int, Part]()
        for end in (part.a, part.b):
            found.update((load.index, load) for load in self._near(self._vertex(end), part))
        return list(found.values())

    def _near(self, start: int, without: Part) -> Iterator[Part]:
        seen, queue, told = {start, _RAILS}, deque([start]), 0
        while queue and told < NEAREST_LOADS and len(seen) < FARTHEST_PLACES:
            vertex = queue.popleft()
            for load in self._loads_at.get(vertex, ()):
                told += 1
                yield load
            for there, other in self._leads_on.get(vertex, ()) if vertex != _RAILS else ():
                if there not in seen and other is not without:
                    seen.add(there)
                    queue.append(there)
