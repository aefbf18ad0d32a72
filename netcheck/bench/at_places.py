"""A standing panel in numbers, wires and closed contacts taken as one place each.

For many readings of many faults: the solver then sees loads and sources alone, round after
round, where it would join some hundred wires anew each time.  Nothing is left out: what is
joined without resistance has no voltage along it.
"""

from __future__ import annotations

from collections.abc import Iterable

from netcheck.bench.readings import Reading, read
from netcheck.bench.standing import Standing
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.network.unions import Unions
from netcheck.record import replace
from netcheck.solve.ratings import Ratings
from netcheck.solve.steady import Across, Steady
from netcheck.states.answers import Undecided

WIRES = (Conducts.JOINS, Conducts.BOND, Conducts.CONTACT)
INERT = Part(0, "", "", "", "", Conducts.NOTHING)
"""In the place of every part that is no longer needed: numbers stay as they are."""


class AtPlaces:
    """`steady` is Undecided where there are no numbers."""

    def __init__(self, standing: Standing) -> None:
        self._joined = _joined(standing)
        poles = [f"{one.device}:{pole}" for one in standing.panel.sources for pole in one.poles]
        self._known: dict[tuple[str, str], Reading] = {}
        self._named: dict[str, str] = {}
        self._twins: list[tuple[str, str]] = []
        for pole in poles:
            named = self._named.setdefault(self._joined.find(pole), pole)
            if named != pole:
                self._twins.append((named, pole))
        self.steady: Steady | Undecided = standing.solve_as(
            self._panel(standing.panel),
            self._ratings(standing.ratings),
            self._across(standing.across()),
        )

    @property
    def solved(self) -> bool:
        return not isinstance(self.steady, Undecided)

    def reading(self, red: str, black: str) -> Reading | None:
        if isinstance(self.steady, Undecided):
            return None
        pair = self._place(red), self._place(black)
        if pair not in self._known:
            self._known[pair] = read(self.steady, *pair)
        return self._known[pair]

    def _place(self, terminal: str) -> str:
        """The terminal that stands for all it is joined to: a pole, if there is one among them."""
        root = self._joined.find(terminal)
        return self._named.get(root, root)

    def _panel(self, panel: Panel) -> Panel:
        parts = [self._moved(part) for part in panel.parts]
        for number, (a, b) in enumerate(self._twins, len(parts)):
            parts.append(Part(number, "", "place", a, b, Conducts.JOINS))
        return replace(panel, wires=(), parts=tuple(parts))

    def _moved(self, part: Part) -> Part:
        if part.conducts in WIRES or part.conducts is Conducts.NOTHING:
            return INERT
        a, b = self._place(part.a), self._place(part.b)
        return part if (a, b) == (part.a, part.b) else replace(part, a=a, b=b)

    def _ratings(self, ratings: Ratings) -> Ratings:
        couplings = tuple(
            replace(one, second_a=self._place(one.second_a), second_b=self._place(one.second_b))
            for one in ratings.couplings
        )
        return replace(ratings, wire_ohm={}, couplings=couplings)

    def _across(self, extra: Iterable[Across]) -> tuple[Across, ...]:
        return tuple(replace(o, a=self._place(o.a), b=self._place(o.b)) for o in extra)


def _joined(standing: Standing) -> Unions[str]:
    joined = Unions[str]()
    for wire in standing.panel.wires:
        joined.join(wire.a, wire.b)
    for part in standing.panel.parts:
        if part.conducts in WIRES and standing.closed(part):
            joined.join(part.a, part.b)
    return joined
