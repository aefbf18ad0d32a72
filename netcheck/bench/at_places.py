"""A standing panel in numbers, wires and closed contacts taken as one place each.

For many readings of many faults: the solver then sees loads and sources alone, round after
round, where it would join some hundred wires anew each time.  Nothing is left out: what is
joined without resistance has no voltage along it.  And most faults of one circuit leave its
loads and sources joined alike, wherever on the way they are: what is joined alike is solved once.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence

from netcheck.bench.readings import Reading, Volts, shown
from netcheck.bench.standing import Standing, leaking
from netcheck.facts.component_values import ComponentValues
from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.unions import Unions
from netcheck.record import replace
from netcheck.solve.blocks import KnownBlocks
from netcheck.solve.ratings import Ratings
from netcheck.solve.steady import Across, Steady
from netcheck.states.answers import Undecided

WIRES = (Conducts.JOINS, Conducts.BOND, Conducts.CONTACT)
IDLE = (*WIRES, Conducts.NOTHING)
"""What the solver need not see once all that is joined is one place."""
INERT = Part(0, "", "", "", "", Conducts.NOTHING)
"""In the place of every part that is no longer needed: numbers stay as they are."""


class _Answer:
    """One network, solved, and what was read of it."""

    def __init__(self, steady: Steady | Undecided) -> None:
        self.steady = steady
        self._volts: dict[tuple[str, str], Volts | None] = {}
        self._read: dict[tuple[str, str], Reading] = {}

    def volts(self, pair: tuple[str, str]) -> Volts | None:
        """None where it floats.  There have to be numbers."""
        assert not isinstance(self.steady, Undecided)
        if pair not in self._volts:
            self._volts[pair] = self.steady.volts(*pair)
        return self._volts[pair]

    def reading(self, pair: tuple[str, str]) -> Reading:
        """There have to be numbers."""
        if pair not in self._read:
            self._read[pair] = shown(self.volts(pair))
        return self._read[pair]


class Solved:
    """The networks of one panel that were solved already, by all that the solver sees of them;
    `rated` is what its devices are made for."""

    def __init__(self, rated: ComponentValues) -> None:
        self.rated = rated
        self.answers: dict[Hashable, _Answer] = {}
        self.blocks = KnownBlocks()
        self._placed: dict[tuple[int, str, str], tuple[Part, Part]] = {}
        self._wired: dict[tuple[int, ...], tuple[Sequence[Wire], Unions[str]]] = {}
        self._fixed: dict[int, _Fixed] = {}

    def wired(self, wires: Sequence[Wire]) -> Unions[str]:
        """Terminals as these wires join them, to go on from.  Most faults leave all wires as
        they are, or are one value more of a joint in the same one."""
        key = tuple(map(id, wires))
        if key not in self._wired:
            # With the wires themselves, so that none of these numbers is ever another's.
            self._wired[key] = wires, _wired(wires)
        return self._wired[key][1].copy()

    def placed(self, part: Part, a: str, b: str) -> Part:
        """A part between two places."""
        key = (id(part), a, b)
        if key not in self._placed:
            # With the part itself, as above.
            self._placed[key] = part, replace(part, a=a, b=b)
        return self._placed[key][1]

    def fixed(self, panel: Panel) -> _Fixed:
        """What of a panel hangs on nothing that moves: it is asked for as often as a relay does."""
        known = self._fixed.get(id(panel))
        if known is None:
            known = self._fixed[id(panel)] = _Fixed(panel, self.wired(panel.wires))
        return known


class _Fixed:
    """A panel, its terminals as wires and what always joins them, in numbered spots, and the parts
    that move, that leak and that the solver sees between these."""

    def __init__(self, panel: Panel, wired: Unions[str]) -> None:
        self.panel = panel  # kept, so that its number is never another's
        self._joined = wired
        self._spots: dict[str, int] = {}
        wires = [part for part in panel.parts if part.conducts in WIRES]
        for part in wires:
            if not part.mechanism:
                wired.join(part.a, part.b)
        self.moving = [
            (self.spot(part.a), self.spot(part.b), part.mechanism, part.closed)
            for part in wires
            if part.mechanism
        ]
        self.leaking = leaking(panel)
        self.seen = [
            (part, self.spot(part.a), self.spot(part.b), f"{part.index} a", f"{part.index} b")
            for part in panel.parts
            if part.conducts not in IDLE
        ]
        self.numbers = tuple(part.index for part, *_ in self.seen)
        poles = [f"{one.device}:{pole}" for one in panel.sources for pole in one.poles]
        self.poles = [(pole, self.spot(pole)) for pole in poles]

    def spot(self, terminal: str) -> int:
        """The same for terminals that are always joined."""
        root = self._joined.find(terminal)
        return self._spots.setdefault(root, len(self._spots))

    def at(self, terminal: str, places: Sequence[int]) -> int:
        """What `places` say of a terminal; one that was not met before is a place of its own."""
        spot = self.spot(terminal)
        return places[spot] if spot < len(places) else spot

    def places(self, *stands: Mapping[str, int]) -> list[int]:
        """By spot the least one that is joined to it, however mechanisms stand of these ways."""
        place = list(range(len(self._spots)))
        for a, b, mechanism, closed in self.moving:
            if all(one[mechanism] in closed for one in stands):
                while place[a] != a:
                    a = place[a]
                while place[b] != b:
                    b = place[b]
                place[max(a, b)] = min(a, b)
        for spot, lower in enumerate(place):  # which has been led to the least one already
            place[spot] = place[lower]
        return place


class AtPlaces:
    """`steady` is Undecided where there are no numbers."""

    def __init__(self, standing: Standing, solved: Solved) -> None:
        self._standing = standing
        panel, ratings = standing.panel, standing.ratings
        self._fixed = fixed = solved.fixed(panel)
        self._places = fixed.places(standing.states.stands(standing.values))
        self._named: dict[int, str] = {}
        """Of each place that the solver sees, by what stands for its terminals: a pole, if there
        is one among them, else the first end that the solver sees there, so that a place is
        called alike whatever became of others."""
        self._twins: list[tuple[str, str]] = []
        for pole, spot in fixed.poles:
            named = self._named.setdefault(self._places[spot], pole)
            if named != pole:
                self._twins.append((named, pole))
        ratings = self._ratings(ratings)
        ends = self._ends()
        across = self._across(standing.across(fixed.leaking))
        answers = solved.answers if solved.rated is standing.rated else {}
        key = self._seen(ends, ratings, across)
        if key not in answers:
            placed = self._panel(ends, solved)
            steady = standing.solve_as(placed, ratings, across, known=solved.blocks)
            answers[key] = _Answer(steady)
        self._answer = answers[key]

    @property
    def steady(self) -> Steady | Undecided:
        return self._answer.steady

    @property
    def solved(self) -> bool:
        return not isinstance(self.steady, Undecided)

    def reading(self, red: str, black: str) -> Reading | None:
        if not self.solved:
            return None
        pair = self._pair(red, black)
        if pair is None:  # nothing is there but wire
            return Reading(floats=self._at(red) != self._at(black))
        return self._answer.reading(pair)

    def volts(self, red: str, black: str) -> Volts | None:
        """None where it floats.  There have to be numbers."""
        pair = self._pair(red, black)
        if pair is None:
            return None if self._at(red) != self._at(black) else {}
        return self._answer.volts(pair)

    def _pair(self, red: str, black: str) -> tuple[str, str] | None:
        named = self._named.get(self._at(red)), self._named.get(self._at(black))
        return None if named[0] is None or named[1] is None else (named[0], named[1])

    def place_however(self, others: Standing) -> Callable[[str], int]:
        """Of each terminal, as it is with mechanisms here and as they stand there."""
        own = self._standing
        stands = [one.states.stands(one.values) for one in (own, others)]
        places = self._fixed.places(*stands)
        return lambda terminal: self._fixed.at(terminal, places)

    def _at(self, terminal: str) -> int:
        return self._fixed.at(terminal, self._places)

    def _place(self, terminal: str, name: str) -> str:
        return self._named.setdefault(self._at(terminal), name)

    def _ends(self) -> list[tuple[str, str]]:
        """Of each part that the solver sees."""
        places, name = self._places, self._named.setdefault
        return [
            (name(places[a], name_a), name(places[b], name_b))
            for _, a, b, name_a, name_b in self._fixed.seen
        ]

    def _seen(
        self,
        ends: Sequence[tuple[str, str]],
        ratings: Ratings,
        across: tuple[Across, ...],
    ) -> Hashable:
        """All that the solver sees that differs from one fault of a panel to another."""
        standing, draws = self._standing, self._standing.numbers.ratings.draws
        sources = standing.panel.sources
        return (
            tuple(ends),
            self._fixed.numbers,
            tuple(self._twins),
            tuple((standing.present(i), *one.poles.items()) for i, one in enumerate(sources)),
            frozenset(draws.keys() - ratings.draws.keys()),
            tuple((i, ratings.draws[i].ohm) for i in sorted(ratings.draws.keys() - draws.keys())),
            tuple((one.second_a, one.second_b) for one in ratings.couplings),
            tuple((one.a, one.b, one.ohm) for one in across),
            standing.running,
        )

    def _panel(self, ends: Sequence[tuple[str, str]], solved: Solved) -> Panel:
        panel = self._fixed.panel
        parts = [INERT] * len(panel.parts)
        for (part, *_), (a, b) in zip(self._fixed.seen, ends, strict=True):
            parts[part.index] = solved.placed(part, a, b)
        for number, (a, b) in enumerate(self._twins, len(parts)):
            parts.append(Part(number, "", "place", a, b, Conducts.JOINS))
        return replace(panel, wires=(), parts=tuple(parts))

    def _ratings(self, ratings: Ratings) -> Ratings:
        couplings = tuple(
            replace(
                one,
                second_a=self._place(one.second_a, f"second of {one.first} a"),
                second_b=self._place(one.second_b, f"second of {one.first} b"),
            )
            for one in ratings.couplings
        )
        return replace(ratings, wire_ohm={}, couplings=couplings)

    def _across(self, extra: Iterable[Across]) -> tuple[Across, ...]:
        return tuple(
            replace(
                one, a=self._place(one.a, f"{at} across a"), b=self._place(one.b, f"{at} across b")
            )
            for at, one in enumerate(extra)
        )


def _wired(wires: Iterable[Wire]) -> Unions[str]:
    joined = Unions[str]()
    for wire in wires:
        joined.join(wire.a, wire.b)
    return joined
