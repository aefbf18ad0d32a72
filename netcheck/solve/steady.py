"""Steady voltages and currents of a panel in one state.

Sources that are not in step are solved one system at a time (DC, each AC system) with the
others as their own impedance, and superposed.  What is not linear is met by repeating:
loads that hold their current or power, diodes, supplies that limit, supplies that start
only when they are fed.  A repetition that does not settle is said, never passed off.

A diode is ideal: wire forwards, open backwards, and stands one way for all systems at once.  Where
AC comes it may stand otherwise in the one half of each cycle than in the other: as the mean of that
half drives it, two root two over pi of an effective value, together with the DC there is.  Systems
that are not in step are taken as if their waves met.  So each half is a network of its own.  What
is told of AC is the mean of the two, of DC with it what they rectify: behind one diode half the
volts AC and 0.45 times these DC, behind a bridge 0.9 times DC and no AC, for harmonics are left
out.  A diode conducts for a whole half or not at all: DC that is more than that mean and less than
the peak holds it back, though in truth the tips of the waves come through.

A supply limits what it gives itself: what another system drives through its output, a capacitor, it
neither holds back nor takes in as power.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from math import copysign, pi, sqrt

from netcheck.model.devices import Conducts, Part
from netcheck.model.panel import Panel
from netcheck.record import record
from netcheck.solve.blocks import Block, Blocks, Element, KnownBlocks, Label
from netcheck.solve.nodal import Node, Solution, Winding
from netcheck.solve.ratings import Conversion, Draw, Ratings

Basis = str
DC = "DC"
AC = "AC"
"""Any system of that kind."""
MOST_ROUNDS = 60
CLOSE_ENOUGH = 1e-6
"""Two rounds that differ by less than this share of a voltage have settled."""
LIMITING_OHM = 1e6
"""So much in series with a supply's limit makes it a source of current."""
BLOCKING_OHM = 1e9
"""Of a diode that blocks: so much that it takes nothing, and yet nothing behind it floats."""
FORWARD = 1e-6
"""Amperes or volts that decide which way a diode stands; less is none."""


HALVES = (1, -1)
"""Of a cycle: the sign of an alternating value in each."""
HALF_MEAN = 2 * sqrt(2) / pi
"""Of a sine in one half, for each volt or ampere that a meter shows."""


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

    def __init__(
        self, blocks: Blocks, solved: Mapping[Block, _Solved], live: frozenset[int]
    ) -> None:
        self._blocks, self._solved = blocks, solved
        self.live = live
        """The sources, by their numbers, that give their voltage."""

    def volts(self, a: str, b: str) -> dict[Basis, complex] | None:
        """Volts of terminal `a` against `b` by system; None where nothing fixes it (it floats).

        Terminals that nothing meets float.
        """
        steps = self._blocks.steps(a, b)
        if steps is None:
            return None if a != b else {}
        return self._along(steps)

    def driven(self, a: str, b: str) -> dict[Basis, complex]:
        """The same, nothing where it floats or no source is near: then nothing is solved."""
        steps = self._blocks.steps(a, b) or ()
        if all(self._solved[block].is_dead for block, *_ in steps):
            return {}
        return self._along(steps) or {}

    def _along(self, steps: Iterable[tuple[Block, Node, Node]]) -> dict[Basis, complex] | None:
        found: dict[Basis, complex] = {}
        for block, here, there in steps:
            for basis, solution in self._solved[block].by_basis.items():
                try:
                    volts = solution.volts(here, there)
                except KeyError:
                    return None
                if volts is None:
                    return None
                found[basis] = found.get(basis, 0) + volts
        return found

    def wire_a(self, index: int) -> dict[Basis, complex | None]:
        """Amperes through a wire from its `a` to its `b`; None where ideal wires share."""
        return self._current(("wire", index, ""))

    def part_a(self, index: int) -> dict[Basis, complex | None]:
        """Amperes through a part from its `a` to its `b`; nothing where it is open."""
        return self._current(("part", index, ""))

    def source_a(self, index: int, pole: str) -> dict[Basis, complex | None]:
        """Amperes that leave a source at a pole."""
        given = self._current(("pole", index, pole))
        return {basis: None if a is None else -a for basis, a in given.items()}

    def _current(self, label: Label) -> dict[Basis, complex | None]:
        place = self._places.get(label)
        if place is None:
            return {}
        block, at = place
        return {
            basis: one.current_a(at)
            for basis, one in self._solved[block].by_basis.items()
            if not one.is_open(at)
        }

    @cached_property
    def _places(self) -> dict[Label, tuple[Block, int]]:
        return {
            label: (block, at)
            for block in self._solved
            for at, (label, _, _) in enumerate(block.elements)
        }


def solve_state(
    panel: Panel,
    ratings: Ratings,
    closed: Callable[[Part], bool],
    present: Callable[[int], bool],
    extra: Iterable[Across] = (),
    without: frozenset[int] = frozenset(),
    known: KnownBlocks | None = None,
    running: frozenset[int] | None = None,
) -> Steady:
    """The panel with these contacts and protective devices closed, these sources present.

    `extra` is added between terminals; wires in `without`, by index, are open.  `known` are blocks
    of other states that were solved.

    A source with inputs is present only while they are also fed, or where it is known which run, if
    it is one of those that are `running`.  Raises SourcesInConflict,
    Undetermined (see `nodal`) and Unsettled.
    """
    known = known or KnownBlocks()
    return _Rounds(panel, ratings, closed, present, tuple(extra), without, known, running).settled()


_Assumed = dict[Basis, tuple[list[complex | None], dict[int, complex]]]
"""By system the ohms of a block's elements, and the volts of those that drive it."""


class _Mean:
    """A system in a block where diodes stand otherwise in each half of a cycle."""

    def __init__(
        self, halves: Sequence[Solution], rectified: Sequence[tuple[complex, Sequence[Solution]]]
    ) -> None:
        """`rectified` are other systems that make something of this one: the phase of each in the
        first half, and its own two halves."""
        self._halves, self._rectified = halves, rectified

    def volts(self, a: Node, b: Node) -> complex | None:
        return self._mean(lambda one: one.volts(a, b))

    def current_a(self, branch: int) -> complex | None:
        return self._mean(lambda one: one.current_a(branch))

    def is_open(self, branch: int) -> bool:
        return self._halves[0].is_open(branch)

    def _mean(self, of: Callable[[Solution], complex | None]) -> complex | None:
        first, second = map(of, self._halves)
        if first is None or second is None:
            return None
        mean = (first + second) / 2
        for phase, halves in self._rectified:
            first, second = map(of, halves)
            if first is None or second is None:
                return None
            mean += HALF_MEAN / 2 * ((first - second) * phase.conjugate()).real
        return mean


class _Solved:
    """A block in one round.  One that is dead is solved only if somebody asks for it."""

    def __init__(
        self,
        block: Block,
        assumed: Sequence[_Assumed],
        phases: Mapping[Basis, complex],
        is_dead: bool,
    ) -> None:
        """`assumed` of each half of a cycle, or once of both.  Raises SourcesInConflict and
        Undetermined."""
        self._block, self.assumed, self._phases, self.is_dead = block, assumed, phases, is_dead
        if not is_dead:
            self._halves = self._worked_out()

    @cached_property
    def _halves(self) -> list[dict[Basis, Solution]]:
        return self._worked_out()

    def _worked_out(self) -> list[dict[Basis, Solution]]:
        return [
            {basis: self._block.solve(*given) for basis, given in half.items()}
            for half in self.assumed
        ]

    def in_half(self, half: int) -> dict[Basis, Solution]:
        return self._halves[half % len(self._halves)]

    @cached_property
    def by_basis(self) -> Mapping[Basis, Solution | _Mean]:
        if len(self._halves) == 1:
            return self._halves[0]
        both = {basis: [half[basis] for half in self._halves] for basis in self._halves[0]}
        rectified = [(self._phases.get(b, 1 + 0j), one) for b, one in both.items() if b != DC]
        return {b: _Mean(one, rectified if b == DC else ()) for b, one in both.items()}


class _Here:
    """A block in one state: the ohms of its elements on AC and on DC, and which of them change
    from round to round."""

    def __init__(self, block: Block) -> None:
        self.block = block
        self.on_ac: list[complex | None] = []
        self.on_dc: list[complex | None] = []
        self.changing: list[tuple[int, Part]] = []
        self.diodes: list[int] = []
        """By their numbers."""
        self.poles: list[tuple[int, int, complex]] = []
        """Places, sources and potentials."""
        self.before: _Solved | None = None
        """As it was in the last round."""


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
        known: KnownBlocks,
        running: frozenset[int] | None,
    ) -> None:
        self.panel = panel
        self.ratings = ratings
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
        self.live |= self.allowed & (running or frozenset())
        self.switched = [] if running is not None else ratings.conversions
        self.ohms = {index: draw.ohm for index, draw in ratings.draws.items()}
        self.limits = {one.source: one.limit_a for one in ratings.conversions}
        self.varying = {index for index, draw in ratings.draws.items() if draw.holds != "ohm"}
        self.varying.update(one.input for one in ratings.conversions)
        self.limiting: set[int] = set()
        """Supplies that give their limit, at whatever voltage that makes."""
        self.blocking = [{part.index for part in self.diodes} for _ in HALVES]
        """In each half.  Most diodes lie across a coil and block; those that conduct are found."""
        self.phases: dict[Basis, complex] = {}
        """Of the AC that turned a diode first: its halves are the halves."""
        elements = list(self._elements(extra, without))
        self._across = extra
        self._blocks = Blocks(elements, self._windings(), known)
        self._here = [self._placed(one) for one in self._blocks.blocks]
        places = {part: (here, at) for here in self._here for at, part in here.changing}
        self._places = [(part, *places[part]) for part in self.diodes if part in places]

    def settled(self) -> Steady:
        for _ in range(MOST_ROUNDS):
            steady = self._solved()
            if not self._moved(steady):
                return steady
        raise Unsettled

    def _solved(self) -> Steady:
        """Raises SourcesInConflict and Undetermined."""
        solved = {here.block: self._block_solved(here) for here in self._here}
        return Steady(self._blocks, solved, frozenset(self.live))

    def _block_solved(self, here: _Here) -> _Solved:
        if here.before is not None and not here.poles and not here.changing:
            return here.before
        sources = self.panel.sources
        live = [pole for pole in here.poles if pole[1] in self.live]
        bases = {sources[index].basis for _, index, _ in live} or {DC}
        halves = range(self._unlike_halves(here, bases))
        if len(halves) > 1:
            bases.add(DC)
        assumed = [
            {basis: self._assumed(here, live, basis, half) for basis in sorted(bases)}
            for half in halves
        ]
        if here.before is None or here.before.assumed != assumed:
            is_dead = not live and not here.block.windings
            here.before = _Solved(here.block, assumed, self.phases, is_dead)
        return here.before

    def _unlike_halves(self, here: _Here, bases: Collection[Basis]) -> int:
        if bases == {DC}:
            return 1
        first, second = (blocking.intersection(here.diodes) for blocking in self.blocking)
        return 1 if first == second else len(HALVES)

    def _assumed(
        self, here: _Here, live: Iterable[tuple[int, int, complex]], basis: Basis, half: int
    ) -> tuple[list[complex | None], dict[int, complex]]:
        ohms = list(here.on_dc if basis == DC else here.on_ac)
        for place, part in here.changing:
            ohms[place] = self._ohm(part, basis, half)
        driving: dict[int, complex] = {}
        for place, index, potential in live:
            volts, ohms[place] = self._driven(index, potential, basis)
            if volts:
                driving[place] = volts
        return ohms, driving

    # ---- the linear network --------------------------------------------------------------

    def _elements(self, extra: Sequence[Across], without: frozenset[int]) -> Iterator[Element]:
        for wire in self.panel.wires:
            if wire.index not in without:
                yield ("wire", wire.index, ""), wire.a, wire.b
        for part in self.conducting:
            if part.index in self.varying or self._ohm(part, DC) is not None:
                yield ("part", part.index, ""), part.a, part.b
        for index, source in enumerate(self.panel.sources):
            if index in self.allowed:
                for pole in source.poles:
                    terminal = f"{source.device}:{pole}"
                    yield ("pole", index, pole), terminal, ("reference", index)
        for number, across in enumerate(extra):
            yield ("across", number, ""), across.a, across.b

    def _placed(self, block: Block) -> _Here:
        here = _Here(block)
        for place, ((sort, index, pole), _, _) in enumerate(block.elements):
            ohm: complex | None = None
            if sort == "wire":
                ohm = self.ratings.wire_ohm.get(index, 0)
            elif sort == "across":
                ohm = self._across[index].ohm
            elif sort == "pole":
                here.poles.append((place, index, self.panel.sources[index].poles[pole]))
            else:
                part = self.panel.parts[index]
                ohm = self._ohm(part, AC)
                if index in self.varying or part.conducts is Conducts.ONE_WAY:
                    here.changing.append((place, part))
                if part.conducts is Conducts.ONE_WAY:
                    here.diodes.append(index)
            here.on_ac.append(ohm)
            here.on_dc.append(ohm if ohm is None else ohm.real)
        return here

    def _driven(self, index: int, potential: complex, basis: Basis) -> tuple[complex, complex]:
        """Volts and ohm of a pole against its source's reference."""
        limit_a = self.limits.get(index)
        is_own = self.panel.sources[index].basis == basis
        if not potential:
            return 0, 0
        if is_own and index in self.limiting and limit_a is not None:
            return limit_a * LIMITING_OHM * potential / abs(potential), LIMITING_OHM
        return potential if is_own else 0, self.ratings.source_ohm.get(index, 0)

    def _ohm(self, part: Part, basis: Basis, half: int = 0) -> complex | None:
        """What stands for a part; None where it is open."""
        if part.conducts in (Conducts.JOINS, Conducts.BOND, Conducts.CONTACT):
            return None if part.index in self.open else 0
        if part.conducts is Conducts.ONE_WAY:
            return BLOCKING_OHM if part.index in self.blocking[half] else 0
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
        if self._turn_diodes() or self._switch_supplies(steady) or self._limit(steady):
            return True
        drawn = [
            self._redraw(steady, self.panel.parts[index], draw)
            for index, draw in self.ratings.draws.items()
            if draw.holds != "ohm"
        ]
        taken = [self._take_in(steady, conversion) for conversion in self.ratings.conversions]
        return any(drawn) or any(taken)

    def _turn_diodes(self) -> bool:
        """The first diode that stands wrong is turned; one a round in each half, so that none
        race."""
        turned = [self._turn_one(half) for half in range(len(HALVES))]
        return any(turned)

    def _turn_one(self, half: int) -> bool:
        blocking = self.blocking[half]
        for part, here, place in self._places:
            blocks = part.index in blocking
            values = self._values(here, place, half, blocks)
            mean = self._mean(values, half)
            if (mean if blocks else -mean) > FORWARD:
                for basis, value in values.items():
                    if basis != DC and value:
                        self.phases.setdefault(basis, value / abs(value))
                blocking.symmetric_difference_update((part.index,))
                return True
        return False

    def _values(self, here: _Here, place: int, half: int, blocks: bool) -> dict[Basis, complex]:
        """Volts across a diode that blocks, amperes through one that conducts; nothing where
        they are not known."""
        assert here.before is not None
        if here.before.is_dead:
            return {}
        _, a, b = here.block.elements[place]
        found: dict[Basis, complex] = {}
        for basis, one in here.before.in_half(half).items():
            value = one.volts(a, b) if blocks else one.current_a(place)
            if value is None:
                return {}
            found[basis] = value
        return found

    def _mean(self, values: Mapping[Basis, complex], half: int) -> float:
        """In that half of a cycle.  Of which half a value is that lags is told by its sign; as long
        as AC has turned no diode any is of the first."""
        total = _dc(values)
        for basis, value in values.items():
            if basis != DC:
                along = (value * self.phases.get(basis, value).conjugate()).real
                total += HALVES[half] * HALF_MEAN * copysign(abs(value), along)
        return total

    def _switch_supplies(self, steady: Steady) -> bool:
        before = set(self.live)
        for conversion in self.switched:
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
        volts = _size(steady.driven(part.a, part.b))
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
        return abs(steady.driven(high, low).get(source.basis, 0))

    def _nominal_v(self, index: int) -> float:
        """Between the same poles, as it is rated."""
        first, second = list(self.panel.sources[index].poles.values())[:2]
        return abs(first - second)

    def _given_a(self, steady: Steady, index: int) -> list[float]:
        """At each pole but its reference: of a drive all three lines, each of which its rating
        is for."""
        source = self.panel.sources[index]
        found = []
        for pole in self._lifted(index):
            amperes = steady.source_a(index, pole).get(source.basis) or 0
            # Direct current that comes in is not given.
            along = (amperes * source.poles[pole].conjugate()).real
            found.append(0.0 if source.basis == DC and along < 0 else abs(amperes))
        return found

    def _lifted(self, index: int) -> dict[str, float]:
        poles = self.panel.sources[index].poles
        return {pole: abs(potential) for pole, potential in poles.items() if potential}

    def _given_w(self, steady: Steady, index: int) -> float:
        """As if in step: volts of each pole against the reference, by its amperes."""
        rated = zip(self._lifted(index).values(), self._given_a(steady, index), strict=True)
        share = self._output_v(steady, index) / self._nominal_v(index)
        return share * sum(volts * amperes for volts, amperes in rated)

    def _redraw(self, steady: Steady, part: Part, draw: Draw) -> bool:
        share = max(_size(steady.driven(part.a, part.b)) / draw.volts, draw.least_share)
        wanted = draw.ohm * (share if draw.holds == "current" else share * share)
        return _changes(self.ohms, part.index, wanted)

    def _take_in(self, steady: Steady, conversion: Conversion) -> bool:
        """A supply takes in what it gives, over its efficiency, at whatever voltage."""
        part = self.panel.parts[conversion.input]
        index = conversion.source
        volts = _size(steady.driven(part.a, part.b))
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
