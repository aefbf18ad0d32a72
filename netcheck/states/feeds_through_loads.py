"""How a load is fed, or what stands across a contact, if every other load counts as wire."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import cached_property

from netcheck.model.devices import Conducts, Part
from netcheck.network.blocks import block_cut_tree
from netcheck.network.conduction import Conduction, Edge
from netcheck.network.unions import Unions
from netcheck.states.behaviour import Behaviour, Feed, dc_volts
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.load_ways import held_apart

CARRIES_NOTHING = (Conducts.NOTHING, Conducts.BOND)
MOST_PARTS = 200_000
"""Parts around loads that are looked at in one panel."""

_ANY_RAIL = -1


class Neighbourhoods:
    """What lies around each load, over contacts and other loads, up to the next rails."""

    def __init__(self, behaviour: Behaviour) -> None:
        self.behaviour = behaviour
        self._ends: dict[int, tuple[int, int]] = {}
        self._at: dict[int, list[Part]] = {}
        self._carrying: list[Part] = []
        self._parts_left = MOST_PARTS
        for part in behaviour.panel.parts:
            a, b = behaviour.node(part.a), behaviour.node(part.b)
            self._ends[part.index] = (a, b)
            conducts = part.load is not None or behaviour.closed(part) != FALSE
            if part.conducts not in CARRIES_NOTHING and a != b and conducts:
                self._carrying.append(part)
                self._at.setdefault(a, []).append(part)
                self._at.setdefault(b, []).append(part)

    @property
    def too_much(self) -> bool:
        """Whether more was to be looked at than is: the rest is then not decided."""
        return self._parts_left <= 0

    def hangs_between_rails(self, load: Part) -> bool:
        """Whether contacts and loads, this one among them, lead from it to two rails or more."""
        return len(set[int]().union(*map(self._rails_near, self._ends[load.index]))) > 1

    def _rails_near(self, node: int) -> set[int]:
        if node in self.behaviour.rails:
            return {node}
        return self._area_leads_to.get(self._area.find(node), set())

    @cached_property
    def _area(self) -> Unions[int]:
        """Nodes joined by contacts and loads, cut at the rails."""
        area: Unions[int] = Unions()
        for part in self._carrying:
            a, b = self._ends[part.index]
            if a not in self.behaviour.rails and b not in self.behaviour.rails:
                area.join(a, b)
        return area

    @cached_property
    def _area_leads_to(self) -> dict[int, set[int]]:
        lead: dict[int, set[int]] = {}
        rails = self.behaviour.rails
        for part in self._carrying:
            ends = set(self._ends[part.index])
            for node in ends - rails:
                lead.setdefault(self._area.find(node), set()).update(ends & rails)
        return lead

    def around(self, load: Part) -> list[Part]:
        """The parts met on the way from a load to the next rails.

        Not the load, nor the other windings of one three-phase load.
        """
        own = self._own(load)
        todo = list(self._ends[load.index])
        seen, parts = set(todo), dict[int, Part]()
        while todo:
            node = todo.pop()
            if node in self.behaviour.rails:
                continue
            for part in self._at.get(node, ()):
                if part.index in own or part.index in parts:
                    continue
                parts[part.index] = part
                new = set(self._ends[part.index]) - seen
                seen |= new
                todo += new
        self._parts_left -= len(parts)
        return list(parts.values())

    def feeds(self, load: Part) -> Iterator[Feed]:
        """The ways of feeding it in which other loads may stand; none if none leads anywhere."""
        if self.hangs_between_rails(load) and self._may_be_fed(load):
            yield from self.between(load)

    def between(self, part: Part, *, bonds: bool = False) -> Iterator[Feed]:
        """The volts that may stand between the ends of a part if every other load counts as
        wire and the part itself carries nothing, of its `a` against its `b`.

        With `bonds`, poles are held apart or together by ground too.
        """
        if not self.hangs_between_rails(part):
            return
        parts = self.around(part)
        if not self.lies_between(part, parts):
            return
        a, b = self._ends[part.index]
        places = list(
            dict.fromkeys((a, b, *(end for one in parts for end in self._ends[one.index])))
        )
        number = {node: place for place, node in enumerate(places)}
        conduction = self._conduction(parts, number)
        for p in conduction.rails_at(number[a]):
            for q in conduction.rails_at(number[b]):
                if p == q:
                    continue
                for held in held_apart(self.behaviour, places[p], places[q], bonds=bonds):
                    there, back = (number[a], p), (number[b], q)
                    if dc_volts(held.volts) < 0:
                        there, back = back, there
                    path = self.behaviour.logic.both(
                        conduction.from_rail(*there), conduction.to_rail(*back)
                    )
                    condition = self.behaviour.logic.both(path, held.condition)
                    if condition != FALSE:
                        yield Feed(places[p], places[q], held.volts, condition)

    def _may_be_fed(self, load: Part) -> bool:
        """Whether another load leads from an end of this one to a pole, with volts between it
        and a pole at the other end."""
        a, b = (self._rails_from(end, load) for end in self._ends[load.index])
        pairs = [(p, q) for p in a[True] for q in b[True] | b[False]]
        pairs += [(p, q) for p in a[False] for q in b[True]]
        return any(
            True for p, q in pairs if p != q for _ in held_apart(self.behaviour, p, q, bonds=False)
        )

    def _rails_from(self, end: int, load: Part) -> dict[bool, set[int]]:
        """The rails reached from an end of a load, with another load on the way and without."""
        own, rails = self._own(load), self.behaviour.rails
        found: dict[bool, set[int]] = {False: set(), True: set()}
        todo = [(end, False)]
        seen = set(todo)
        while todo:
            node, loaded = todo.pop()
            if node in rails:
                found[loaded].add(node)
                continue
            for part in self._at.get(node, ()):
                if part.index not in own:
                    a, b = self._ends[part.index]
                    there = (b if a == node else a, loaded or part.load is not None)
                    if there not in seen:
                        seen.add(there)
                        todo.append(there)
        self._parts_left -= len(seen)
        return found

    def lies_between(self, load: Part, parts: Collection[Part]) -> bool:
        """Whether `parts` lead on from both ends of a load to rails, no place passed twice.

        All rails taken as one, it then lies on a cycle through them.  A load whose two
        ends only meet each other again does not.
        """
        rails = self.behaviour.rails
        ends = [
            tuple(_ANY_RAIL if end in rails else end for end in self._ends[part.index])
            for part in (load, *parts)
        ]
        number = {
            node: place for place, node in enumerate(sorted({e for pair in ends for e in pair}))
        }
        if _ANY_RAIL not in number:
            return False
        adjacency: list[list[int]] = [[] for _ in number]
        for a, b in ends:
            if a != b:
                adjacency[number[a]].append(number[b])
                adjacency[number[b]].append(number[a])
        tree = block_cut_tree(adjacency)
        a, b = ends[0]
        if a == b:
            return a == _ANY_RAIL
        block = tree.block_of_edge(number[a], number[b])
        return number[_ANY_RAIL] in tree.vertices(block)

    def _own(self, load: Part) -> frozenset[int]:
        if load.load is None or load.load.phases != 3:
            return frozenset((load.index,))
        return frozenset(self.behaviour.panel.devices[load.device].parts)

    def _conduction(self, parts: list[Part], number: dict[int, int]) -> Conduction:
        edges = []
        for part in parts:
            closed = TRUE if part.load is not None else self.behaviour.closed(part)
            back = FALSE if self.behaviour.one_way(part) else closed
            a, b = self._ends[part.index]
            edges.append(Edge(number[a], number[b], closed, back, part.index))
        rails = [place for node, place in number.items() if node in self.behaviour.rails]
        return Conduction(len(number), edges, rails, self.behaviour.logic)
