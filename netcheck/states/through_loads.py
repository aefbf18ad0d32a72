"""When a coil may get some voltage through other loads, so that it may or may not pull in.

Current then leaves a rail, passes loads and the coil, and comes home to a rail held apart
from the first, again perhaps by a way through loads; and nothing that counts as wire takes
it past the coil.  A way through a load that is itself bypassed counts all the same: what
is said of such a coil is that it may, not that it will.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from itertools import combinations

from netcheck.model.devices import Conducts, Part
from netcheck.network.conduction import Conduction, Edge
from netcheck.network.unions import Unions
from netcheck.states.expressions import FALSE, TRUE
from netcheck.states.grid import Grid
from netcheck.states.volts import volts_of
from netcheck.states.ways import HeldApart, Ways, held_apart

MOST_PARTS = 50_000
"""Of so many parts around coils is followed when they lead to a rail; past them a coil is
taken to be fed through loads whenever the rails around it have a voltage between them."""

_NO_RAIL = -1

Past = tuple[int, int]
"""When what counts as wire joins the ends of a coil, from its a to its b and the other way."""


class ThroughLoads:
    """Works it out for one coil at a time; what coils share is worked out once."""

    def __init__(self, grid: Grid, live: Callable[[int], int]) -> None:
        self._grid = grid
        self._live = live
        self._logic = grid.logic
        self._parts_left = MOST_PARTS
        self._held_known: dict[tuple[int, int], list[HeldApart]] = {}
        self._held_ways: dict[tuple[int, int], tuple[int, int]] = {}

    def feeds(self, coil: Part) -> int:
        """When current may pass the coil, through other loads too."""
        a, b = self._grid.place(coil.a), self._grid.place(coil.b)
        if a == b or len(self._rails_near(a) | self._rails_near(b)) < 2:
            return FALSE
        if not self._only_loads_to_own_rail(a, b):
            return self._fed_by_neighbours(coil, a, b)
        if len(self._sources_together[self._together.find(a)]) < 2:
            return FALSE
        return self._fed(self._grid.circuit, (a, b), lambda rail: rail, self._past(a, b))

    def forget(self) -> None:
        """Drop what was found while it was not yet known when a source is live."""
        self._held_known.clear()
        self._held_ways.clear()
        if "_ways" in self.__dict__:
            self._ways.forget()

    def in_star(self, winding: Part, others: frozenset[int]) -> int:
        """When current may pass a winding with none but `others`, by index, in its path."""
        a, b = self._grid.place(winding.a), self._grid.place(winding.b)
        around = self._around(winding)
        parts = [part for part in around if part.load is None or part.index in others]
        return self._fed_past(parts, a, b) if a != b else FALSE

    def _fed_by_neighbours(self, coil: Part, a: int, b: int) -> int:
        if self._parts_left <= 0:
            return self._fed_somehow(a, b)
        parts = self._around(coil)
        self._parts_left -= len(parts)
        return self._fed_past(parts, a, b)

    def _fed_past(self, parts: list[Part], a: int, b: int) -> int:
        """Between two places through `parts`, loads among them, and not past them by wire."""
        places = [a, b]
        places += [self._grid.place(end) for part in parts for end in (part.a, part.b)]
        number = {place: at for at, place in enumerate(dict.fromkeys(places))}
        # What lies across the coil, such as its diode, brings no current to it.
        across = {a, b}
        beside = [p for p in parts if {self._grid.place(p.a), self._grid.place(p.b)} != across]
        near = self._conduction(beside, number, loads=True)
        past = self._past(a, b)
        if not {a, b} & self._grid.rails:
            direct = self._conduction(parts, number, loads=False, ends=(number[a], number[b]))
            past = (
                self._logic.either(past[0], direct.rail_join(number[a], number[b])),
                self._logic.either(past[1], direct.rail_join(number[b], number[a])),
            )
        return self._fed(near, (number[a], number[b]), list(number).__getitem__, past)

    def _fed_somehow(self, a: int, b: int) -> int:
        """While any two of the rails around are held apart: no less than what really may."""
        rails = sorted(self._rails_near(a) | self._rails_near(b))
        held = [one for p, q in combinations(rails, 2) for one in self._held(p, q)]
        return self._logic.any_of([one.condition for one in held])

    def _fed(
        self, near: Conduction, ends: tuple[int, int], place: Callable[[int], int], past: Past
    ) -> int:
        """`near` leads from the coil's ends to rails, which stand at a `place` of the grid."""
        a, b = ends
        both, there, back = self._logic.both, list[int](), list[int]()
        for p in near.rails_at(a):
            for q in near.rails_at(b):
                higher, lower = (
                    self._held_each_way(place(p), place(q)) if p != q else (FALSE, FALSE)
                )
                if higher != FALSE:
                    path = both(near.from_rail(a, p), near.to_rail(b, q))
                    there.append(both(path, higher))
                if lower != FALSE:
                    path = both(near.to_rail(a, p), near.from_rail(b, q))
                    back.append(both(path, lower))
        return self._logic.either(
            both(self._logic.any_way(there), past[0] ^ 1),
            both(self._logic.any_way(back), past[1] ^ 1),
        )

    def _held_each_way(self, p: int, q: int) -> tuple[int, int]:
        """When two rails are held apart, the first of them higher and the other way."""
        held = self._held(p, q)
        if self._is_too_much:
            return TRUE, TRUE
        if (p, q) not in self._held_ways:
            self._held_ways[p, q] = (
                self._logic.any_way(one.condition for one in held if one.p_is_higher),
                self._logic.any_way(one.condition for one in held if not one.p_is_higher),
            )
        return self._held_ways[p, q]

    def _held(self, p: int, q: int) -> list[HeldApart]:
        """What holds two rails apart; anything at any time, where that is too much to follow."""
        if (p, q) not in self._held_known:
            self._held_known[p, q] = self._held_by_only_source(p, q) or list(
                held_apart(self._ways.between, p, q)
            )
        if self._is_too_much:
            return [HeldApart((), TRUE, True), HeldApart((), TRUE, False)]
        return self._held_known[p, q]

    def _held_by_only_source(self, p: int, q: int) -> list[HeldApart]:
        """How two poles of an AC source are held apart that loads and contacts join to no other.

        No way through loads then holds them apart while the source itself does not, and of AC
        none has a direction: what conducts between so many loads need not be worked out.
        """
        sources = self._sources_together[self._together.find(p)]
        number = next(iter(sources))
        source = self._grid.panel.sources[number]
        at = {self._grid.pole(number, mark): potential for mark, potential in source.poles.items()}
        if len(sources) > 1 or source.kind != "AC" or at[p] == at[q]:
            return []
        return [HeldApart(volts_of(source.basis, at[p] - at[q]), self._live(number), True)]

    @property
    def _is_too_much(self) -> bool:
        return "_ways" in self.__dict__ and self._ways.too_many

    @cached_property
    def _ways(self) -> Ways:
        return Ways(self._grid, self._grid.with_loads, self._live)

    def _past(self, a: int, b: int) -> Past:
        """Over rails only: directly, if one of the ends is a rail, else by a rail both meet."""
        circuit, rails = self._grid.circuit, self._grid.rails
        if a in rails:
            return circuit.from_rail(b, a), circuit.to_rail(b, a)
        if b in rails:
            return circuit.to_rail(a, b), circuit.from_rail(a, b)
        both = self._logic.both
        shared = set(circuit.rails_at(a)) & set(circuit.rails_at(b))
        there = [both(circuit.to_rail(a, rail), circuit.from_rail(b, rail)) for rail in shared]
        back = [both(circuit.to_rail(b, rail), circuit.from_rail(a, rail)) for rail in shared]
        return self._logic.any_of(there), self._logic.any_of(back)

    # ---- what lies around a coil -----------------------------------------------------------

    def _around(self, coil: Part) -> list[Part]:
        """The parts between a coil and the next rails, the coil itself left out."""
        todo = [self._grid.place(coil.a), self._grid.place(coil.b)]
        seen, parts = set(todo), dict[int, Part]()
        while todo:
            place = todo.pop()
            if place in self._grid.rails:
                continue
            for part in self._at.get(place, ()):
                if part.index != coil.index:
                    parts[part.index] = part
                    new = {self._grid.place(part.a), self._grid.place(part.b)} - seen
                    seen |= new
                    todo += new
        return list(parts.values())

    @cached_property
    def _at(self) -> dict[int, list[Part]]:
        """The parts that carry current, by the places they stand at."""
        found: dict[int, list[Part]] = {}
        for a, b, part in self._carrying:
            for place in {a, b}:
                found.setdefault(place, []).append(part)
        return found

    @cached_property
    def _carrying(self) -> list[tuple[int, int, Part]]:
        """The parts that carry current, each with the places it stands at."""
        nothing, place = (Conducts.NOTHING, Conducts.BOND), self._grid.place
        parts = self._grid.panel.parts
        return [(place(p.a), place(p.b), p) for p in parts if p.conducts not in nothing]

    def _conduction(
        self,
        parts: list[Part],
        number: dict[int, int],
        *,
        loads: bool,
        ends: tuple[int, ...] = (),
    ) -> Conduction:
        """Conduction over parts, places numbered anew; it ends at `ends` as it does at rails."""
        grid, edges = self._grid, []
        for part in parts:
            if part.load is None or loads:
                closed = TRUE if part.load is not None else grid.closed(part)
                back = FALSE if grid.one_way(part) else closed
                u, v = number[grid.place(part.a)], number[grid.place(part.b)]
                edges.append(Edge(u, v, closed, back, part.index))
        rails = {number[place] for place in number if place in grid.rails}.union(ends)
        return Conduction(len(number), edges, rails, self._logic)

    def _only_loads_to_own_rail(self, a: int, b: int) -> bool:
        """Whether one end stands on a rail and every load near the other leads to that rail,
        or both ends stand on rails: no load of its own neighbourhood then feeds the coil."""
        home = {a, b} & self._grid.rails
        if len(home) == 2:
            return True
        if not home:
            return False
        (inner,) = {a, b} - home
        return self._loads_lead_to.get(self._load_area.find(inner)) == home

    @cached_property
    def _load_area(self) -> Unions[int]:
        """Places joined by contacts and loads, cut at the rails."""
        area: Unions[int] = Unions()
        rails = self._grid.rails
        for a, b, _ in self._carrying:
            if a not in rails and b not in rails:
                area.join(a, b)
        return area

    def _rails_near(self, place: int) -> set[int]:
        """The rails that contacts and loads lead to from a place."""
        if place in self._grid.rails:
            return {place}
        return self._area_leads_to.get(self._load_area.find(place), set())

    @cached_property
    def _area_leads_to(self) -> dict[int, set[int]]:
        lead: dict[int, set[int]] = {}
        rails, area = self._grid.rails, self._load_area
        for a, b, _ in self._carrying:
            met = {a, b} & rails
            for place in {a, b} - rails:
                lead.setdefault(area.find(place), set()).update(met)
        return lead

    @cached_property
    def _loads_lead_to(self) -> dict[int, set[int]]:
        """For each such area, the rails that its loads lead to; -1 where one lies inside it."""
        lead: dict[int, set[int]] = {}
        for a, b, part in self._carrying:
            if part.load is not None:
                ends = {a, b}
                rails = ends & self._grid.rails
                for place in ends - rails:
                    area = self._load_area.find(place)
                    lead.setdefault(area, set()).update(rails or {_NO_RAIL})
        return lead

    # ---- what is connected at all ----------------------------------------------------------

    @cached_property
    def _together(self) -> Unions[int]:
        """Places that sources, contacts and loads connect in one way or another."""
        together: Unions[int] = Unions()
        for a, b, _ in self._carrying:
            together.join(a, b)
        for index, source in enumerate(self._grid.panel.sources):
            poles = [self._grid.pole(index, mark) for mark in source.poles]
            for pole in poles:
                together.join(poles[0], pole)
        return together

    @cached_property
    def _sources_together(self) -> dict[int, set[int]]:
        """The sources of each such group.  Of one alone every pair of poles is held apart by
        the source itself, past all loads: then no way through loads adds anything."""
        found: dict[int, set[int]] = {}
        for place in range(self._grid.count):
            found.setdefault(self._together.find(place), set())
        for index, source in enumerate(self._grid.panel.sources):
            place = self._grid.pole(index, next(iter(source.poles)))
            found[self._together.find(place)].add(index)
        return found
