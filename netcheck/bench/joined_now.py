"""What is one place in one state of a panel, what holds places apart, and what that feeds.

The conditions of `states.behaviour` for one state alone: where it is known how every switch and
relay stands, joining terminals tells in one millisecond what making a machine tells in fifteen.
A state that is not plain (`InDoubt`) is left to the machine.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import permutations, product

from netcheck.bench.held_levels import held_levels
from netcheck.model.devices import Conducts, Part, SourcePart
from netcheck.model.panel import Panel
from netcheck.network.floods import met_first
from netcheck.network.nodes import Nodes
from netcheck.network.unions import Unions
from netcheck.solve.levels import Levels
from netcheck.states.volts import Volts, dc_volts, in_band

CIRCUIT = (Conducts.JOINS, Conducts.CONTACT, Conducts.ONE_WAY)
NOTHING_V = 1e-2
SAME_V = 1e-6
"""What rounding leaves between two ways of one voltage, at most."""


class InDoubt(Exception):
    """What a load gets cannot be told of this state alone."""


class Wired:
    """What is joined in every state of a panel, and what moves; `one_way` are the parts that in the
    sound panel lie where DC comes, and conduct one way."""

    def __init__(self, panel: Panel, nodes: Nodes, one_way: Container[int]) -> None:
        self.panel = panel
        self.node = nodes.of
        self.joined = Unions[int]()
        self.moving: list[tuple[Part, int, int]] = []
        """With the nodes of its ends."""
        self.on_dc: list[Part] = []
        self.on_ac: list[Part] = []
        """Such parts where DC comes, and those that may conduct one way and lie elsewhere."""
        for part in panel.parts:
            if part.conducts not in CIRCUIT:
                continue
            if part.index in one_way:
                self.on_dc.append(part)
                continue
            if part.is_one_way_on_dc:
                self.on_ac.append(part)
            if part.mechanism:
                self.moving.append((part, self.node[part.a], self.node[part.b]))
            else:
                self.joined.join(self.node[part.a], self.node[part.b])
        self.loads = [part for part in panel.parts if part.load is not None]
        self.poles = [
            {pole: self.node[f"{source.device}:{pole}"] for pole in source.poles}
            for source in panel.sources
        ]
        """Of each source its poles' nodes."""


class JoinedNow:
    """`stands` has the number of the position that each mechanism is in; `dead` are sources that
    give nothing, whatever they get.

    Raises InDoubt where a part that conducts one way lies otherwise than in the sound panel, or
    joins two rails otherwise than against the volts between them.
    """

    def __init__(self, wired: Wired, stands: Mapping[str, int], dead: Container[int] = ()) -> None:
        self._wired = wired
        self._dead = dead
        self._panel = wired.panel
        self._node = wired.node
        self._stands = stands
        self._joined = wired.joined.copy()
        for part, a, b in wired.moving:
            if stands[part.mechanism] in part.closed:
                self._joined.join(a, b)
        self._one_way = [part for part in wired.on_dc if self._is_closed(part)]
        ahead = [self._ends(part) for part in self._one_way]
        self._forwards = _beside(ahead)
        self._backwards = _beside((b, a) for a, b in ahead)
        find = self._joined.find
        self._poles = [{pole: find(at) for pole, at in poles.items()} for poles in wired.poles]
        self._rails = {rail for poles in self._poles for rail in poles.values()}
        self._before: dict[int, set[int]] = {}
        self._behind: dict[int, set[int]] = {}
        self.live: list[int] = []
        """The sources that give their voltage."""
        self._held: set[int] = set()
        """The places at which these have their poles."""
        self._levels: dict[str, Levels] = {}
        self.in_conflict = False
        """Whether the sources hold one place at two voltages."""
        self._find_live()
        if not self.in_conflict and (self._one_way_joins_rails() or self._lies_elsewhere()):
            raise InDoubt

    def _is_closed(self, part: Part) -> bool:
        return not part.mechanism or self._stands[part.mechanism] in part.closed

    def _ends(self, part: Part) -> tuple[int, int]:
        find, node = self._joined.find, self._node
        return find(node[part.a]), find(node[part.b])

    # ---- sources -------------------------------------------------------------------------------

    def _find_live(self) -> None:
        """Those that are on, then those that these feed, and so on: what feeds only itself is
        dead."""
        sources = enumerate(self._panel.sources)
        waiting = {number: one for number, one in sources if number not in self._dead}
        while started := [number for number, one in waiting.items() if self._is_live(one)]:
            for number in started:
                del waiting[number]
            self.live = sorted((*self.live, *started))
            self._hold_apart()

    def _is_live(self, source: SourcePart) -> bool:
        if source.mechanism:
            return self._stands[source.mechanism] == 1
        runs = not source.run or self._stands[source.run] == 1
        return runs and all(self.is_energised(self._panel.parts[one]) for one in source.inputs)

    def _hold_apart(self) -> None:
        poles = [(self._panel.sources[one], list(self._poles[one].values())) for one in self.live]
        self._held = {place for _, places in poles for place in places}
        for basis in {source.basis for source, _ in poles}:
            self._levels[basis], differs = held_levels(poles, basis)
            self.in_conflict |= any(volts > SAME_V for _, volts in differs)

    def _volts(self, p: int, q: int) -> Volts | None:
        """Of one rail against another; None where no live source holds them apart."""
        found = []
        for basis, levels in self._levels.items():
            if not (levels.knows(p) and levels.knows(q)):
                return None
            (root, above), (other, below) = levels.find(p), levels.find(q)
            if root != other:
                return None
            if abs(above - below) > NOTHING_V:
                found.append((basis, complex(above - below)))
        return tuple(sorted(found))

    # ---- loads ---------------------------------------------------------------------------------

    def is_energised(self, load: Part) -> bool:
        """Whether it has its working voltage by a way without another load."""
        assert load.load is not None
        fed = self._fed_by_one_source if self.in_conflict else self._fed
        return any(in_band(volts, load.load) for volts in fed(load))

    def _fed_by_one_source(self, load: Part) -> Iterator[Volts]:
        """In a short, where both ends may be one place, though not always."""
        ends = self._ends(load)
        if self._is_always_joined(load):
            return
        for number in self.live:
            source, places = self._panel.sources[number], self._poles[number]
            for one, other in permutations(source.poles, 2):
                if (places[one], places[other]) == ends:
                    yield ((source.basis, source.poles[one] - source.poles[other]),)

    def _fed(self, load: Part) -> Iterator[Volts]:
        """By each two rails at its ends, `a` against `b`, where current can pass that way."""
        a, b = self._ends(load)
        from_a, to_a = self._rails_before(a), self._rails_behind(a)
        from_b, to_b = self._rails_before(b), self._rails_behind(b)
        for p, q in product(from_a | to_a, from_b | to_b):
            volts = self._volts(p, q)
            if volts and dc_volts(volts) >= 0 and p in from_a and q in to_b:
                yield volts
            if volts and dc_volts(volts) < 0 and p in to_a and q in from_b:
                yield volts

    def _is_always_joined(self, load: Part) -> bool:
        joined = Unions[int]()
        for part in self._panel.parts:
            if part.conducts is Conducts.JOINS and self._is_closed(part) and not self._moves(part):
                joined.join(self._node[part.a], self._node[part.b])
        return joined.joined(self._node[load.a], self._node[load.b])

    def _moves(self, part: Part) -> bool:
        return bool(part.mechanism) and self._panel.mechanisms[part.mechanism].held is None

    def _rails_before(self, place: int) -> set[int]:
        """Those from which current can come here, with none between."""
        if place not in self._before:
            self._before[place] = self._rails_from([place], self._backwards)
        return self._before[place]

    def _rails_behind(self, place: int) -> set[int]:
        if place not in self._behind:
            self._behind[place] = self._rails_from([place], self._forwards)
        return self._behind[place]

    def _rails_from(self, places: Iterable[int], beside: Mapping[int, Sequence[int]]) -> set[int]:
        return met_first(places, beside, self._rails)

    def _one_way_joins_rails(self) -> bool:
        """Otherwise than against the volts between them, as the diode of a coil does not."""
        for rail in self._rails.intersection(self._forwards):
            for other in self._rails_from(self._forwards[rail], self._forwards) - {rail}:
                volts = self._volts(other, rail)
                both_held = {rail, other} <= self._held
                if both_held and (volts is None or dc_volts(volts) <= 0):
                    return True
        return False

    def _lies_elsewhere(self) -> bool:
        """Whether something that conducts one way on DC has changed between DC and AC."""
        kinds: dict[int, set[str]] = {}
        for number in self.live:
            for place in self._poles[number].values():
                kinds.setdefault(place, set()).add(self._panel.sources[number].kind)
        for parts, other in ((self._one_way, "AC"), (self._wired.on_ac, "DC")):
            for part in parts:
                for end in self._ends(part):
                    rails = self._rails_before(end) | self._rails_behind(end)
                    if any(other in kinds.get(rail, ()) for rail in rails):
                        return True
        return False

    def may_get_something(self, load: Part) -> bool:
        """Whether from its ends, through all that conducts and all other loads, two places are
        met that live sources hold."""
        a, b = self._ends(load)
        return a != b and len(met_first((a, b), self._through_loads, self._held)) > 1

    @cached_property
    def _through_loads(self) -> dict[int, list[int]]:
        """From each place where a load or one-way part leads."""
        ends = [self._ends(part) for part in (*self._wired.loads, *self._one_way)]
        return _beside([*ends, *((b, a) for a, b in ends)])


def _beside(ahead: Iterable[tuple[int, int]]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for place, other in ahead:
        found.setdefault(place, []).append(other)
    return found
