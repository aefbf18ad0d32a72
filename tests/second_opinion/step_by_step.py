"""The plain reading of a machine: one state after another, held as it is.

Nothing here is shared with the engine but the machine itself; the value of an expression
in a given state is worked out anew.  It is slow, and written to be read against the words: what
an operation is, when it is allowed, what a race may do besides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, combinations, product

from netcheck.states.answers import Reached
from netcheck.states.expressions import Logic
from netcheck.states.machine import Machine, Mover, Switch
from tests.second_opinion.tally import REPLAYS, counts, written

State = tuple[int, ...]
"""The number of each switch's position, then 1 for each mover that is in."""


@dataclass(frozen=True)
class StepByStep:
    """The part of a machine that one question depends on."""

    machine: Machine
    names: tuple[str, ...]
    chatterers: frozenset[str] = frozenset()

    @cached_property
    def switches(self) -> list[Switch]:
        return [s for s in self.machine.switches.values() if s.name in self.names]

    @cached_property
    def movers(self) -> list[Mover]:
        return [m for m in self.machine.movers.values() if m.name in self.names]

    @cached_property
    def _constraints(self) -> list[int]:
        own = {m.state for m in self.movers} | {bit for s in self.switches for bit in s.bits}
        logic = self.machine.logic
        return [
            c for c in self.machine.constraints if not logic.support(c) or logic.support(c) & own
        ]

    @cached_property
    def _known(self) -> dict[tuple[int, State], bool]:
        return {}

    def holds(self, literal: int, state: State) -> bool:
        known = self._known.get((literal, state))
        if known is None:
            # What the question does not depend on is left open, out, or in its first position.
            values: dict[int, bool] = {}
            for switch, position in zip(self.switches, state, strict=False):
                values |= {bit: bool(position >> k & 1) for k, bit in enumerate(switch.bits)}
            for mover, is_in in zip(self.movers, state[len(self.switches) :], strict=True):
                values[mover.state] = bool(is_in)
            known = _value(self.machine.logic, literal, values)
            self._known[literal, state] = known
        return known

    def forget(self) -> None:
        """Let go of the values of expressions in states."""
        self._known.clear()

    def allowed(self, state: State) -> bool:
        return all(self.holds(constraint, state) for constraint in self._constraints)

    def after_flips(self, state: State, numbers: Iterable[int]) -> State:
        after = list(state)
        for number in numbers:
            after[len(self.switches) + number] ^= 1
        return tuple(after)

    def _moves(self, state: State, number: int, *, forced: bool) -> bool:
        motion = self.machine.motions[self.movers[number].name]
        is_in = state[len(self.switches) + number]
        if forced:
            wish = motion.must_fall if is_in else motion.must_rise
        else:
            wish = motion.may_fall if is_in else motion.may_rise
        return self.holds(wish, state) and self.allowed(self.after_flips(state, [number]))

    def can_move(self, state: State) -> list[int]:
        return [n for n in range(len(self.movers)) if self._moves(state, n, forced=False)]

    def must_move(self, state: State) -> list[int]:
        return [n for n in range(len(self.movers)) if self._moves(state, n, forced=True)]

    def waits_for(self, state: State, strict: bool) -> list[int]:
        """The movers an operation has to wait for."""
        must = self.must_move(state)
        return must if strict else [n for n in must if self.movers[n].name not in self.chatterers]

    def is_wanted(self, bad: int, at: str, state: State, strict: bool) -> bool:
        if not (self.holds(bad, state) and self.allowed(state)):
            return False
        if at == "any instant":
            return True
        rests = all(p in s.resting for s, p in zip(self.switches, state, strict=False))
        return rests and not self.waits_for(state, strict)

    # Settled operation.

    def operated_starts(self) -> Iterator[State]:
        positions = [sorted(switch.start) for switch in self.switches]
        return filter(self.allowed, map(tuple, product(*positions, *self._mover_starts())))

    def operated_after(self, state: State, strict: bool) -> Iterator[State]:
        settled = not self.waits_for(state, strict)
        must = self.must_move(state)
        for number in self.can_move(state):
            if settled or number in must or not self.movers[number].timed:
                yield self.after_flips(state, [number])
        if settled:
            for place, switch in enumerate(self.switches):
                for before, after in switch.moves:
                    there = (*state[:place], after, *state[place + 1 :])
                    if state[place] == before and self.allowed(there):
                        yield there

    def operated_distance(self, wanted: Callable[[State], bool], strict: bool) -> int | None:
        return _distance(self.operated_starts(), lambda s: self.operated_after(s, strict), wanted)

    # Races.

    def _mover_starts(self) -> list[tuple[int, ...]]:
        return [(0, 1) if m.start is None else (int(m.start),) for m in self.movers]

    def race_starts(self) -> Iterator[State]:
        positions = [range(len(switch.positions)) for switch in self.switches]
        return filter(self.allowed, map(tuple, product(*positions, *self._mover_starts())))

    def moved_in_a_race(self, state: State, same_instant: bool) -> set[State]:
        """How the movers may stand next, and as they do."""
        can = self.can_move(state)
        sizes = range(len(can) + 1) if same_instant else range(min(len(can), 1) + 1)
        groups = chain.from_iterable(combinations(can, size) for size in sizes)
        return {self.after_flips(state, group)[len(self.switches) :] for group in groups}

    def race_after(self, state: State, same_instant: bool) -> Iterator[State]:
        movers = self.moved_in_a_race(state, same_instant)
        positions = [range(len(switch.positions)) for switch in self.switches]
        for here in movers:
            for there in product(*positions):
                if self.allowed((*there, *here)):
                    yield (*there, *here)

    def race_distance(self, wanted: Callable[[State], bool], same_instant: bool) -> int | None:
        return _distance(self.race_starts(), lambda s: self.race_after(s, same_instant), wanted)

    # The whole question.

    def verdict(self, bad: int, at: str, same_instant: bool) -> tuple[str, int | None]:
        """The kind of answer, and how many steps of settled operation lead there."""
        if not any(True for _ in self.race_starts()):
            return "assumptions contradict", None
        loosely = self.race_distance(lambda s: self.is_wanted(bad, at, s, False), same_instant)
        if loosely is None:
            return "never", None
        distance = self.operated_distance(lambda s: self.is_wanted(bad, at, s, True), True)
        if distance is not None:
            return "settled operation", distance
        distance = self.operated_distance(lambda s: self.is_wanted(bad, at, s, False), False)
        if distance is not None:
            return "may chatter", distance
        return "race", None

    # A way, step by step.

    def read(self, values: Mapping[str, str | bool]) -> State:
        positions = [s.positions.index(str(values[s.name])) for s in self.switches]
        return (*positions, *(int(values[m.name]) for m in self.movers))

    @counts(REPLAYS, lambda self, way, bad, *_, **__: written(self.machine, bad))
    def check_way(self, way: Reached, bad: int, at: str, same_instant: bool, strict: bool) -> None:
        """Every step is one that can be taken, and the last state is what was asked about."""
        here = self.read(way.start)
        race = way.kind == "race"
        assert here in set(self.race_starts() if race else self.operated_starts())
        for step in way.steps:
            there = self.read(step.state)
            next_ones = (
                self.race_after(here, same_instant) if race else self.operated_after(here, strict)
            )
            assert there in set(next_ones)
            changed = {c.name: (c.before, c.after) for c in step.changes}
            assert changed == _changes(self._words(here), step.state)
            here = there
        assert self.is_wanted(bad, at, here, strict and not race)

    def _words(self, state: State) -> dict[str, str | bool]:
        words: dict[str, str | bool] = {
            s.name: s.positions[p] for s, p in zip(self.switches, state, strict=False)
        }
        movers = zip(self.movers, state[len(self.switches) :], strict=True)
        return words | {m.name: bool(is_in) for m, is_in in movers}

    def every_race_state(self) -> set[State]:
        seen: set[State] = set()
        todo = list(self.race_starts())
        while todo:
            state = todo.pop()
            if state not in seen:
                seen.add(state)
                todo += self.race_after(state, same_instant=False)
        return seen

    def comes_to_rest(self, state: State) -> bool:
        """Whether forced moves can bring every mover that is no possible chatterer to rest."""

        def after(here: State) -> Iterator[State]:
            for number in self.waits_for(here, strict=False):
                yield self.after_flips(here, [number])

        return _distance([state], after, lambda s: not self.waits_for(s, strict=False)) is not None


def _value(logic: Logic, literal: int, values: dict[int, bool]) -> bool:
    """Whether a literal is true: an odd one is the opposite of the even one below it, an even
    one a variable or both its operands.  `values` is filled in."""
    node = literal & ~1
    todo = [node]
    while todo:
        here = todo[-1]
        if here == 0 or logic.is_variable(here):
            values.setdefault(here, False)
        if here in values:
            todo.pop()
            continue
        operands = logic.operands(here)
        below = [operand & ~1 for operand in operands if operand & ~1 not in values]
        todo += below
        if not below:
            values[here] = all(values[x & ~1] != bool(x & 1) for x in operands)
    return values[node] != bool(literal & 1)


def _changes(
    before: Mapping[str, str | bool], after: Mapping[str, str | bool]
) -> dict[str, tuple[str | bool, str | bool]]:
    return {n: (before[n], after[n]) for n in after if before[n] != after[n]}


def _distance(
    starts: Iterable[State],
    after: Callable[[State], Iterable[State]],
    wanted: Callable[[State], bool],
) -> int | None:
    layer = set(starts)
    seen = set(layer)
    distance = 0
    while layer:
        if any(wanted(state) for state in layer):
            return distance
        layer = {new for state in layer for new in after(state)} - seen
        seen |= layer
        distance += 1
    return None
