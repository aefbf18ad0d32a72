"""Proof that a bad state is never reached, by clauses that every step keeps (IC3).

Frame k holds clauses true in every state reached within k steps.  A state from which a bad
one follows is ruled out of a frame by a clause that the frame before implies; when two
frames agree, their clauses are an invariant.  A chain of such states back to the start is
a way there.

A cube is a tuple of literals, true in the states in which all of them are.

Source: A. R. Bradley, "SAT-based model checking without unrolling", VMCAI 2011 (from memory).
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from netcheck.record import record
from netcheck.states.solver import Clauses, Meter, value
from netcheck.states.system import Moment, System
from netcheck.states.trace import Assignment

_SHORTEST = 12
"""Up to so many steps a way is sure to be a shortest one."""

Cube = tuple[int, ...]


class ProofError(Exception):
    """A proof did not stand up to its re-check: a fault of this program, never of the input."""


@record
class Invariant:
    """Cubes no reachable state is in."""

    cubes: tuple[Cube, ...]


@record
class Way:
    """The instants of a way from a start to a bad state.  No way has fewer than `least_steps`."""

    instants: list[Assignment]
    least_steps: int


@record
class _Obligation:
    """A cube from whose states, with these inputs, the next obligation's follow (None: bad)."""

    cube: Cube
    inputs: tuple[bool, ...]
    then: _Obligation | None


def prove(system: System, meter: Meter) -> Invariant | Way | None:
    """An invariant that rules the bad states out, a way to one, or None: no state to start in.

    Raises OutOfBudget.
    """
    with Clauses() as main, Clauses() as lifting:
        return _Search(system, meter, main, _Lifting(system, meter, lifting)).run()


def check(system: System, invariant: Invariant, meter: Meter) -> None:
    """Show afresh that starts are in the invariant, steps keep it, and no bad state is in it.

    Raises ProofError, OutOfBudget.
    """
    with Clauses() as clauses:
        moment = system.moment(clauses)
        clauses.add([moment.allowed])
        for cube in invariant.cubes:
            clauses.add([-_literal(moment.now, literal) for literal in cube])
        if meter.solve(clauses.solver, [moment.bad]):
            raise ProofError("the invariant allows a bad state")
        for cube in invariant.cubes:
            if meter.solve(clauses.solver, [_literal(moment.after, x) for x in cube]):
                raise ProofError("a step leaves the invariant")
    with Clauses() as clauses:
        moment = system.moment(clauses)
        for clause in [*system.start_clauses(moment), [moment.allowed]]:
            clauses.add(clause)
        for cube in invariant.cubes:
            if meter.solve(clauses.solver, [_literal(moment.now, literal) for literal in cube]):
                raise ProofError("a start is outside the invariant")


def _literal(now: Mapping[int, int], literal: int) -> int:
    return -now[literal & ~1] if literal & 1 else now[literal]


def _signed(literals: Iterable[int], values: Iterable[bool]) -> list[int]:
    return [literal if on else -literal for literal, on in zip(literals, values, strict=True)]


class _Lifting:
    """Finds the part of a state that is enough, with the same inputs, for what followed."""

    def __init__(self, system: System, meter: Meter, clauses: Clauses) -> None:
        self._system = system
        self._meter = meter
        self._clauses = clauses

    @cached_property
    def _moment(self) -> Moment:
        return self._system.moment(self._clauses)

    def for_bad(self, cube: Cube, inputs: tuple[bool, ...]) -> Cube:
        """Enough of a bad state to be bad."""
        return self._lift(cube, inputs, [self._moment.bad])

    def for_cube(self, cube: Cube, inputs: tuple[bool, ...], then: Cube) -> Cube:
        """Enough of a state to be in the cube `then` after the step."""
        return self._lift(cube, inputs, [_literal(self._moment.after, x) for x in then])

    def _lift(self, cube: Cube, inputs: tuple[bool, ...], goal: list[int]) -> Cube:
        moment, clauses = self._moment, self._clauses
        here = {_literal(moment.now, literal): literal for literal in cube}
        failing = clauses.fresh()
        clauses.add([-failing, -moment.allowed, *(-literal for literal in goal)])
        if self._meter.solve(clauses.solver, [failing, *_signed(moment.inputs, inputs), *here]):
            raise ProofError("a step does not lead where it led")
        core = clauses.solver.get_core() or []
        clauses.add([-failing])
        return tuple(here[literal] for literal in core if literal in here)


class _Search:
    def __init__(self, system: System, meter: Meter, main: Clauses, lifting: _Lifting) -> None:
        self._system = system
        self._meter = meter
        self._main = main
        self._lifting = lifting
        self._moment = system.moment(main)
        main.add([self._moment.allowed])
        self._switches: list[int] = [main.fresh()]  # the literal that turns each frame on
        for clause in system.start_clauses(self._moment):
            main.add([-self._switches[0], *clause])
        self._frames: list[set[Cube]] = [set()]
        self._count = 0

    def run(self) -> Invariant | Way | None:
        if not self._solve(0, []):
            return None
        while True:
            top = len(self._frames) - 1
            while self._solve(top, [self._moment.bad]):
                way = self._block(self._bad_obligation(), top)
                if way is not None:
                    return way
            self._frames.append(set())
            self._switches.append(self._main.fresh())
            proved = self._propagate()
            if proved is not None:
                return proved

    def _solve(self, frame: int, assumptions: Sequence[int]) -> bool:
        return self._meter.solve(self._main.solver, [*self._switches[frame:], *assumptions])

    # Going back from a bad state.

    def _bad_obligation(self) -> _Obligation:
        cube, inputs = self._read()
        return _Obligation(self._lifting.for_bad(cube, inputs), inputs, None)

    def _read(self) -> tuple[Cube, tuple[bool, ...]]:
        model = self._main.solver.get_model() or []
        now = self._moment.read(model, self._system.variables)
        cube = tuple(variable if on else variable ^ 1 for variable, on in now.items())
        return cube, tuple(value(model, literal) for literal in self._moment.inputs)

    def _block(self, first: _Obligation, top: int) -> Way | None:
        """Rule out a chain of cubes, or find that it reaches back to a start.

        Where a cube is not tried again in a later frame, each chain has a step for each frame,
        and the first that reaches back is a shortest way.  A long way is found faster otherwise.
        """
        queue = [(top, 0, first)]
        while queue:
            frame, _, todo = heapq.heappop(queue)
            if frame == 0 or self._start_in(todo.cube) is not None:
                return self._way(todo)
            if self._excluded(todo.cube, frame):
                continue
            target = [_literal(self._moment.after, literal) for literal in todo.cube]
            if self._relative(todo.cube, frame, target):
                cube, inputs = self._read()
                enough = self._lifting.for_cube(cube, inputs, todo.cube)
                before = _Obligation(enough, inputs, todo)
                self._push(queue, frame - 1, before)
                self._push(queue, frame, todo)
            else:
                cube = self._generalise(self._core(todo.cube), frame)
                while frame < top and not self._relative_of(cube, frame + 1):
                    frame += 1
                self._add(cube, frame)
                if frame < top and top > _SHORTEST:
                    self._push(queue, frame + 1, todo)
        return None

    def _push(
        self, queue: list[tuple[int, int, _Obligation]], frame: int, todo: _Obligation
    ) -> None:
        self._count -= 1  # the newest first, so that a chain is followed to its end
        heapq.heappush(queue, (frame, self._count, todo))

    def _excluded(self, cube: Cube, frame: int) -> bool:
        literals = set(cube)
        return any(literals.issuperset(known) for k in self._frames[frame:] for known in k)

    def _start_in(self, cube: Iterable[int]) -> dict[int, bool] | None:
        return self._system.starts_in({literal & ~1: not literal & 1 for literal in cube})

    def _way(self, first: _Obligation) -> Way:
        state = self._start_in(first.cube)
        instants: list[Assignment] = []
        todo: _Obligation | None = first
        while todo is not None:
            if state is None:
                raise ProofError("the way does not begin at a start")
            now = [
                self._moment.now[variable] if on else -self._moment.now[variable]
                for variable, on in state.items()
            ]
            inputs = _signed(self._moment.inputs, todo.inputs)
            if not self._meter.solve(self._main.solver, now + inputs):
                raise ProofError("a step of the way cannot be made")
            model = self._main.solver.get_model() or []
            instants.append(self._moment.read(model, self._system.cone.variables))
            state = self._moment.read_after(model)
            todo = todo.then
        return Way(instants, len(self._frames) - 1)

    # Ruling cubes out.

    def _relative(self, cube: Cube, frame: int, target: list[int]) -> bool:
        """Whether a state of the frame before, outside the cube, has a step into the target."""
        outside = self._main.fresh()
        self._main.add([-outside, *(-_literal(self._moment.now, x) for x in cube)])
        reached = self._solve(frame - 1, [outside, *target])
        if not reached:
            self._last_core = frozenset(self._main.solver.get_core() or ())
        self._main.add([-outside])
        return reached

    def _relative_of(self, cube: Cube, frame: int) -> bool:
        return self._relative(cube, frame, [_literal(self._moment.after, x) for x in cube])

    def _core(self, cube: Cube) -> Cube:
        """The part of the cube the last proof needed, and what keeps the starts out of it."""
        core = self._last_core
        kept = [x for x in cube if _literal(self._moment.after, x) in core]
        for literal in cube:
            if self._start_in(kept) is None:
                break
            if literal not in kept:
                kept.append(literal)
        return tuple(sorted(kept))

    def _generalise(self, cube: Cube, frame: int) -> Cube:
        """Leave out literals for as long as the rest is still ruled out."""
        for literal in cube:
            if literal not in cube or len(cube) == 1:
                continue
            fewer = tuple(x for x in cube if x != literal)
            if self._start_in(fewer) is None and not self._relative_of(fewer, frame):
                cube = self._core(fewer)
        return cube

    def _add(self, cube: Cube, frame: int) -> None:
        literals = set(cube)
        for k in range(1, frame + 1):
            self._frames[k] = {c for c in self._frames[k] if not literals.issubset(c)}
        self._frames[frame].add(cube)
        now = [-_literal(self._moment.now, x) for x in cube]
        self._main.add([-self._switches[frame], *now])

    def _propagate(self) -> Invariant | None:
        top = len(self._frames) - 1
        for frame in range(1, top):
            for cube in sorted(self._frames[frame]):
                if not self._solve(frame, [_literal(self._moment.after, x) for x in cube]):
                    self._frames[frame].discard(cube)
                    self._add(cube, frame + 1)
            if not self._frames[frame]:
                return Invariant(tuple(sorted(c for k in self._frames[frame + 1 :] for c in k)))
        return None
