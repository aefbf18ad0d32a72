"""From assignments of the cone's variables to the steps a person can follow."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Literal

from netcheck.states.answers import Change, Reached, Step, Value
from netcheck.states.cone import Cone
from netcheck.states.expressions import Logic
from netcheck.states.machine import Switch

Assignment = Mapping[int, bool]
"""A value for every variable of the cone."""


def operated(cone: Cone, instants: Iterable[Assignment]) -> Reached:
    """Settled operation, from the state of each instant; instants in which nothing moved go."""
    return _reached("settled operation", [_described(cone, instant) for instant in instants])


def race(logic: Logic, cone: Cone, instants: Sequence[Assignment], bad: Sequence[int]) -> Reached:
    """A race: in each instant the switches are so that the movers can go on to the next.

    `bad` are the literals that are all true in the last.  Switches that need not move stay.
    """
    before = _home(cone)
    states: list[dict[str, Value]] = []
    for here, after in zip(instants, [*instants[1:], None], strict=True):
        flips = [m for m in cone.movers if after and here[m.mover.state] != after[m.mover.state]]
        wanted = [m.may for m in flips] if after else bad
        if not states and _holds(logic, cone.constraints, home := {**here, **before}):
            states.append(_described(cone, home))
        calm = _calmed(logic, cone, here, before, [*cone.constraints, *wanted])
        states.append(_described(cone, calm))
        moved = {m.mover.state: not here[m.mover.state] for m in flips}
        landed = {**calm, **moved}
        if _holds(logic, cone.constraints, landed):  # else the switches move with the movers
            states.append(_described(cone, landed))
        before = {bit: calm[bit] for switch in cone.switches for bit in switch.bits}
    return _reached("race", states)


def _home(cone: Cone) -> dict[int, bool]:
    """Each switch in the first position that it starts in."""
    return {
        bit: value
        for switch in cone.switches
        for bit, value in switch.values_in(min(switch.start)).items()
    }


def _calmed(
    logic: Logic, cone: Cone, here: Assignment, before: Assignment, wanted: Sequence[int]
) -> dict[int, bool]:
    """`here` with every switch left where it was `before` that the wanted literals do not need."""
    calm = dict(here)
    for switch in cone.switches:
        if any(here[bit] != before[bit] for bit in switch.bits):
            trial = {**calm, **{bit: before[bit] for bit in switch.bits}}
            concerned = [x for x in wanted if not logic.support(x).isdisjoint(switch.bits)]
            if _holds(logic, concerned, trial):
                calm = trial
    return calm


def _holds(logic: Logic, literals: Iterable[int], assignment: Assignment) -> bool:
    return all(logic.evaluate(literal, assignment) for literal in literals)


def _reached(
    kind: Literal["settled operation", "race"], states: Sequence[Mapping[str, Value]]
) -> Reached:
    steps = []
    for before, after in pairwise(states):
        changes = [Change(n, before[n], after[n]) for n in after if before[n] != after[n]]
        if changes:
            steps.append(Step(tuple(changes), after))
    return Reached(kind, states[0], tuple(steps))


def _described(cone: Cone, assignment: Assignment) -> dict[str, Value]:
    state: dict[str, Value] = {s.name: s.positions[_code(s, assignment)] for s in cone.switches}
    state.update({m.mover.name: assignment[m.mover.state] for m in cone.movers})
    return state


def _code(switch: Switch, assignment: Assignment) -> int:
    return sum(assignment[bit] << place for place, bit in enumerate(switch.bits))
