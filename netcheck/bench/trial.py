"""One panel with hands on it: switches are moved, relays follow, what is shorted opens its fuse.

Breakers, fuses and disconnects are moved like switches.  In a short the smallest rating that
clears it opens: which of two opens first in truth depends on their curves.  Where none does the
source gives nothing: what protects it lies outside of the panel.

A diode that passes current from one pole to another at any moment of the cycle, with no load in
the way, is such a short.  What becomes of the diode is left open: once the fuse is open, no matter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from functools import cached_property

from netcheck.bench.forwards import passed_forwards
from netcheck.bench.held_levels import Held, held_levels
from netcheck.bench.ohms import Ohms, ohms_between
from netcheck.bench.readings import Reading, amperes, read
from netcheck.bench.standing import Standing
from netcheck.bench.troubles import JOINT, Edit, troubled
from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues, couplings_of
from netcheck.facts.sections import is_protective, rating_of
from netcheck.model.devices import Conducts, Drive, Mechanism, Part, SourcePart
from netcheck.model.let_go import rests_at
from netcheck.model.panel import Panel
from netcheck.network.nodes import find_nodes
from netcheck.network.unions import Unions
from netcheck.record import replace
from netcheck.solve.coil_verdicts import CoilVerdicts
from netcheck.solve.ratings import Draw, Ratings
from netcheck.solve.steady import Basis, Steady
from netcheck.states.answers import Undecided
from netcheck.states.behaviour import Behaviour

MOST_MOVES = 200
SHORT_SHARE = 0.25
"""Two sources side by side that differ by more than this share are a short."""


class Trial:
    """Begins with the power off and everything at rest.  `stands` is false where relays do not
    come to rest, or a short is cleared by nothing."""

    def __init__(
        self,
        panel: Panel,
        edit: Edit | None = None,
        rated: ComponentValues | None = None,
        moved: Collection[str] | None = None,
    ) -> None:
        """`rated` is what its devices are made for, where that is known already.

        Of the switches only `moved` are going to be moved, beside sources and what opens on a
        short; None if any may be.  A machine of less that moves is made in half the time.
        """
        self.drawn = panel
        self._rated = rated
        self.panel = movable(panel if edit is None else troubled(panel, edit))
        if moved is not None:
            self.panel = left_alone(self.panel, panel, moved)
        self.nodes = find_nodes(self.panel)
        self.states = Behaviour(self.panel, self.nodes, verdicts=CoilVerdicts())
        self._begin()

    def _begin(self) -> None:
        self.stands = True
        self._shorted_out: set[int] = set()
        self._values: dict[int, bool] = {}
        self._solved: Steady | Undecided | None = None
        machine = self.states.machine
        for name in machine.switches:
            drawn = self.drawn.mechanisms[name]
            protects = drawn.drive is Drive.PROTECTION
            self._place(name, 1 if protects else rests_at(self.drawn, drawn))
        for mover in machine.movers.values():
            self._values[mover.state] = False

    @cached_property
    def one_way(self) -> frozenset[int]:
        """The parts, by their numbers, that conduct one way only."""
        return frozenset(part.index for part in self.panel.parts if self.states.one_way(part))

    @cached_property
    def _case(self) -> Case:
        """Joints have no rated current to be looked up by: they are added to the solver's."""
        sound = tuple(part for part in self.panel.parts if part.role != JOINT)
        return Case(replace(self.panel, parts=sound))

    @property
    def standing(self) -> Standing:
        if self._shorted_out:
            rated = self._rated or self._case.conclude(ComponentValues)
            return PlacedStanding(Case(self.panel), self.states, self._values, rated=rated)
        return _Troubled(self._case, self.states, self._values, rated=self._rated)

    def copy(self) -> Trial:
        """Another pair of hands on the same panel, as it stands here."""
        copied = object.__new__(Trial)
        own = {"_values": dict(self._values), "_shorted_out": set(self._shorted_out)}
        copied.__dict__ |= self.__dict__ | own
        return copied

    # ---- operating ---------------------------------------------------------------------------

    def after(self, moves: Iterable[tuple[str, int]]) -> Trial:
        for name, position in moves:
            self.put(name, position)
        return self

    def put(self, name: str, position: int) -> list[str]:
        """Move a switch through every position on the way, or let a timer run out; what
        followed, in words."""
        mover = self.states.machine.movers.get(name)
        if mover is not None:
            if name in self.running() and self._values[mover.state] != bool(position):
                self._values[mover.state] = bool(position)
                return self._settle()
            return []
        followed: list[str] = []
        way = 1 if position > self.position(name) else -1
        for place in range(self.position(name) + way, position + way, way):
            self._place(name, place)
            followed += self._settle()
            if self.position(name) != place:  # closed onto a short, it has opened again
                break
        return followed

    def powered(self) -> list[str]:
        """Every source on that is not kept off; what followed."""
        machine = self.states.machine
        drives = self.drawn.mechanisms
        sources = [name for name in machine.switches if drives[name].drive is Drive.SOURCE]
        # Where all are kept as they are, relays have yet to follow what is kept on.
        return [words for name in sources for words in self.put(name, 1)] or self._settle()

    def put_if_it_moves(self, name: str, position: int) -> list[str]:
        """As `put`; nothing of what is kept where it is."""
        machine = self.states.machine
        return self.put(name, position) if name in (*machine.switches, *machine.movers) else []

    def position(self, name: str) -> int:
        return self.states.position(name, self._values)

    def running(self) -> list[str]:
        """Timers whose time runs."""
        movers = self.states.machine.movers.items()
        return [
            name for name, one in movers if one.timed and self._may(name) and not self._must(name)
        ]

    def barred(self, name: str, position: int) -> str:
        """Why it cannot be put there; empty where it can."""
        if position != 1:
            return ""
        for group in self.panel.interlocks:
            for other in group:
                if name in group and other != name and self.position(other) == 1:
                    return f"{other} is mechanically interlocked with {name}"
        return ""

    def _place(self, name: str, position: int) -> None:
        self._values |= self.states.machine.switches[name].values_in(position)
        self._moved()

    def _moved(self) -> None:
        """What was found of how it stood holds no more."""
        self._solved = None

    def _settle(self) -> list[str]:
        said: list[str] = []
        for _ in range(MOST_MOVES):
            self._moved()
            if cleared := self._clear():
                said.append(cleared)
            elif (mechanism := self._next()) is not None:
                state = self.states.machine.movers[mechanism.name].state
                self._values[state] ^= True
                said.append(mechanism.steps[int(self._values[state])])
            else:
                return said
        self.stands = False
        return [*said, "relays do not come to rest"]

    def _next(self) -> Mechanism | None:
        for name in self.states.machine.movers:
            if self._must(name) and (self._is_in(name) or not self.barred(name, 1)):
                return self.panel.mechanisms[name]
        return None

    def _must(self, name: str) -> bool:
        """Whether a relay moves now."""
        motion = self.states.machine.motions[name]
        return self._holds(motion.must_fall if self._is_in(name) else motion.must_rise)

    def _may(self, name: str) -> bool:
        motion = self.states.machine.motions[name]
        return self._holds(motion.may_fall if self._is_in(name) else motion.may_rise)

    def _is_in(self, name: str) -> bool:
        return self._values[self.states.machine.movers[name].state]

    def _holds(self, literal: int) -> bool:
        return self.states.logic.evaluate(literal, self._values)

    # ---- shorts ------------------------------------------------------------------------------

    def _clear(self) -> str:
        """What becomes of a short, in words; empty where nothing is shorted."""
        live = [index for index in range(len(self.panel.sources)) if self._is_live(index)]
        if not self._is_shorted(live):
            return ""
        if opened := self._opened(live):
            return f"{opened} opens: a short"
        if source := self._collapsed(live):
            return f"{source} is shorted and nothing opens: it gives nothing"
        self.stands = False
        return ""

    def _opened(self, live: list[int]) -> str:
        """Opens what protects a shorted source; its name, empty where nothing does."""
        for name in self._may_clear(live):
            self._place(name, 0)
            if not self._is_shorted(live):
                return name
            self._place(name, 1)
        return ""

    def _may_clear(self, live: list[int]) -> list[str]:
        """Protection that is closed, the smallest rating first, and that lies where two poles meet:
        every place that a short passes is one such."""
        sources, node = [self.panel.sources[index] for index in live], self.nodes.of
        joined = self._joined_now()
        self._join_over_diodes(joined, self._held(sources, joined))
        poles = [f"{source.device}:{pole}" for source in sources for pole in source.poles]
        met = Counter(joined.find(node[pole]) for pole in poles)
        passed = {part.mechanism for part in self._moving if met[joined.find(node[part.a])] > 1}
        return [name for name in self._protection() if name in passed and self.position(name) == 1]

    def _collapsed(self, live: list[int]) -> str:
        """Takes away a source; its device, empty where none clears it."""
        for index in live:
            others = [one for one in live if one != index]
            if not self._is_shorted(others):
                source = self.panel.sources[index]
                if source.mechanism in self.states.machine.switches:
                    self._place(source.mechanism, 0)
                else:
                    self._take_away(index)
                return source.device
        return ""

    def _take_away(self, index: int) -> None:
        """For good, a source that runs from others: what limits it may not let it come back."""
        self._shorted_out.add(index)
        sources = list(self.states.panel.sources)
        sources[index] = replace(sources[index], poles=dict.fromkeys(sources[index].poles, 0j))
        panel = replace(self.states.panel, sources=tuple(sources))
        self.states = Behaviour(panel, self.nodes, verdicts=CoilVerdicts())
        self._moved()

    def _protection(self) -> list[str]:
        """What opens by itself, the smallest rating first."""
        devices, switches = self.panel.devices, self.states.machine.switches
        rating = {
            part.mechanism: rating_of(devices[part.device]) or float("inf")
            for part in self.panel.parts
            if part.mechanism in switches and is_protective(devices[part.device], part)
        }
        order = list(self.panel.mechanisms)
        return sorted(rating, key=lambda name: (rating[name], order.index(name)))

    def _is_live(self, index: int) -> bool:
        return index not in self._shorted_out and self._holds(self.states.live(index))

    def _is_shorted(self, live: list[int]) -> bool:
        sources = [self.panel.sources[index] for index in live]
        if not sources:
            return False
        joined = self._joined_now()
        held = self._held(sources, joined)
        if _in_conflict(held):
            return True
        passes = self._join_over_diodes(joined, held)
        return passes and _in_conflict(self._held(sources, joined))

    def _joined_now(self) -> Unions[int]:
        """Nodes as what is closed joins them."""
        joined = self._always_joined.copy()
        stands = self.states.stands(self._values)
        for part in self._moving:
            if stands[part.mechanism] in part.closed:
                joined.join(self.nodes.of[part.a], self.nodes.of[part.b])
        return joined

    def _join_over_diodes(self, joined: Unions[int], held: Mapping[Basis, Held]) -> bool:
        """Joins as well what diodes pass current between; whether any do."""
        node = self.nodes.of
        ways = [(joined.find(node[d.a]), joined.find(node[d.b])) for d in self._diodes]
        passed = list(passed_forwards(ways, {basis: one for basis, (one, _) in held.items()}))
        for pair in passed:
            joined.join(*pair)
        return bool(passed)

    @cached_property
    def _joining(self) -> list[Part]:
        plain = (Conducts.JOINS, Conducts.CONTACT, Conducts.BOND)
        parts = (part for part in self.panel.parts if part.conducts in plain)
        return [part for part in parts if part.a != part.b and part.index not in self.one_way]

    @cached_property
    def _moving(self) -> list[Part]:
        return [part for part in self._joining if part.mechanism]

    @cached_property
    def _always_joined(self) -> Unions[int]:
        """Nodes joined by what never opens."""
        joined, node = Unions[int](), self.nodes.of
        for part in self._joining:
            if not part.mechanism:
                joined.join(node[part.a], node[part.b])
        return joined

    @cached_property
    def _diodes(self) -> list[Part]:
        """Not outputs, which limit what they let through."""
        return [p for p in self.panel.parts if p.conducts is Conducts.ONE_WAY and p.a != p.b]

    def _held(self, sources: list[SourcePart], joined: Unions[int]) -> dict[Basis, Held]:
        """The places of each basis, the others as wires."""
        node = self.nodes.of
        poles = [
            (one, [joined.find(node[f"{one.device}:{pole}"]) for pole in one.poles])
            for one in sources
        ]
        return {basis: held_levels(poles, basis) for basis in {one.basis for one in sources}}

    # ---- looking and metering ----------------------------------------------------------------

    def is_on(self, load: Part) -> bool:
        part = self.panel.parts[load.index]
        return part.a != part.b and self._holds(self.states.energised(part))

    def reading(self, red: str, black: str) -> Reading | None:
        """None where there are no numbers: a dead short."""
        solved = self._numbers()
        return None if solved is None else read(solved, red, black)

    def amperes(self, part: Part) -> tuple[float, float] | None:
        """Through a part: direct ones from its `a` to its `b`, and the size of alternating ones.
        None where they are not known."""
        solved = self._numbers()
        return None if solved is None else amperes(solved, part)

    def _numbers(self) -> Steady | None:
        if self._solved is None:
            self._solved = self.standing.solve()
        return None if isinstance(self._solved, Undecided) else self._solved

    def live_at(self, terminals: Iterable[str]) -> tuple[str, str, Reading] | None:
        """The first of these with volts against some pole, that pole, and the reading."""
        for terminal in terminals:
            for source in self.panel.sources:
                for pole in source.poles:
                    reading = self.reading(terminal, f"{source.device}:{pole}")
                    if reading and not reading.floats and not reading.is_nought:
                        return terminal, f"{source.device}:{pole}", reading
        return None

    def ohms(self, a: str, b: str) -> Ohms:
        return ohms_between(self.standing, a, b)


def _in_conflict(held: Mapping[Basis, Held]) -> bool:
    """Whether sources of one basis hold one place at two voltages."""
    every = (one for _, differs in held.values() for one in differs)
    return any(volts > SHORT_SHARE * source.volts + 1e-2 for source, volts in every)


def troubled_standing(
    panel: Panel, states: Behaviour, values: dict[int, bool], rated: ComponentValues
) -> Standing:
    """A panel with a fault in it, where all that moves stands as `values` of the sound one say."""
    return PlacedStanding(Case(panel), states, values, rated=rated)


class _Troubled(Standing):
    """A standing panel whose bad joints draw by their own ohm, and whose transformers give what
    they give now."""

    @property
    def panel(self) -> Panel:
        return self.states.panel

    @property
    def ratings(self) -> Ratings:
        ratings = super().ratings
        joints = {
            part.index: Draw(part.load.resistance_ohm, 1.0)
            for part in self.panel.parts
            if part.role == JOINT and part.load is not None and part.load.resistance_ohm
        }
        couplings = couplings_of(self.panel)
        return replace(ratings, draws={**ratings.draws, **joints}, couplings=couplings)


class PlacedStanding(_Troubled):
    """The same with the machine of another panel, such as the sound one."""

    @property
    def panel(self) -> Panel:
        return self.case.panel


def left_alone(movable: Panel, drawn: Panel, moved: Collection[str]) -> Panel:
    """All that nobody moves kept where it rests first."""

    def stays(name: str) -> bool:
        one = drawn.mechanisms[name]
        moves = one.moved_by_coil or one.drive in (Drive.SOURCE, Drive.PROTECTION)
        return not moves and one.held is None and name not in moved

    kept = {
        name: replace(one, held=rests_at(drawn, one)) if stays(name) else one
        for name, one in movable.mechanisms.items()
    }
    return replace(movable, mechanisms=kept)


def movable(panel: Panel) -> Panel:
    """Breakers, fuses and disconnects as switches."""
    return replace(
        panel,
        mechanisms={
            name: replace(one, drive=Drive.HAND) if one.drive is Drive.PROTECTION else one
            for name, one in panel.mechanisms.items()
        },
    )
