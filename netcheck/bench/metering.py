"""What a meter reads on one panel in one state, between any two of its terminals.

A reading is *firm* where conductors or loads join its points to what drives them; any meter
shows it.  Behind a blocking diode or the leakage of an output it is *soft*: it depends on the
meter.  Where nothing joins them it floats, which is not 0 V: a 10 Mohm meter may show ghosts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from netcheck.bench.readings import Reading, read
from netcheck.bench.standing import Standing
from netcheck.bench.whereabouts import grounded_poles
from netcheck.model.devices import Conducts, Part
from netcheck.model.faults import FaultKind, broken, of_parts
from netcheck.model.panel import Panel
from netcheck.model.wires import Wire
from netcheck.network.nodes import find_nodes
from netcheck.record import record, replace
from netcheck.solve.steady import Across, Steady
from netcheck.states.answers import Undecided

METER_OHM = 10e6
LOW_IMPEDANCE_OHM = 3e3
"""Of a multimeter's low-impedance setting: a few kilohm, from memory."""
SOFT_OHM = 100e3
"""What a load of more than this holds is soft."""
EARTH_OHM = 1.0
"""Between the grounds of two sources, which no wire of the text joins: little against a meter's
own; the figure is from memory."""


@record
class Metered:
    """`red` against `black`: `ideal` without a meter's own current, then on a 10 Mohm meter
    and on one of low impedance.  `live`: some voltage to ground, or to a pole where ungrounded."""

    red: str
    black: str
    ideal: Reading
    on_meter: Reading
    low_impedance: Reading
    live: Reading
    live_against: str

    @property
    def firm(self) -> bool:
        told = self.ideal.like(self.on_meter) and self.ideal.like(self.low_impedance)
        return told and not self.ideal.floats

    @property
    def is_live(self) -> bool:
        return not self.live.is_nought and not self.live.floats


@record
class Node:
    """Terminals that wires join, by the `numbers` on them, with the reading at the first."""

    terminals: tuple[str, ...]
    numbers: tuple[str, ...]
    metered: Metered


@record
class Between:
    """Two points: the reading, each to ground, and what the reading tells of what lies between.

    `through` is the one thing between them, `if_open` what it would read if that were open,
    `if_closed` if it were not.
    """

    metered: Metered
    red_to_ground: Metered
    black_to_ground: Metered
    through: str = ""
    stands: str = ""
    if_open: Reading | None = None
    if_closed: Reading | None = None

    @property
    def proves_nothing(self) -> bool:
        """Whether a meter cannot tell open from closed here: what floats may show 0 V too."""
        if self.if_open is None or self.if_closed is None:
            return False
        return self.if_open.floats or self.if_open.like(self.if_closed)


class Meter:
    """Reads one standing panel.  Raises Unreadable where it has no solution in numbers."""

    def __init__(self, standing: Standing) -> None:
        self.standing = standing
        self.panel = standing.panel
        if standing.restless:
            raise Unreadable("relays do not come to rest in this state")
        self._earth = _through_earth(self.panel)
        solved = standing.solve(self._earth)
        if isinstance(solved, Undecided):
            raise Unreadable(solved.reason)
        self.steady: Steady = solved
        self.live_sources = [
            index
            for index, source in enumerate(self.panel.sources)
            if any(solved.source_a(index, pole) for pole in source.poles)
        ]
        self._firm: dict[str, set[str]] = {}

    # ---- references ------------------------------------------------------------------------

    def reference_near(self, terminal: str = "") -> str:
        """The first grounded pole, of the panel that a terminal is in if there is one, and of a
        system that it does not float against; else the last pole of the first source, or what is
        minus to it: of batteries in series the end."""
        grounded = grounded_poles(self.panel, terminal)
        if grounded:
            own = (*grounded, *self._last_poles()) if terminal else ()
            firm = (pole for pole in own if not read(self.steady, terminal, pole).floats)
            return next(firm, grounded[0])
        if not self.panel.sources:
            raise Unreadable("nothing here gives a voltage")
        first = self.panel.sources[0]
        last = f"{first.device}:{list(first.poles)[-1]}"
        poles = (f"{one.device}:{pole}" for one in self.panel.sources for pole in one.poles)
        read_there = {pole: read(self.steady, pole, last) for pole in (last, *poles)}
        fixed = {pole: one.dc_v for pole, one in read_there.items() if not one.floats}
        return min(fixed, key=lambda pole: round(fixed[pole], 1), default=last)

    def _last_poles(self) -> list[str]:
        return [f"{one.device}:{list(one.poles)[-1]}" for one in self.panel.sources if one.poles]

    def ground_of(self, terminal: str) -> tuple[Reading, str]:
        """What there is to ground; in an ungrounded system the most to any pole of it."""
        poles = [
            f"{source.device}:{pole}" for source in self.panel.sources for pole in source.poles
        ]
        for pool in (grounded_poles(self.panel, terminal), poles):
            found = [(read(self.steady, terminal, at), at) for at in pool]
            fixed = [(reading, at) for reading, at in found if not reading.floats]
            if fixed:
                return max(fixed, key=lambda one: round(one[0].size_v, 6))
        return Reading(floats=True), ""

    def highest(self, terminals: Iterable[str]) -> tuple[float, str]:
        """The most V there is from any of these terminals to ground, or to a pole of the same
        kind of current, and between what and what: `K1:1 to MAINS:L2`."""
        most, between = 0.0, ""
        for terminal in dict.fromkeys(terminals):
            ground, against = self.ground_of(terminal)
            found = [(ground, against)]
            for source in self.panel.sources:
                if source.kind == ground.kind:
                    poles = (f"{source.device}:{pole}" for pole in source.poles)
                    found += [(read(self.steady, terminal, pole), pole) for pole in poles]
            for reading, other in found:
                if not reading.floats and reading.size_v > most:
                    most, between = reading.size_v, f"{terminal} to {other}"
        return most, between

    # ---- one reading -------------------------------------------------------------------------

    def metered(self, red: str, black: str) -> Metered:
        ideal = read(self.steady, red, black)
        live, against = self.ground_of(red)
        if red == black or red in self._firmly_with(black):
            return Metered(red, black, ideal, ideal, ideal, live, against)
        on_meter = self._loaded(red, black, METER_OHM)
        low = self._loaded(red, black, LOW_IMPEDANCE_OHM)
        return Metered(red, black, ideal, on_meter, low, live, against)

    def _loaded(self, red: str, black: str, ohm: float) -> Reading:
        solved = self.standing.solve((*self._earth, Across(red, black, ohm)))
        if isinstance(solved, Undecided):
            return Reading(floats=True)
        return read(solved, red, black)

    def _firmly_with(self, black: str) -> set[str]:
        """Terminals that conductors, loads and live sources join to this one."""
        if black in self._firm:
            return self._firm[black]
        joined: dict[str, list[str]] = {}

        def join(a: str, b: str) -> None:
            joined.setdefault(a, []).append(b)
            joined.setdefault(b, []).append(a)

        for wire in self.panel.wires:
            join(wire.a, wire.b)
        for earth in self._earth:
            join(earth.a, earth.b)
        draws = self.standing.ratings.draws
        inputs = {one.input for one in self.standing.numbers.ratings.conversions}
        windings = {one.first for one in self.standing.numbers.ratings.couplings}
        for part in self.panel.parts:
            if part.load is not None:
                draw = draws.get(part.index)
                if (draw and abs(draw.ohm) <= SOFT_OHM) or part.index in inputs | windings:
                    join(part.a, part.b)
            elif self._conducts(part):
                join(part.a, part.b)
        for index in self.live_sources:
            source = self.panel.sources[index]
            poles = [f"{source.device}:{pole}" for pole in source.poles]
            for pole in poles[1:]:
                join(poles[0], pole)
        seen, todo = {black}, [black]
        while todo:
            new = set(joined.get(todo.pop(), ())) - seen
            seen |= new
            todo += new
        self._firm[black] = seen
        return seen

    def _conducts(self, part: Part) -> bool:
        if part.conducts is not Conducts.ONE_WAY:
            return self.standing.closed(part)
        amperes = self.steady.part_a(part.index).values()
        return any(a is not None and abs(a) > 1e-6 for a in amperes)

    # ---- every terminal ------------------------------------------------------------------------

    def nodes(self, against: str, terminals: Iterable[str]) -> tuple[Node, ...]:
        """Each node that has one of these terminals, in their order, against one reference."""
        nodes, wanted = find_nodes(self.panel), dict.fromkeys(terminals)
        found: dict[int, list[str]] = {}
        for terminal in wanted:
            found.setdefault(nodes.of[terminal], []).append(terminal)
        told = []
        for members in found.values():
            numbers = [w.number for t in members for w in self.panel.wires_at.get(t, ())]
            named = tuple(dict.fromkeys(number for number in numbers if number))
            told.append(Node(tuple(members), named, self.metered(members[0], against)))
        return tuple(told)

    # ---- two points ------------------------------------------------------------------------------

    def between(self, red: str, black: str) -> Between:
        metered = self.metered(red, black)
        sides = (
            self.metered(red, self.reference_near(red)),
            self.metered(black, self.reference_near(black)),
        )
        one = self._one_between(red, black)
        if one is None:
            return Between(metered, *sides)
        stands, if_open, if_closed = self._supposed(one, red, black)
        through = self.panel.wire_name(one) if isinstance(one, Wire) else one.label
        return Between(metered, *sides, through, stands, if_open, if_closed)

    def _one_between(self, red: str, black: str) -> Wire | Part | None:
        ends = {red, black}
        barred = (Conducts.NOTHING, Conducts.ONE_WAY, Conducts.BOND)
        for part in self.panel.parts_at.get(red, ()):
            if {part.a, part.b} == ends and part.conducts not in barred and part.load is None:
                return part
        for wire in self.panel.wires_at.get(red, ()):
            if {wire.a, wire.b} == ends:
                return wire
        return None

    def _supposed(
        self, one: Wire | Part, red: str, black: str
    ) -> tuple[str, Reading | None, Reading | None]:
        """How it stands; the reading if it is open, and if it is closed, the rest left as it is."""
        here = read(self.steady, red, black)
        if isinstance(one, Wire):
            return "as drawn", self._read(red, black, without=frozenset((one.index,))), here
        if not one.mechanism and one.conducts is Conducts.JOINS:
            return "joined", self._read(red, black, instead=_opened(self.panel, one)), here
        if self.standing.closed(one):
            return "closed", self._read(red, black, instead=_opened(self.panel, one)), here
        return "open", here, self._read(red, black, instead=_shut(self.panel, one))

    def _read(
        self,
        red: str,
        black: str,
        without: frozenset[int] = frozenset(),
        instead: Panel | None = None,
    ) -> Reading | None:
        solved = self.standing.solve(self._earth, without, instead)
        return None if isinstance(solved, Undecided) else read(solved, red, black)


class Unreadable(Exception):
    """There are no numbers to read, for this reason."""


def _through_earth(panel: Panel) -> tuple[Across, ...]:
    """The earth joins the grounded poles of sources that come from elsewhere, drawn or not."""
    poles = [f"{s.device}:{s.grounded_pole}" for s in panel.sources
             if s.grounded_pole and not s.inputs]  # fmt: skip
    return tuple(Across(poles[0], other, EARTH_OHM) for other in poles[1:])


def _shut(panel: Panel, part: Part) -> Panel:
    parts = list(panel.parts)
    parts[part.index] = replace(part, conducts=Conducts.JOINS, mechanism="")
    return replace(panel, parts=tuple(parts))


def _opened(panel: Panel, part: Part) -> Panel:
    return broken(panel, of_parts(panel, [part], FaultKind.OPEN))


# ---- amperes ----


@record
class Clamped:
    """One conductor in the jaws: amperes by kind; None where nothing tells how it shares."""

    wire: str
    a: str
    b: str
    amperes: float | None
    kind: str
    grounding: bool


def clamp(meter: Meter, terminals: Sequence[str]) -> tuple[Clamped, ...]:
    """Every wire that ends at one of these terminals."""
    from netcheck.facts.grounding_wires import GroundingWires

    wanted = set(terminals)
    grounding = meter.standing.case.conclude(GroundingWires).wires
    found = []
    for wire in meter.panel.wires:
        if wire.a not in wanted and wire.b not in wanted:
            continue
        by_basis = meter.steady.wire_a(wire.index)
        known = [abs(value) for value in by_basis.values() if value is not None]
        unknown = any(value is None for value in by_basis.values())
        kinds = {
            "DC" if basis == "DC" else "AC"
            for basis, value in by_basis.items()
            if value is not None and abs(value) > 1e-6
        }
        amperes = None if unknown else _clean(sum(known))
        kind = " and ".join(sorted(kinds))
        found.append(Clamped(wire.label, wire.a, wire.b, amperes, kind, wire.index in grounding))
    return tuple(found)


def _clean(amperes: float) -> float:
    return 0.0 if amperes < 1e-6 else amperes
