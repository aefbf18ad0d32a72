"""What one contact alone changes: conduction with some contacts as variables of their own.

A relay moves all its contacts at once, and so do the conditions of a behaviour.  Here the
contacts in question do not follow what moves them.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.model.devices import Part
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.grid import Grid
from netcheck.states.volts import Volts
from netcheck.states.ways import Ways, held_apart


class Tagged:
    """The panel of a behaviour with these contacts apart; literals are of its logic."""

    def __init__(self, behaviour: Behaviour, contacts: Iterable[Part]) -> None:
        self._behaviour, self._logic = behaviour, behaviour.logic
        self._closed: dict[int, int] = {}
        """By the variable of each contact, when it is closed as the panel is built."""
        self._tags: dict[int, int] = {}
        for part in contacts:
            tag = self._logic.variable(f"{part.label} alone")
            self._tags[part.index], self._closed[tag] = tag, behaviour.closed(part)
        self._grid = Grid(
            behaviour.panel, behaviour.nodes, self._conducts, self._logic, behaviour.one_way
        )
        self._ways = Ways(self._grid, self._grid.circuit, behaviour.live)
        self._feeds: dict[int, tuple[int, ...]] = {}

    def changes(self, contact: Part, load: Part) -> int:
        """When a way of feeding the load without another load in it stands with the contact
        closed, and not with it open."""
        tag, logic, found = self._tags[contact.index], self._logic, FALSE
        for condition in self._feeds_of(load):
            support = logic.support(condition)
            if tag in support:
                others = {one: self._closed[one] for one in support & self._closed.keys()}
                given = logic.substitute(condition, {**others, tag: TRUE})
                without = logic.substitute(condition, {**others, tag: FALSE})
                found = logic.either(found, logic.both(given, without ^ 1))
        return found

    def _conducts(self, part: Part) -> int:
        tag = self._tags.get(part.index)
        return self._behaviour.closed(part) if tag is None else tag

    def _feeds_of(self, load: Part) -> tuple[int, ...]:
        """For each pair of rails and volts that may feed the load, when they do."""
        if load.index not in self._feeds:
            self._feeds[load.index] = tuple(self._find_feeds(load).values())
        return self._feeds[load.index]

    def _find_feeds(self, load: Part) -> dict[tuple[int, int, Volts], int]:
        grid, logic, found = self._grid, self._logic, dict[tuple[int, int, Volts], int]()
        circuit, a, b = grid.circuit, grid.place(load.a), grid.place(load.b)
        for p in circuit.rails_at(a):
            for q in circuit.rails_at(b):
                for held in held_apart(self._ways.between, p, q) if p != q else ():
                    if held.p_is_higher:
                        path = logic.both(circuit.from_rail(a, p), circuit.to_rail(b, q))
                    else:
                        path = logic.both(circuit.to_rail(a, p), circuit.from_rail(b, q))
                    key = (p, q, held.volts)
                    condition = logic.both(path, held.condition)
                    found[key] = logic.either(found.get(key, FALSE), condition)
        return found
