"""One panel with each of many faults in it, all played at once: a fault is a bit.

The panel stands as it was seen; sources are on, relays follow one at a time in the order of the
panel, as `states.playing` plays one.  One machine in which all the faults may come is worked out
once (`states.breakable`), where a machine for each fault would cost as much as a start.  Where
a fault leaves a coil some voltage, but not surely enough, nothing is told of it here: that is
for the solver, on a panel of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property, reduce
from operator import or_

from netcheck.bench.candidates import Candidate
from netcheck.bench.sound import Sound, Withs
from netcheck.bench.standing import Standing, sources_on, untouched
from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues
from netcheck.model.devices import Part
from netcheck.model.faults import Fault, FaultKind, following_a_trip
from netcheck.model.panel import Panel
from netcheck.network.floods import met_first
from netcheck.network.unions import Unions
from netcheck.states.breakable import Breakable
from netcheck.states.expressions import FALSE
from netcheck.states.machine import Motion

MOST_MOVES = 200
PLAYED = frozenset(
    (
        FaultKind.OPEN, FaultKind.LOOSE, FaultKind.BLOWN, FaultKind.TRIPPED, FaultKind.WELDED,
        FaultKind.HELD_IN, FaultKind.HELD_OUT,
    )
)  # fmt: skip
"""Faults that join nothing which should be apart: none of them opens a fuse."""


class FaultsAtOnce:
    """`cases` are faults that are there together, a bit each, in a panel that stands `sound`."""

    def __init__(self, sound: Standing, cases: Sequence[tuple[Fault, ...]]) -> None:
        self.sound = sound
        self._came: dict[Fault, int] = {}
        for bit, case in enumerate(cases):
            for fault in case:
                self._came[fault] = self._came.get(fault, 0) | 1 << bit
        self._states = Breakable(sound.panel, list(self._came))
        self._every = (1 << len(cases)) - 1
        self._restless = 0
        self._doubtful = 0
        self._values = self._at_rest()
        self._literals = _Literals(self._states, self._values, self._every)
        self._play()

    def standing(self, bit: int, broken: Panel, rated: ComponentValues) -> Standing | None:
        """The state with one case in it, `broken` being the panel with it; None where it is not
        certain what relays do."""
        if self._doubtful >> bit & 1:
            return None
        values = dict(self.sound.values)
        for name, mover in self.sound.states.machine.movers.items():
            state = self._states.machine.movers[name].state
            values[mover.state] = bool(self._values[state] >> bit & 1)
        restless = bool(self._restless >> bit & 1)
        stood = Standing(Case(broken), self.sound.states, values, restless, rated)
        return Placed(self, bit, stood)

    def energised(self, part: Part, bit: int) -> bool:
        literal = self._states.energised(self._states.panel.parts[part.index])
        return bool(self._literals.value(literal) >> bit & 1)

    # ---- playing -------------------------------------------------------------------------------

    def _at_rest(self) -> dict[int, int]:
        """Everything where it rests, sources on, what is held in already in."""
        machine = self._states.machine
        at_rest = untouched(self._states)
        for name, position in sources_on(self._states).items():
            at_rest |= machine.switches[name].values_in(position)
        bits = [bit for switch in machine.switches.values() for bit in switch.bits]
        values = {bit: self._every if at_rest[bit] else 0 for bit in bits}
        values.update({mover.state: 0 for mover in machine.movers.values()})
        for fault, came in zip(self._states.faults, self._states.came, strict=True):
            values[came] = self._came[fault]
            if fault.kind is FaultKind.HELD_IN:
                values[machine.movers[fault.mechanism].state] |= self._came[fault]
        return values

    def _play(self) -> None:
        """Stops where nothing moves any more; what moves even so is restless."""
        moving = self._every
        for _ in range(MOST_MOVES):
            self._literals.look()
            self._doubtful |= self._in_doubt(moving)
            moving &= ~self._doubtful
            flips = list(self._flips(moving))
            moving = 0
            for state, where in flips:
                self._values[state] ^= where
                moving |= where
            if not moving:
                return
        self._literals.look()
        self._restless = moving

    def _in_doubt(self, moving: int) -> int:
        """The cases in which some coil may now get current through other loads."""
        doubts = {coil: self._literals.value(one) for coil, one in self._states.in_doubt.items()}
        asked = moving & reduce(or_, doubts.values(), 0)
        if not asked:
            return 0
        always, others, doubtful = self._joined_in(asked), self._moved_in(asked), 0
        for bit in _bits(asked):
            joined = always.copy()
            for part, where in others:
                if where >> bit & 1:
                    joined.join(part.a, part.b)
            coils = [self._states.panel.parts[n] for n, where in doubts.items() if where >> bit & 1]
            if not self._leads_nowhere(joined, coils):
                doubtful |= 1 << bit
        return doubtful

    def _joined_in(self, cases: int) -> Unions[str]:
        """What counts as wire in all of these cases."""
        joined = Unions[str]()
        for part, closed in self._closed:
            if not cases & ~self._literals.value(closed):
                joined.join(part.a, part.b)
        return joined

    def _moved_in(self, cases: int) -> list[tuple[Part, int]]:
        """What counts as wire in some of them and not in others."""
        found = [(part, self._literals.value(closed) & cases) for part, closed in self._closed]
        return [(part, where) for part, where in found if where and where != cases]

    def _leads_nowhere(self, joined: Unions[str], coils: Iterable[Part]) -> bool:
        """Whether from both ends of each coil, through all that conducts and all other loads, no
        more than one pole is met: no current then passes it."""
        loads = [p for p in self._loads if joined.find(p.a) != joined.find(p.b)]
        poles = {
            joined.find(f"{source.device}:{pole}")
            for source in self._states.panel.sources
            for pole in source.poles
        }
        beside: dict[str, list[str]] = {}
        for part in loads:
            a, b = joined.find(part.a), joined.find(part.b)
            beside.setdefault(a, []).append(b)
            beside.setdefault(b, []).append(a)
        ends = [(joined.find(coil.a), joined.find(coil.b)) for coil in coils]
        return all(len(met_first(both, beside, poles)) < 2 for both in ends)

    @cached_property
    def _closed(self) -> list[tuple[Part, int]]:
        """What may count as wire, and when."""
        parts = (part for part in self._states.panel.parts if part.a != part.b)
        return [(p, c) for p in parts if p.load is None if (c := self._states.closed(p)) != FALSE]

    @cached_property
    def _loads(self) -> list[Part]:
        """All that takes a current, whether it is whole or not."""
        parts = [part for part in self._states.panel.parts if part.load is not None]
        return [part for part in parts if part.a != part.b]

    def _flips(self, moving: int) -> Iterator[tuple[int, int]]:
        """In each case the first that must move; where none must, the first timer that may."""
        machine = self._states.machine
        for may in (False, True):
            for name, mover in machine.movers.items():
                if may and not mover.timed:
                    continue
                where = self._wanted(machine.motions[name], self._values[mover.state], may) & moving
                moving &= ~where
                if where:
                    yield mover.state, where

    def _wanted(self, motion: Motion, now: int, may: bool) -> int:
        rise, fall = (
            (motion.may_rise, motion.may_fall) if may else (motion.must_rise, motion.must_fall)
        )
        value = self._literals.value
        return value(rise) & ~now | value(fall) & now


def _bits(number: int) -> Iterator[int]:
    while number:
        yield (number & -number).bit_length() - 1
        number &= number - 1


class Played:
    """The states of one panel with each of these candidates in it, whatever is put where."""

    def __init__(self, sound: Sound, candidates: Iterable[Candidate]) -> None:
        self._sound = sound
        cases = {one.words: one.faults for one in candidates if _is_played(sound.panel, one)}
        self._cases = tuple(cases.values())
        self._bit = {words: bit for bit, words in enumerate(cases)}
        self._known: dict[Withs, FaultsAtOnce] = {}

    def standing(self, candidate: Candidate, withs: Withs, broken: Panel) -> Standing | None:
        """None where it has to be worked out by itself."""
        bit = self._bit.get(candidate.words)
        if bit is None:
            return None
        if withs not in self._known:
            self._known[withs] = FaultsAtOnce(self._sound.standing(withs), self._cases)
        return self._known[withs].standing(bit, broken, self._sound.rated)


def _is_played(panel: Panel, candidate: Candidate) -> bool:
    """A trip that moves auxiliary contacts closes some too: its bit could not."""
    plain = not (candidate.edits or candidate.held or candidate.operated)
    return plain and all(
        fault.kind in PLAYED and not following_a_trip(panel, fault) for fault in candidate.faults
    )


class _Literals:
    """Literals of a behaviour in all cases at once, for the `values` that its variables have."""

    def __init__(self, states: Breakable, values: Mapping[int, int], every: int) -> None:
        self._logic, self._meaning = states.logic, states.meaning
        self._values, self._every = values, every
        self._known: dict[int, int] = {FALSE: 0}
        self._plan: list[int] = []
        """Gates and live sources, each behind what it is made of."""
        motions = states.machine.motions.values()
        for motion in motions:
            self._add(motion.must_rise, motion.must_fall, motion.may_rise, motion.may_fall)
        self._add(*states.in_doubt.values())

    def look(self) -> None:
        """Take the values as they are now."""
        self._known.update(self._values)
        self._work_out(self._plan)

    def _work_out(self, nodes: Iterable[int]) -> None:
        known, operands, meaning = self._known, self._logic.operands, self._meaning
        for node in nodes:
            if node in meaning:
                known[node] = self._of(meaning[node])
            else:
                a, b = operands(node)
                known[node] = self._of(a) & self._of(b)

    def value(self, literal: int) -> int:
        """The cases in which it is true."""
        if literal & ~1 not in self._known:
            planned = len(self._plan)
            self._add(literal)
            self._work_out(self._plan[planned:])
        return self._of(literal)

    def _of(self, literal: int) -> int:
        known = self._known[literal & ~1]
        return known ^ self._every if literal & 1 else known

    def _add(self, *literals: int) -> None:
        """Sources that lead back to themselves have been settled when their meaning was found."""
        ready = {*self._plan, FALSE}
        todo = [literal & ~1 for literal in literals]
        while todo:
            node = todo[-1]
            below = [one for one in self._below(node) if one not in ready]
            if node in ready or not below:
                todo.pop()
                if node not in ready and self._below(node):
                    self._plan.append(node)
                ready.add(node)
            else:
                todo += below

    def _below(self, node: int) -> list[int]:
        if node in self._meaning:
            return [self._meaning[node] & ~1]
        if node == FALSE or self._logic.is_variable(node):
            return []
        return [one & ~1 for one in self._logic.operands(node)]


class Placed(Standing):
    """A panel with a fault in it, whose machine is that of the sound one: what moves stands
    where the fault has left it, and what is broken is in the case's panel."""

    def __init__(self, at_once: FaultsAtOnce, bit: int, standing: Standing) -> None:
        fields = (standing.case, standing.states, standing.values, standing.restless)
        super().__init__(*fields, standing.rated)
        object.__setattr__(self, "_at_once", (at_once, bit))

    @property
    def panel(self) -> Panel:
        return self.case.panel

    def is_energised(self, part: Part) -> bool:
        at_once, bit = self.__dict__["_at_once"]
        return at_once.energised(part, bit)  # type: ignore[no-any-return]
