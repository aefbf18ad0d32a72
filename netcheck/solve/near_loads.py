"""What loads get that share one voltage, from least to most.

Only a neighbourhood is solved: what lies between a load and the next rails, which the
sources around hold at their nominal voltage; wire and contacts have no resistance.
Heaters, resistors and coils on DC keep their resistance.  A lamp or an electronic input
takes anything from nothing to its rated current, a coil on AC anything from its sealed
current to its inrush, at any usual angle; every corner of that is solved.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import product

from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.record import record, replace
from netcheck.rounding import exceeds
from netcheck.solve.lags import MAGNETS, is_wound, lag_of
from netcheck.solve.nodal import SourcesInConflict, Undetermined
from netcheck.solve.ratings import Draw, Ratings
from netcheck.solve.steady import Steady, Unsettled, solve_state
from netcheck.states.behaviour import Behaviour

MOST_CORNERS = 64
CONSTANT = frozenset(("heater", "resistor"))
AT_MOST_RATED = frozenset(("lamp", "horn", "input"))
"""Take no more than rated while they see no more than rated."""
INRUSH = 10.0
"""Of the sealed current of an AC coil, where the text says none: at most, from memory."""
INRUSH_ANGLE = math.radians(60)
"""The most usual of AC coils that are open: from memory."""


@record
class Spread:
    """Volts across a load as a meter reads them: the least and the most they can be."""

    least_v: float
    most_v: float


@record
class Near:
    """A neighbourhood as a panel of its own, whose terminals are places of the whole one.

    `parts` are those of the whole panel, in the order of `panel.parts`; `sources` are its
    indexes there.
    """

    panel: Panel
    parts: tuple[Part, ...]
    sources: tuple[int, ...]
    basis: str


class NearLoads:
    """Neighbourhoods of one panel's loads."""

    def __init__(self, states: Behaviour) -> None:
        self.states = states
        self.panel = states.panel

    def around(self, load: Part) -> Near | None:
        """None where its rails are not held by sources of one system that are tied together."""
        parts, rails = self._flooded(load)
        sources = sorted({index for rail in rails for index in self._sources_at.get(rail, ())})
        bases = {self.panel.sources[index].basis for index in sources}
        if len(bases) != 1 or not self._tied(sources):
            return None
        inner = [replace(part, a=self._at(part.a), b=self._at(part.b)) for part in parts]
        for index in sources:
            device = self.panel.sources[index].device
            ends = ((f"{device}:{pole}", self._at(f"{device}:{pole}"))
                    for pole in self.panel.sources[index].poles)  # fmt: skip
            inner += [Part(0, device, "pole", pole, at, Conducts.JOINS) for pole, at in ends]
        small = replace(
            self.panel,
            wires=(),
            parts=tuple(replace(part, index=index) for index, part in enumerate(inner)),
            sources=tuple(replace(self.panel.sources[index], inputs=()) for index in sources),
        )
        return Near(small, tuple(parts), tuple(sources), bases.pop())

    def spreads(self, near: Near, closed: Callable[[Part], bool]) -> dict[int, Spread] | None:
        """By load part's index, in the state that `closed` tells; None if too little is known."""
        loads = [(at, part) for at, part in enumerate(near.parts) if part.load is not None]
        extremes = [tuple(self._extremes(part, near.basis)) for _, part in loads]
        if not 0 < math.prod(map(len, extremes)) <= MOST_CORNERS:
            return None
        found: dict[int, Spread] = {}
        for corner in product(*extremes):
            draws = {at: one for (at, _), one in zip(loads, corner, strict=True) if one}
            steady = _solved(near, draws, closed)
            if steady is None:
                return None
            for at, part in loads:
                value = _across(steady, near.panel.parts[at])
                if part.load is not None and not _within_rating(part, value):
                    return None
                known = found.get(part.index, Spread(value, value))
                found[part.index] = Spread(min(known.least_v, value), max(known.most_v, value))
        return found

    def _extremes(self, part: Part, basis: str) -> Iterator[Draw | None]:
        """What a load may take, at its most different; None for nothing at all."""
        load = part.load
        assert load is not None
        ohm = load.resistance_ohm
        if (not ohm or is_wound(load)) and load.volts and load.current_a:
            ohm = load.volts / load.current_a
        kind = "DC" if basis == "DC" else "AC"
        suits = load.volts is None or load.kind in ("", kind)
        if not ohm or not suits:
            return
        volts = load.volts or 1.0
        if load.works in CONSTANT or (load.works in MAGNETS and kind == "DC"):
            yield Draw(ohm, volts)
        elif load.works in AT_MOST_RATED and load.phases == 1:
            yield None
            yield Draw(ohm, volts, "current", least_share=1e-6)
        elif load.works in MAGNETS and load.volts:
            inrush_va = self.panel.devices[part.device].number("coil_inrush_va")
            open_ohm = load.volts**2 / inrush_va if inrush_va else ohm / INRUSH
            sealed = lag_of(load)
            for angle in sorted({sealed.least, sealed.most}):
                yield Draw(cmath.rect(ohm, angle), volts)
            for angle in (0.0, INRUSH_ANGLE):
                yield Draw(cmath.rect(open_ohm, angle), volts)

    # ---- what lies around a load -----------------------------------------------------------

    def _at(self, terminal: str) -> str:
        return f"at {self.states.node(terminal)}"

    def _flooded(self, load: Part) -> tuple[list[Part], set[int]]:
        """The parts up to the next rails, and these."""
        todo = [self.states.node(load.a), self.states.node(load.b)]
        seen, parts, rails = set(todo), {load.index: load}, set[int]()
        while todo:
            place = todo.pop()
            if place in self.states.rails:
                rails.add(place)
                continue
            for part in self._parts_at.get(place, ()):
                parts[part.index] = part
                ends = {self.states.node(part.a), self.states.node(part.b)} - seen
                seen |= ends
                todo += ends
        return list(parts.values()), rails

    @cached_property
    def _parts_at(self) -> Mapping[int, Sequence[Part]]:
        nothing = (Conducts.NOTHING, Conducts.BOND)
        found: dict[int, list[Part]] = {}
        for part in self.panel.parts:
            if part.conducts not in nothing:
                for place in {self.states.node(part.a), self.states.node(part.b)}:
                    found.setdefault(place, []).append(part)
        return found

    @cached_property
    def _sources_at(self) -> Mapping[int, Sequence[int]]:
        found: dict[int, list[int]] = {}
        for index in range(len(self.panel.sources)):
            for rail in self._rails_of(index):
                found.setdefault(rail, []).append(index)
        return found

    def _rails_of(self, index: int) -> set[int]:
        poles = self.panel.sources[index].poles
        return {self.states.pole_node(index, pole) for pole in poles}

    def _tied(self, sources: Sequence[int]) -> bool:
        """Whether each has a rail in common with one before it."""
        left = list(sources[1:])
        reached = self._rails_of(sources[0])
        while left:
            here = next((index for index in left if reached & self._rails_of(index)), None)
            if here is None:
                return False
            reached |= self._rails_of(here)
            left.remove(here)
        return True


def _solved(near: Near, draws: Mapping[int, Draw], closed: Callable[[Part], bool]) -> Steady | None:
    try:
        return solve_state(
            near.panel,
            Ratings(draws=draws),
            lambda part: part.index >= len(near.parts) or closed(near.parts[part.index]),
            lambda index: True,
        )
    except (SourcesInConflict, Undetermined, Unsettled):
        return None


def _across(steady: Steady, part: Part) -> float:
    volts = steady.volts(part.a, part.b)
    return sum(map(abs, volts.values())) if volts else 0.0


def _within_rating(part: Part, volts: float) -> bool:
    """What is said of a load that takes no more than rated holds only so far."""
    load = part.load
    if load is None or load.works not in AT_MOST_RATED or load.volts is None:
        return True
    return not exceeds(volts, load.volts * load.high)
