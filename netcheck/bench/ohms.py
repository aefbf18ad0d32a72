"""What an ohmmeter reads in a circuit with its power off: the part between its leads, and
every other way around it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from netcheck.bench.cold_ohms import ColdOhms, Sort, cold_ohms
from netcheck.bench.standing import Standing
from netcheck.model.devices import Conducts, Part
from netcheck.network.blocks import EdgesBetween
from netcheck.network.unions import Unions
from netcheck.record import record
from netcheck.solve.nodal import Branch, solve

OPEN_OHM = 1e8
"""More than this is no reading: the meter shows an open circuit."""
LEADS_OHM = 1.0
WINDING_OHM = 1e-3
"""Of a winding or load of unknown ohms at its least."""
SHARE = 0.01
"""A way that takes less than this share of the meter's current is not worth its name."""


@record
class Ohms:
    """Between two terminals, sources out and relays at rest: from `low` to `high`, by what
    windings of unknown ohms do; None is an open circuit.  `alone` is the load between them by
    itself, `beside` what else the meter's current passes, `lift` where to lift a wire."""

    a: str
    b: str
    low: float | None
    high: float | None
    alone: ColdOhms | None
    beside: tuple[str, ...]
    lift: str


@record
class OhmReading:
    """`ohms` with the `handles` open that are to be locked out first, and the sources `elsewhere`
    that nothing of the text opens; then nothing reaches the devices at the leads.  `stored` is
    what can still give them something."""

    ohms: Ohms
    handles: tuple[str, ...]
    elsewhere: tuple[str, ...]
    stored: tuple[str, ...]
    unlocked: tuple[str, ...] = ()
    """Of `elsewhere` the batteries: no lock parts anything from them."""


def ohms_between(standing: Standing, a: str, b: str, network: OhmNetwork | None = None) -> Ohms:
    """`standing` has its sources absent; `network` is what conducts in it, if that is known."""
    panel = standing.panel
    network = network or OhmNetwork(standing)
    load = next(
        (p for p in panel.parts_at.get(a, ()) if p.load is not None and {p.a, p.b} == {a, b}), None
    )
    high, beside_high = network.read(a, b, load, windings=False)
    low, beside_low = network.read(a, b, load, windings=True)
    wires = panel.wires_at.get(a, ())
    lift = f"lift {' and '.join(map(panel.wire_name, wires))} at {a}" if wires else ""
    return Ohms(
        a,
        b,
        low,
        high,
        cold_ohms(panel, load) if load is not None else None,
        tuple(dict.fromkeys((*beside_high, *beside_low))),
        lift,
    )


class OhmNetwork:
    """What conducts with the power off, for readings between many pairs of terminals.

    Windings and loads of unknown ohms are open in one copy and next to nothing in the other:
    the truth lies between.
    """

    def __init__(self, standing: Standing) -> None:
        self._loads: dict[int, Part] = {}
        self._branches = dict(self._drawn(standing))
        """By a number of their own; those of parts by the part's, of wires below nought."""
        self._copies = [_Copy(self._branches, windings=windings) for windings in (False, True)]
        self._moved: dict[int, _Ohmic | None] = {}
        """Branches that stand otherwise than when the copies were made; None where one is open."""

    def _drawn(self, standing: Standing) -> Iterator[tuple[int, _Ohmic]]:
        panel, ratings = standing.panel, standing.numbers.ratings
        for number, wire in enumerate(panel.wires, -len(panel.wires)):
            ohm = ratings.wire_ohm.get(wire.index, 0j).real
            yield number, _Ohmic(wire.a, wire.b, ohm, ohm)
        for part in panel.parts:
            branch = _of_part(standing, part)
            if branch is not None:
                yield part.index, branch
                if part.load is not None:
                    self._loads[part.index] = part
        for number, one in enumerate(ratings.couplings, len(panel.parts)):
            yield number, _Ohmic(one.second_a, one.second_b, None, WINDING_OHM)

    def joined(self) -> Unions[str]:
        """Terminals between which a meter cannot tell any ohms: by wire and closed contacts."""
        found = Unions[str]()
        for one in self._branches.values():
            if one.high is not None and one.high < LEADS_OHM:
                found.join(one.a, one.b)
        return found

    def after(self, standing: Standing, moved: Iterable[Part]) -> OhmNetwork:
        """The same where these contacts stand otherwise."""
        found = object.__new__(OhmNetwork)
        found._loads, found._copies = self._loads, self._copies
        now = {part.index: _of_part(standing, part) for part in moved}
        found._moved = {n: one for n, one in now.items() if one != self._branches.get(n)}
        found._branches = {**self._branches, **{n: one for n, one in now.items() if one}}
        return found

    def is_moved_between(self, a: str, b: str) -> bool:
        """Whether what moved may have a say in what is read between two terminals."""
        ways = self._copies[True].between((a, b))
        return any(
            number in ways if one is None else self._copies[True].meets((a, b), (one.a, one.b))
            for number, one in self._moved.items()
        )

    def read(
        self, a: str, b: str, own: Part | None, *, windings: bool
    ) -> tuple[float | None, list[str]]:
        """Ohms between the leads, None where it is open; the loads beside its `own` that carry
        a share worth its name."""
        numbers = self._ways(a, b, windings=windings)
        branches = [Branch(a, b, LEADS_OHM, 1.0)]
        branches += [self._branches[number].branch(windings=windings) for number in numbers]
        solution = solve(branches)
        through, across = abs(solution.current_a(0) or 0), abs(solution.volts(a, b) or 0)
        beside = [
            self._loads[number].label
            for place, number in enumerate(numbers, 1)
            if number in self._loads and (own is None or number != own.index)
            if through and abs(solution.current_a(place) or 0) > SHARE * through
        ]
        if through * OPEN_OHM < 1.0:
            return None, beside
        return max(0.0, across / through), beside

    def _ways(self, a: str, b: str, *, windings: bool) -> list[int]:
        """All that can carry a meter's current, and little besides: a way over what has closed
        since goes from one end of such to the next by what conducted before."""
        closed = {number: one for number, one in self._moved.items() if one is not None}
        ends = dict.fromkeys([a, b, *(end for one in closed.values() for end in (one.a, one.b))])
        return sorted((self._copies[windings].between(tuple(ends)) - {*self._moved}) | {*closed})


@record
class _Ohmic:
    """Between two terminals; None where it is open."""

    a: str
    b: str
    high: float | None
    low: float | None

    def branch(self, *, windings: bool) -> Branch:
        ohm = self.low if windings else self.high
        assert ohm is not None
        return Branch(self.a, self.b, ohm)


class _Copy:
    """Which branches lie on a way between two terminals: no other carries a meter's current."""

    def __init__(self, branches: dict[int, _Ohmic], *, windings: bool) -> None:
        kept = {n: one for n, one in branches.items() if windings or one.high is not None}
        self._numbers = list(kept)
        self._place: dict[str, int] = {}
        ends = [(self._at(one.a), self._at(one.b)) for one in kept.values()]
        self._edges = EdgesBetween(len(self._place), ends)

    def _at(self, terminal: str) -> int:
        return self._place.setdefault(terminal, len(self._place))

    def between(self, terminals: Sequence[str]) -> set[int]:
        """All on a way between any two of these."""
        places = [self._place[terminal] for terminal in terminals if terminal in self._place]
        return {
            self._numbers[edge]
            for one, other in combinations(places, 2)
            for edge in self._edges.edges_between(one, other)
        }

    def meets(self, terminals: Sequence[str], others: Sequence[str]) -> bool:
        """Whether anything joins one of these to one of the others."""
        root = self._edges.tree.root
        one, other = (
            {root[self._place[t]] if t in self._place else t for t in ends}
            for ends in (terminals, others)
        )
        return not one.isdisjoint(other)


def _of_part(standing: Standing, part: Part) -> _Ohmic | None:
    low, high = (_ohm_of(standing, part, unknown) for unknown in (WINDING_OHM, None))
    return None if low is None else _Ohmic(part.a, part.b, high, low)


def _ohm_of(standing: Standing, part: Part, unknown_ohm: float | None) -> float | None:
    if part.a == part.b or part.conducts is Conducts.ONE_WAY:
        return None
    if part.load is None:
        return 0.0 if standing.closed(part) else None
    told = cold_ohms(standing.panel, part)
    if told.sort is Sort.KNOWN:
        return told.part_ohm
    return None if told.sort is Sort.ELECTRONIC else unknown_ohm
