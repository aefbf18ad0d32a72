"""Steady voltages and currents of a panel in one state.

Sources that are not in step are solved one system at a time (DC, each AC system) with the
others as their own impedance, and superposed.  What is not linear is met by repeating:
loads that hold their current or power, diodes, supplies that limit, supplies that start
only when they are fed.  A repetition that does not settle is said, never passed off.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence

from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.solve.nodal import Branch, Layout, Node, Solution, Winding
from netcheck.solve.ratings import Conversion, Draw, Ratings

Basis = str
DC = "DC"
MOST_ROUNDS = 60
CLOSE_ENOUGH = 1e-6
"""Two rounds that differ by less than this share of a voltage have settled."""
LIMITING_OHM = 1e6
"""So much in series with a supply's limit makes it a source of current."""
BLOCKING_OHM = 1e9
"""Of a diode that blocks: so much that it takes nothing, and yet nothing behind it floats."""
FORWARD = 1e-6
"""Amperes or volts that decide which way a diode stands; less is none."""


class Unsettled(Exception):
    """The rounds did not come to rest."""


@record
class Across:
    """Something extra between two terminals, such as a meter of `ohm`."""

    a: str
    b: str
    ohm: float


class Steady:
    """The panel in one state, solved."""

    def __init__(self, network: _Network, solutions: Mapping[Basis, Solution]) -> None:
        self._network = network
        self._solutions = solutions

    def volts(self, a: str, b: str) -> dict[Basis, complex] | None:
        """Volts of terminal `a` against `b` by system; None where nothing fixes it (it floats).

        Terminals that nothing meets float.
        """
        found: dict[Basis, complex] = {}
        for basis, solution in self._solutions.items():
            try:
                volts = solution.volts(a, b)
            except KeyError:
                return None if a != b else {}
            if volts is None:
                return None
            found[basis] = volts
        return found

    def wire_a(self, index: int) -> dict[Basis, complex | None]:
        """Amperes through a wire from its `a` to its `b`; None where ideal wires share."""
        return self._current(self._network.wires.get(index))

    def part_a(self, index: int) -> dict[Basis, complex | None]:
        """Amperes through a part from its `a` to its `b`; nothing where it is open."""
        return self._current(self._network.parts.get(index))

    def source_a(self, index: int, pole: str) -> dict[Basis, complex | None]:
        """Amperes that leave a source at a pole."""
        given = self._current(self._network.poles.get((index, pole)))
        return {basis: None if a is None else -a for basis, a in given.items()}

    def _current(self, branch: int | None) -> dict[Basis, complex | None]:
        if branch is None:
            return {}
        return {basis: one.current_a(branch) for basis, one in self._solutions.items()}


def solve_state(
    panel: Panel,
    ratings: Ratings,
    closed: Callable[[Part], bool],
    present: Callable[[int], bool],
    extra: Iterable[Across] = (),
    without: frozenset[int] = frozenset(),
) -> Steady:
    """The panel with these contacts and protective devices closed, these sources present.

    `extra` is added between terminals; wires in `without`, by index, are open.

    A source with inputs is present only while they are also fed.  Raises SourcesInConflict,
    Undetermined (see `nodal`) and Unsettled.
    """
    return _Rounds(panel, ratings, closed, present, tuple(extra), without).settled()


class _Network:
    """Which branch of the linear network stands for what."""

    def __init__(self) -> None:
        self.branches: list[Branch] = []
        self.wires: dict[int, int] = {}
        self.parts: dict[int, int] = {}
        self.poles: dict[tuple[int, str], int] = {}
        self.layout: Layout | None = None

    def add(self, a: Node, b: Node, ohm: complex, volts: complex = 0) -> int:
        self.branches.append(Branch(a, b, ohm, volts))
        return len(self.branches) - 1

    def solve(self, windings: Sequence[Winding]) -> Solution:
        """Raises SourcesInConflict and Undetermined."""
        self.layout = self.layout or Layout(self.branches, windings)
        return self.layout.solve(self.branches)

    def redraw(self, ohms: Iterable[tuple[int, complex]]) -> bool:
        """Take other ohms of these parts; False where nought comes in or goes: that joins nodes."""
        branches = list(self.branches)  # what was solved keeps its own
        for index, ohm in ohms:
            place = self.parts[index]
            before = branches[place]
            if ohm != before.ohm:
                if not ohm or not before.ohm:
                    return False
                branches[place] = Branch(before.a, before.b, ohm, before.volts)
        self.branches = branches
        return True


class _Rounds:
    """What is assumed of everything that is not linear, from round to round."""

    def __init__(
        self,
        panel: Panel,
        ratings: Ratings,
        closed: Callable[[Part], bool],
        present: Callable[[int], bool],
        extra: Sequence[Across],
        without: frozenset[int],
    ) -> None:
        self.panel = panel
        self.ratings = ratings
        self.extra = extra
        self.without = without
        self.open = {p.index for p in panel.parts if _moves(p) and not closed(p)}
        self.conducting = [p for p in panel.parts if p.conducts is not Conducts.NOTHING]
        self.diodes = [p for p in panel.parts if p.conducts is Conducts.ONE_WAY]
        coupled = {coupling.first for coupling in ratings.couplings}
        self.coupled_sources = {
            index for index, one in enumerate(panel.sources) if coupled.intersection(one.inputs)
        }
        self.allowed = {index for index in range(len(panel.sources)) if present(index)}
        converted = {conversion.source for conversion in ratings.conversions}
        self.live = self.allowed - converted - self.coupled_sources
        self.ohms = {index: draw.ohm for index, draw in ratings.draws.items()}
        self.limits = {one.source: one.limit_a for one in ratings.conversions}
        self.varying = [index for index, draw in ratings.draws.items() if draw.holds != "ohm"]
        self.varying += [one.input for one in ratings.conversions]
        self._networks: dict[Hashable, _Network] = {}
        self.limiting: set[int] = set()
        """Supplies that give their limit, at whatever voltage that makes."""
        self.blocking = {part.index for part in self.diodes}
        """Most diodes lie across a coil and block; those that conduct are found."""

    def settled(self) -> Steady:
        for _ in range(MOST_ROUNDS):
            steady = self._solved()
            if not self._moved(steady):
                return steady
        raise Unsettled

    def _solved(self) -> Steady:
        bases = sorted({self.panel.sources[index].basis for index in self.live}) or [DC]
        network = _Network()
        solutions = {}
        for basis in bases:
            network = self._network(basis)
            solutions[basis] = network.solve(self._windings())
        return Steady(network, solutions)

    # ---- the linear network --------------------------------------------------------------

    def _network(self, basis: Basis) -> _Network:
        """That of a round before, where loads alone are taken otherwise."""
        sets = (self.blocking, self.live, self.limiting, self.ohms)
        stands = (basis, *map(frozenset, sets))
        known = self._networks.get(stands)
        if known is None or not known.redraw(self._redrawn(basis)):
            known = self._networks[stands] = self._drawn(basis)
        return known

    def _redrawn(self, basis: Basis) -> Iterator[tuple[int, complex]]:
        for index in self.varying:
            ohm = self._ohm(self.panel.parts[index], basis)
            if ohm is not None:
                yield index, ohm

    def _drawn(self, basis: Basis) -> _Network:
        network, ratings = _Network(), self.ratings
        for wire in self.panel.wires:
            if wire.index in self.without:
                continue
            ohm = ratings.wire_ohm.get(wire.index, 0)
            network.wires[wire.index] = network.add(
                wire.a, wire.b, ohm if basis != DC else ohm.real
            )
        for part in self.conducting:
            part_ohm = self._ohm(part, basis)
            if part_ohm is not None:
                network.parts[part.index] = network.add(part.a, part.b, part_ohm)
        for index, source in enumerate(self.panel.sources):
            if index not in self.live:
                continue
            for pole, potential in source.poles.items():
                volts, ohm = self._driven(index, potential)
                network.poles[index, pole] = network.add(
                    f"{source.device}:{pole}",
                    ("reference", index),
                    ohm,
                    volts if source.basis == basis else 0,
                )
        for across in self.extra:
            network.add(across.a, across.b, across.ohm)
        return network

    def _driven(self, index: int, potential: complex) -> tuple[complex, complex]:
        """Volts and ohm of a pole against its source's reference."""
        limit_a = self.limits.get(index)
        if not potential:
            return 0, 0
        if index in self.limiting and limit_a is not None:
            return limit_a * LIMITING_OHM * potential / abs(potential), LIMITING_OHM
        return potential, self.ratings.source_ohm.get(index, 0)

    def _ohm(self, part: Part, basis: Basis) -> complex | None:
        """What stands for a part; None where it is open."""
        if part.conducts in (Conducts.JOINS, Conducts.BOND, Conducts.CONTACT):
            return None if part.index in self.open else 0
        if part.conducts is Conducts.ONE_WAY:
            return BLOCKING_OHM if part.index in self.blocking and basis == DC else 0
        if part.conducts is not Conducts.LOAD:
            return None
        ohm = self.ohms.get(part.index)
        return ohm if ohm is None or basis != DC else ohm.real

    def _windings(self) -> list[Winding]:
        parts = self.panel.parts
        return [
            Winding(parts[c.first].a, parts[c.first].b, c.second_a, c.second_b, c.ratio, c.ohm)
            for c in self.ratings.couplings
        ]

    # ---- from round to round -------------------------------------------------------------

    def _moved(self, steady: Steady) -> bool:
        """Whether anything has to be taken otherwise than in the round that was solved."""
        if self._turn_diodes(steady) or self._switch_supplies(steady) or self._limit(steady):
            return True
        drawn = [
            self._redraw(steady, self.panel.parts[index], draw)
            for index, draw in self.ratings.draws.items()
            if draw.holds != "ohm"
        ]
        taken = [self._take_in(steady, conversion) for conversion in self.ratings.conversions]
        return any(drawn) or any(taken)

    def _turn_diodes(self, steady: Steady) -> bool:
        """The first diode that stands wrong is turned; one a round, so that none race."""
        for part in self.diodes:
            if part.index in self.blocking:
                ahead = _dc(steady.volts(part.a, part.b))
                if ahead > FORWARD:
                    self.blocking.remove(part.index)
                    return True
            else:
                amperes = steady.part_a(part.index).get(DC, 0)
                if amperes is not None and amperes.real < -FORWARD:
                    self.blocking.add(part.index)
                    return True
        return False

    def _switch_supplies(self, steady: Steady) -> bool:
        before = set(self.live)
        for conversion in self.ratings.conversions:
            if self._is_fed(steady, conversion) and conversion.source in self.allowed:
                self.live.add(conversion.source)
            else:
                self.live.discard(conversion.source)
        return self.live != before

    def _is_fed(self, steady: Steady, conversion: Conversion) -> bool:
        """Also the inputs without which a drive cannot run, such as those of safe torque off."""
        inputs = self.panel.sources[conversion.source].inputs
        return all(self._has_its_volts(steady, self.panel.parts[index]) for index in inputs)

    def _has_its_volts(self, steady: Steady, part: Part) -> bool:
        load = part.load
        volts = _size(steady.volts(part.a, part.b))
        if load is None or load.volts is None:
            return volts > 0
        return load.volts * load.low <= volts <= load.volts * load.high * (1 + CLOSE_ENOUGH)

    def _limit(self, steady: Steady) -> bool:
        """The first supply that gives too much, or limits without need, is taken otherwise."""
        for index, limit_a in self.limits.items():
            if index not in self.live or limit_a is None:
                continue
            if index in self.limiting:
                nominal_v = self._nominal_v(index)
                if self._output_v(steady, index) > nominal_v * (1 + CLOSE_ENOUGH):
                    self.limiting.remove(index)
                    return True
            elif max(self._given_a(steady, index), default=0.0) > limit_a * (1 + CLOSE_ENOUGH):
                self.limiting.add(index)
                return True
        return False

    def _output_v(self, steady: Steady, index: int) -> float:
        source = self.panel.sources[index]
        high, low = (f"{source.device}:{pole}" for pole in list(source.poles)[:2])
        return _size(steady.volts(high, low))

    def _nominal_v(self, index: int) -> float:
        """Between the same poles, as it is rated."""
        first, second = list(self.panel.sources[index].poles.values())[:2]
        return abs(first - second)

    def _given_a(self, steady: Steady, index: int) -> list[float]:
        """At each pole but its reference: of a drive all three lines, each of which its rating
        is for."""
        lifted = self._lifted(index)
        return [_size(steady.source_a(index, pole)) for pole in lifted]

    def _lifted(self, index: int) -> dict[str, float]:
        poles = self.panel.sources[index].poles
        return {pole: abs(potential) for pole, potential in poles.items() if potential}

    def _given_w(self, steady: Steady, index: int) -> float:
        """As if in step: volts of each pole against the reference, by its amperes."""
        rated = zip(self._lifted(index).values(), self._given_a(steady, index), strict=True)
        share = self._output_v(steady, index) / self._nominal_v(index)
        return share * sum(volts * amperes for volts, amperes in rated)

    def _redraw(self, steady: Steady, part: Part, draw: Draw) -> bool:
        share = max(_size(steady.volts(part.a, part.b)) / draw.volts, draw.least_share)
        wanted = draw.ohm * (share if draw.holds == "current" else share * share)
        return _changes(self.ohms, part.index, wanted)

    def _take_in(self, steady: Steady, conversion: Conversion) -> bool:
        """A supply takes in what it gives, over its efficiency, at whatever voltage."""
        part = self.panel.parts[conversion.input]
        index = conversion.source
        volts = _size(steady.volts(part.a, part.b))
        watts = conversion.idle_w
        if index in self.live:
            watts += self._given_w(steady, index) / conversion.efficiency
        if not volts or not watts:
            return False
        return _changes(self.ohms, part.index, complex(volts * volts / watts))


def _moves(part: Part) -> bool:
    """Contacts, and breakers and disconnects that may stand open."""
    return part.conducts is Conducts.CONTACT or (
        part.conducts is Conducts.JOINS and bool(part.mechanism)
    )


def _changes(values: dict[int, complex] | dict[int, float], index: int, wanted: complex) -> bool:
    """Put a value in; whether it differs from the one that was there."""
    before = values.get(index)
    values[index] = wanted  # type: ignore[assignment]
    if before is None:
        return True
    return abs(wanted - before) > CLOSE_ENOUGH * max(abs(wanted), abs(before))


def _dc(volts: Mapping[Basis, complex] | None) -> float:
    return volts.get(DC, 0j).real if volts else 0.0


def _size(values: Mapping[Basis, complex | None] | None) -> float:
    """What a meter shows of voltages or currents of several systems, added as if in step."""
    return sum(abs(value) for value in values.values() if value is not None) if values else 0.0
