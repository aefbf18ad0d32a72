"""A state of the joint machine: with as little away from rest as can be, and in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

from netcheck.model.devices import Drive, Mechanism
from netcheck.revisions.joint import Joint
from netcheck.states.answers import Budget, Reached, Step
from netcheck.states.expressions import FALSE, TRUE, Logic
from netcheck.states.proof import Prover

QUICKLY = Budget(rounds=((0, 2_000), (300_000, 50_000)))
"""For a state that is shorter: there is one already, so that little work is spent on it."""


class JointStates:
    """States of the machine of two panels, as somebody at the panel would put them."""

    def __init__(self, joint: Joint) -> None:
        self._joint = joint
        self._known: dict[str, Mechanism] = dict(joint.old.panel.mechanisms)
        for mechanism in joint.new.panel.mechanisms.values():
            self._known[joint.pairs.mechanism(mechanism.name)] = mechanism
        self._given: list[Reached] = []

    # ---- the shortest ----------------------------------------------------------------------------

    def shortest(self, literal: int, reached: Reached) -> Reached:
        """The state in which `literal` holds with the fewest switches away from rest.

        Sources do not count: they are on.  One that was given before is given again where it
        does.  Where a shorter one is not found with little work, the one that was `reached` stays.
        """
        given = [*self._given_before(literal), reached]
        reached = min(given, key=self._number_away)
        away = [self._away(name) for name in self._hands_among(self._joint.depends_on(literal))]
        while number := self._number_away(reached):
            fewer = self._logic.both(literal, at_most(self._logic, away, number - 1))
            answer = self._joint.can_happen(fewer, prover=self._quick)
            if not isinstance(answer, Reached) or answer.kind == "race":
                break
            reached = answer
        self._given.append(reached)
        return reached

    def _number_away(self, reached: Reached) -> int:
        return sum(
            reached.state[name] != self._rest(name) for name in self._hands_among(reached.state)
        )

    def _given_before(self, literal: int) -> list[Reached]:
        """States that were given for others, say all that this depends on, and show this too."""
        needed = self._joint.depends_on(literal)
        return [
            one
            for one in self._given
            if needed <= one.state.keys() and self._joint.value(literal, one)
        ]

    def _hands_among(self, names: Iterable[str]) -> list[str]:
        """Those that hands and the process move."""
        return [
            name
            for name in sorted(names)
            if name in self._joint.machine.switches
            and name in self._known
            and self._known[name].drive is not Drive.SOURCE
        ]

    def _away(self, name: str) -> int:
        """True where a switch is not at rest."""
        switch, rest = self._joint.machine.switches[name], self._rest(name)
        at_rest = [index for index, position in enumerate(switch.positions) if position == rest]
        return self._joint.machine.in_positions(switch, at_rest) ^ 1

    @property
    def _logic(self) -> Logic:
        return self._joint.machine.logic

    @cached_property
    def _quick(self) -> Prover:
        return Prover(self._joint.machine, QUICKLY)

    # ---- in words --------------------------------------------------------------------------------

    def tell(self, reached: Reached) -> tuple[dict[str, str], tuple[str, ...]]:
        state = {}
        for name, value in reached.state.items():
            mechanism = self._known.get(name)
            if mechanism is None or mechanism.drive is Drive.SOURCE or isinstance(value, bool):
                continue
            if value != mechanism.positions[0]:
                state[mechanism.name] = value
        steps = [
            self._step(name, value)
            for name, value in reached.start.items()
            if isinstance(value, str) and value != self._rest(name)
        ]
        steps += [self._steps(step) for step in reached.steps]
        return state, tuple(step for step in steps if step)

    def _rest(self, name: str) -> str:
        mechanism = self._known.get(name)
        return mechanism.positions[0] if mechanism else ""

    def _steps(self, step: Step) -> str:
        return " and ".join(
            filter(None, (self._step(change.name, change.after) for change in step.changes))
        )

    def _step(self, name: str, value: str | bool) -> str:
        """Hands and the process; of relays only timers, which run out of their own accord."""
        for side in (" before", " now"):
            name = name.removesuffix(side)
        mechanism = self._known.get(name)
        if mechanism is None:
            return ""
        if isinstance(value, bool):
            timer = mechanism.drive in (Drive.ON_DELAY, Drive.OFF_DELAY)
            return mechanism.steps[int(value)] if timer else ""
        return (
            mechanism.steps[mechanism.positions.index(value)]
            if value in mechanism.positions
            else ""
        )


def at_most(logic: Logic, literals: Sequence[int], most: int) -> int:
    """True where no more than `most` of the literals are."""
    at_least = [TRUE, *[FALSE] * (most + 1)]
    for literal in literals:
        for number in range(most + 1, 0, -1):
            one_more = logic.both(at_least[number - 1], literal)
            at_least[number] = logic.either(at_least[number], one_more)
    return at_least[-1] ^ 1
