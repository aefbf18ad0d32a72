"""The highest nominal volts in each circuit: between its conductors, and to ground.

A circuit is what holds together through contacts, loads and wire without passing a pole of
a source; what is always joined to a pole belongs to all that source feeds.  Contacts count
as closed that can never be closed together, but for what is interlocked mechanically and for
positions of one thing, such as a transfer switch: what is said here may be more than a state ever
brings, never less.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour
from netcheck.model.devices import Conducts
from netcheck.network.unions import Unions
from netcheck.states.expressions import FALSE
from netcheck.states.volts import Volts, kind_of, magnitude

NO_VOLTS: Volts = ()


class CircuitVolts:
    """Answers by place, as `Behaviour.node` numbers them."""

    def __init__(self, behaviour: Behaviour) -> None:
        self._behaviour = behaviour
        self._rails: dict[int, frozenset[int]] = {}
        self._between: dict[frozenset[int], tuple[Volts, ...]] = {}
        self._all: dict[frozenset[int], tuple[Volts, ...]] = {}
        self._to_ground: dict[int, Volts | None] = {}

    def rails(self, place: int) -> frozenset[int]:
        """The poles that the circuit of a place hangs on; of a pole, all of its sources."""
        is_pole = place in self._behaviour.rails
        area = place if is_pole else self._areas.find(place)
        if area not in self._rails:
            found = self._of_sources(area) if is_pole else frozenset(self._touched.get(area, ()))
            self._rails[area] = found
        return self._rails[area]

    def between(self, places: Iterable[int]) -> tuple[Volts, ...]:
        """The highest volts of each kind between conductors of the circuits of these places."""
        return self._between_rails(self._rails_of(places))

    def all_of(self, places: Iterable[int]) -> tuple[Volts, ...]:
        """The highest volts of each kind there, between conductors or to ground."""
        return self.of_rails(self._rails_of(places))

    def of_rails(self, rails: frozenset[int]) -> tuple[Volts, ...]:
        """The highest volts of each kind of a circuit that hangs on these poles."""
        if rails not in self._all:
            to_ground = (self.to_ground(rail) for rail in sorted(rails))
            grounded = [volts for volts in to_ground if volts]
            self._all[rails] = _highest([*self._between_rails(rails), *grounded])
        return self._all[rails]

    def _rails_of(self, places: Iterable[int]) -> frozenset[int]:
        return frozenset().union(*(self.rails(place) for place in places))

    def _between_rails(self, rails: frozenset[int]) -> tuple[Volts, ...]:
        if rails not in self._between:
            found = [
                way.volts
                for one in sorted(rails)
                for other in sorted(rails)
                if one != other
                for way in self._behaviour.ways_that_stand(one, other, bonds=True)
            ]
            self._between[rails] = _highest(found)
        return self._between[rails]

    def to_ground(self, rail: int) -> Volts | None:
        """The volts of a pole against ground; None where nothing ties its source to ground."""
        if rail not in self._to_ground:
            found = [
                way.volts
                for ground in sorted(self._grounded)
                if ground != rail
                for way in self._behaviour.ways_that_stand(ground, rail, bonds=True)
            ]
            held = NO_VOLTS if rail in self._grounded else None
            self._to_ground[rail] = max(found, key=magnitude) if found else held
        return self._to_ground[rail]

    def _of_sources(self, rail: int) -> frozenset[int]:
        behaviour = self._behaviour
        found = {rail}
        for index, source in enumerate(behaviour.panel.sources):
            poles = {behaviour.pole_node(index, pole) for pole in source.poles}
            if rail in poles:
                found |= poles
        return frozenset(found)

    @cached_property
    def _grounded(self) -> frozenset[int]:
        return frozenset(
            self._behaviour.node(f"{source.device}:{source.grounded_pole}")
            for source in self._behaviour.panel.sources
            if source.grounded_pole
        )

    @cached_property
    def _areas(self) -> Unions[int]:
        """Places that hold together without passing a pole."""
        areas: Unions[int] = Unions()
        for a, b in self._links:
            if a not in self._behaviour.rails and b not in self._behaviour.rails:
                areas.join(a, b)
        return areas

    @cached_property
    def _touched(self) -> dict[int, set[int]]:
        touched: dict[int, set[int]] = {}
        for pair in self._links:
            for place in set(pair) - self._behaviour.rails:
                rails = set(pair) & self._behaviour.rails
                touched.setdefault(self._areas.find(place), set()).update(rails)
        return touched

    @cached_property
    def _links(self) -> list[tuple[int, int]]:
        behaviour = self._behaviour
        return [
            (behaviour.node(part.a), behaviour.node(part.b))
            for part in behaviour.panel.parts
            if part.load is not None
            or (part.conducts is not Conducts.BOND and behaviour.closed(part) != FALSE)
        ]


def _highest(found: Iterable[Volts]) -> tuple[Volts, ...]:
    """Of each kind the highest."""
    highest: dict[str, Volts] = {}
    for volts in found:
        known = highest.setdefault(kind_of(volts), volts)
        if magnitude(volts) > magnitude(known):
            highest[kind_of(volts)] = volts
    return tuple(highest[kind] for kind in sorted(highest) if kind)


@concludes(Behaviour)
def find_circuit_volts(view: View) -> CircuitVolts:
    return CircuitVolts(view[Behaviour])
