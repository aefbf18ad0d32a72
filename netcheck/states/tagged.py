"""What one contact alone changes: conduction with some contacts as variables of their own.

A relay moves all its contacts at once, and so do the conditions of a behaviour.  Here the
contacts in question do not follow what moves them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from netcheck.model.devices import Part
from netcheck.record import record
from netcheck.states.behaviour import Behaviour
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.grid import Grid
from netcheck.states.ways import HeldApart, held_apart


@record
class _Path:
    """From one rail through the load to another: when it stands, the contacts being variables,
    and when the panel as it is built holds the rails apart."""

    conducts: int
    held: int


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
        self._paths: dict[int, tuple[_Path, ...]] = {}
        self._held: dict[tuple[int, int], tuple[HeldApart, ...]] = {}

    def changes(self, contact: Part, load: Part) -> int:
        """When a path through the load, and through no other, stands with the contact closed, and
        not with it open, between rails held apart."""
        both, found = self._logic.both, []
        for path in self._through(contact, load):
            given, without = (self._with(contact, path, closed) for closed in (TRUE, FALSE))
            found.append(both(path.held, both(given, without ^ 1)))
        return self._logic.any_of(found)

    def fed_with(self, contact: Part, load: Part) -> int:
        """When such a path stands with the contact closed."""
        return self._logic.any_of(
            [
                self._logic.both(path.held, self._with(contact, path, TRUE))
                for path in self._through(contact, load)
            ]
        )

    def _conducts(self, part: Part) -> int:
        tag = self._tags.get(part.index)
        return self._behaviour.closed(part) if tag is None else tag

    def _through(self, contact: Part, load: Part) -> list[_Path]:
        """The paths of a load in which the contact has a say."""
        if load.index not in self._paths:
            self._paths[load.index] = tuple(self._find_paths(load))
        tag = self._tags[contact.index]
        return [
            path for path in self._paths[load.index] if tag in self._logic.support(path.conducts)
        ]

    def _with(self, contact: Part, path: _Path, closed: int) -> int:
        """A path with this contact closed or open, and the others as the panel is built."""
        support = self._logic.support(path.conducts)
        values = {tag: self._closed[tag] for tag in support & self._closed.keys()}
        return self._logic.substitute(path.conducts, {**values, self._tags[contact.index]: closed})

    def _find_paths(self, load: Part) -> Iterator[_Path]:
        circuit, both = self._grid.circuit, self._logic.both
        a, b = self._grid.place(load.a), self._grid.place(load.b)
        for p in circuit.rails_at(a):
            for q in circuit.rails_at(b):
                for higher in (True, False) if p != q else ():
                    held = self._held_apart(p, q, higher)
                    if held != FALSE:
                        out = circuit.from_rail(a, p) if higher else circuit.to_rail(a, p)
                        home = circuit.to_rail(b, q) if higher else circuit.from_rail(b, q)
                        yield _Path(both(out, home), held)

    def _held_apart(self, p: int, q: int, higher: bool) -> int:
        if (p, q) not in self._held:
            self._held[p, q] = tuple(held_apart(self._behaviour.ways, p, q))
        held = self._held[p, q]
        return self._logic.any_of([one.condition for one in held if one.p_is_higher == higher])
