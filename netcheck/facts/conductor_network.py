"""The panel's conductors as two networks in which currents are laid: on rails, and between.

A *rail* is a place where a source has a pole, an *island* what hangs together between
rails.  Each island stands in the network once for each rail that touches it, with that
rail shrunk to one vertex: so no path between them passes another rail.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from netcheck.model.devices import Conducts, Part
from netcheck.model.wires import Wire
from netcheck.network.blocks import NO_BLOCK, EdgesBetween
from netcheck.network.flows import Flows
from netcheck.record import draft, fresh
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE, TRUE

CARRIES = frozenset((Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY))


def element(by: Wire | Part) -> int:
    """One number for every wire and every part."""
    return by.index if isinstance(by, Wire) else -1 - by.index


NO_RAIL = -1


@draft
class Layer:
    """A network, and the currents in it: of which load, between which two vertices."""

    vertices: int = 0
    ends: list[tuple[int, int]] = fresh(factory=list)
    element_of_edge: list[int] = fresh(factory=list)
    currents: dict[tuple[int, int, int], None] = fresh(factory=dict)

    @cached_property
    def flows(self) -> Flows:
        """The currents laid so far; none may be added afterwards."""
        return Flows(self.vertices, self.ends, [(a, b) for _, a, b in self.currents])

    @cached_property
    def loads(self) -> list[int]:
        return [load for load, _, _ in self.currents]

    def join(self, a: int, b: int, what: int) -> None:
        self.ends.append((a, b))
        self.element_of_edge.append(what)


class ConductorNetwork:
    """Terminals are numbered as the panel lists them."""

    def __init__(self, states: Behaviour) -> None:
        self.states = states
        self.number = {terminal: i for i, terminal in enumerate(states.panel.terminals)}
        self.place = [states.node(terminal) for terminal in states.panel.terminals]
        self.rails = Layer(len(self.place))
        self.islands = Layer()
        self._spreads: dict[tuple[int, int], dict[int, int]] = {}
        """By island and rail: the vertex of each terminal of the island, and of the rail."""
        self._contacts: dict[tuple[int, int], list[tuple[int, int]]] = {}
        """By island and rail: the contacts between, as terminals of the one and the other."""
        self._direct: dict[tuple[int, int], list[tuple[int, int]]] = {}
        self._touching = self._spread_out()
        for wire in states.panel.wires:
            self._lay(self.number[wire.a], self.number[wire.b], element(wire))
        meters = _meters_on_shunts(states)
        for part in states.panel.parts:
            if part.index in meters:
                continue
            if part.conducts in CARRIES and states.closed(part) != FALSE:
                self._lay(self.number[part.a], self.number[part.b], element(part))

    def island(self, terminal: int) -> int:
        return self.states.circuit.island(self.place[terminal])

    def rails_at(self, terminal: int) -> tuple[int, ...]:
        return self.states.circuit.rails_at(self.place[terminal])

    def between(self, load: int, terminal: int, rail: int) -> None:
        """Lay a load's current between a terminal and a rail that touches its island."""
        if self.place[terminal] != rail:
            spread = self._spreads[self.island(terminal), rail]
            self.islands.currents[load, spread[terminal], spread[NO_RAIL]] = None

    def between_rails(self, load: int, start: int, end: int) -> None:
        """Lay a load's current through every island that may join two rails."""
        for island, rail in self._contacts:
            if rail == start:
                for inside, _ in self._contacts.get((island, end), ()):
                    self.between(load, inside, start)

    def on_rail(self, load: int, starts: Iterable[int], ends: Iterable[int]) -> None:
        """Lay a load's current on a rail, from each of some terminals to each of others."""
        self.rails.currents.update(
            ((load, a, b), None) for b in ends for a in starts if a != b
        )  # fmt: skip

    def entries(self, terminal: int, rail: int) -> list[int]:
        """Where on a rail the current of a terminal may come on: at itself, or at contacts.

        No current may be laid between rails afterwards.
        """
        if self.place[terminal] == rail:
            return [terminal]
        island = self.island(terminal)
        spread = self._spreads[island, rail]
        head = self._heads[spread[terminal]]
        tree = self.islands.flows.tree
        return [
            on_rail
            for inside, on_rail in self._contacts.get((island, rail), ())
            if tree.block_of_edge(spread[inside], spread[NO_RAIL]) == head
        ]

    def joining(self, start: int, end: int) -> list[tuple[int, int]]:
        """Contacts by which current goes from rail to rail, as their terminals on the two."""
        found = list(self._direct.get((start, end), ()))
        for (island, rail), contacts in self._contacts.items():
            if rail == start:
                others = self._contacts.get((island, end), ())
                found += [(a, b) for _, a in contacts for _, b in others]
        return found

    def poles_on(self, rail: int) -> list[int]:
        return self._poles.get(rail, [])

    @cached_property
    def _poles(self) -> dict[int, list[int]]:
        poles: dict[int, list[int]] = {}
        for source in self.states.panel.sources:
            for mark in source.poles:
                terminal = self.number[f"{source.device}:{mark}"]
                poles.setdefault(self.place[terminal], []).append(terminal)
        return poles

    @cached_property
    def _heads(self) -> list[int]:
        """For each vertex of an island the block next to the rail on its way there."""
        tree = self.islands.flows.tree
        heads = [NO_BLOCK] * self.islands.vertices
        for vertex in sorted(range(self.islands.vertices), key=tree.entered.__getitem__):
            block = tree.above[vertex]
            if block != NO_BLOCK:
                at_root = tree.above[tree.top[block]] == NO_BLOCK
                heads[vertex] = block if at_root else heads[tree.top[block]]
        return heads

    def _spread_out(self) -> dict[int, tuple[int, ...]]:
        """Give vertices to every island, the rail's first: it is the root of the blocks."""
        members: dict[int, list[int]] = {}
        for terminal, place in enumerate(self.place):
            if place not in self.states.rails:
                members.setdefault(self.island(terminal), []).append(terminal)
        touching = {}
        for island, terminals in members.items():
            touching[island] = self.rails_at(terminals[0]) or (NO_RAIL,)
            for rail in touching[island]:
                first = self.islands.vertices
                numbered = enumerate((NO_RAIL, *terminals), first)
                self._spreads[island, rail] = {terminal: vertex for vertex, terminal in numbered}
                self.islands.vertices += 1 + len(terminals)
        return touching

    def _lay(self, a: int, b: int, what: int) -> None:
        rails = self.states.rails
        at_a, at_b = self.place[a] in rails, self.place[b] in rails
        if at_a and at_b:
            self._lay_on_rails(a, b, what)
        elif at_a or at_b:
            inside, on_rail = (b, a) if at_a else (a, b)
            key = self.island(inside), self.place[on_rail]
            self.islands.join(self._spreads[key][inside], self._spreads[key][NO_RAIL], what)
            self._contacts.setdefault(key, []).append((inside, on_rail))
        else:
            island = self.island(a)
            for rail in self._touching[island]:
                spread = self._spreads[island, rail]
                self.islands.join(spread[a], spread[b], what)

    def _lay_on_rails(self, a: int, b: int, what: int) -> None:
        start, end = self.place[a], self.place[b]
        if start == end:
            self.rails.join(a, b, what)
        else:
            self._direct.setdefault((start, end), []).append((a, b))
            self._direct.setdefault((end, start), []).append((b, a))


def loops(states: Behaviour) -> list[list[Wire | Part]]:
    """Wires and parts that lie in loops of what is always joined, block by block."""
    panel = states.panel
    number = {terminal: i for i, terminal in enumerate(panel.terminals)}
    always = [
        part
        for part in panel.parts
        if part.conducts is Conducts.JOINS and states.closed(part) == TRUE
    ]
    joining: list[Wire | Part] = [*panel.wires, *always]
    blocks = EdgesBetween(len(number), [(number[by.a], number[by.b]) for by in joining])
    edges = (blocks.edges_of_block(block) for block in range(len(blocks.tree.top)))
    return [[joining[edge] for edge in block] for block in edges if len(block) > 1]


def _meters_on_shunts(states: Behaviour) -> set[int]:
    """Ammeters beside a shunt: next to no current goes their way."""
    roles = {part.role for part in states.panel.parts}
    if not {"ammeter", "shunt"} <= roles:
        return set()
    found: set[int] = set()
    for loop in loops(states):
        parts = [by for by in loop if isinstance(by, Part)]
        if any(part.role == "shunt" for part in parts):
            found.update(part.index for part in parts if part.role == "ammeter")
    return found
