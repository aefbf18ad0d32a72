"""Which loads can be on at once, in states that ordinary operation reaches.

A load draws current while it is fed, at whatever voltage, and a drive while a motor is on its
output besides: one that a bypass has taken over idles.  A race is too short to heat a
wire and does not count.  Up to a number of loads it is proved; beyond that only what has
been seen to happen is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from netcheck.case import View, concludes
from netcheck.facts.behaviour import Behaviour, CertainBehaviour, decided
from netcheck.facts.current_paths import CurrentPaths
from netcheck.facts.seen_states import SeenStates
from netcheck.model.devices import Part
from netcheck.states.answers import Answer, Never, Reached, Undecided
from netcheck.states.behaviour import Behaviour as States
from netcheck.states.expressions import FALSE, TRUE

MOST_LOADS = 16
"""In one question to the prover."""
MOST_QUESTIONS = 200
"""Of one panel; then it is not decided."""
MOST_KNOTTED = 20_000
"""Of one panel: relays and switches that have a say, squared, question by question, where they
are too many for a list of states."""
LISTED = 17
"""Relays and switches of which every state is listed, at no great cost."""
MOST_SINGLY = 6
"""Loads that are tried off one by one where they cannot all be."""
MILLIS = 1000


class LoadsAtOnce:
    """Loads are numbered as `CurrentPaths` numbers them."""

    def __init__(
        self, paths: CurrentPaths, wide: States, certain: States, seen: SeenStates
    ) -> None:
        self._paths = paths
        self._wide = wide
        self._certain = certain
        self._seen = seen
        self._questions = 0
        self._knotted = 0
        self._answers: dict[tuple[int, ...], Answer] = {}
        self._on: dict[int, int] = {}

    def together(self, numbers: Sequence[int]) -> Answer:
        """Whether all of these can be on at once."""
        key = tuple(sorted(numbers))
        if key not in self._answers:
            self._answers[key] = self._together(key)
        return self._answers[key]

    def with_others_off(
        self, numbers: Sequence[int], others: Sequence[int], answer: Reached
    ) -> Reached:
        """A state in which as many of the others are off as can be; `answer` if none can be."""
        off: tuple[int, ...] = ()
        for more in (tuple(others), *((one,) for one in others[:MOST_SINGLY])):
            if not set(more) <= set(off):
                found = self._together(tuple(sorted(numbers)), (*off, *more))
                if isinstance(found, Reached):
                    answer, off = found, (*off, *more)
        return answer

    def seen_together(self, weights: Mapping[int, float]) -> tuple[int, ...]:
        """Of some loads those that were on in the heaviest state that has been seen.

        Weights are whole thousandths and added up for all states at once, digit by digit:
        each digit of the sums is one number with a bit for each state.
        """
        digits: list[int] = []
        for number, weight in weights.items():
            for place in _ones(int(weight * MILLIS)):
                _add(digits, self._seen_on(number), place)
        best = -1
        for digit in reversed(digits):
            best = best & digit or best
        if best <= 0:
            return ()
        state = best & -best
        return tuple(number for number in weights if self._seen_on(number) & state)

    def _together(self, numbers: tuple[int, ...], off: tuple[int, ...] = ()) -> Answer:
        if any(number not in self._paths.fed for number in numbers):
            return Undecided("some of its loads stand in series with others")
        if len(numbers) > MOST_LOADS or self._questions >= MOST_QUESTIONS:
            return Undecided(f"which of its {len(numbers)} loads can be on at once is not proved")
        if self._is_too_much(numbers, off):
            return Undecided("too many relays and switches have a say in which loads are on")
        self._questions += 1
        answer = self._ask(self._certain, numbers, off)
        if self._certain is not self._wide and not isinstance(answer, Reached):
            wide = self._ask(self._wide, numbers, off)
            answer = decided(answer, wide, self._wide.uncertain_coils)
        if isinstance(answer, Reached) and answer.kind == "race":
            return Never("logic alone")
        return answer

    def _is_too_much(self, numbers: Sequence[int], off: Sequence[int]) -> bool:
        literal = self._all_draw(self._wide, numbers, off)
        count = len(self._wide.prover.depends_on(literal))
        if count > LISTED:
            self._knotted += count * count
        return count > LISTED and self._knotted > MOST_KNOTTED

    def _ask(self, states: States, numbers: Sequence[int], off: Sequence[int]) -> Answer:
        return states.prover.can_happen(self._all_draw(states, numbers, off))

    def _all_draw(self, states: States, numbers: Sequence[int], off: Sequence[int]) -> int:
        """With the loads in `off` off."""
        drives = self._systems_of_drives(states, numbers)
        drawing = [self._draws(states, number, drives) for number in numbers]
        return states.logic.all_of([*drawing, *(self._draws(states, one) ^ 1 for one in off)])

    def _systems_of_drives(self, states: States, numbers: Sequence[int]) -> frozenset[str]:
        """What the drives among these loads feed: a motor beside its drive is on past it."""
        parts = (part for number in numbers for part in self._paths.loads[number].parts)
        drives = {part.index for part in parts if part.load and part.load.works == "drive"}
        return frozenset(
            source.basis for source in states.panel.sources if drives & set(source.inputs)
        )

    def _draws(self, states: States, number: int, drives: frozenset[str] = frozenset()) -> int:
        """While a load is fed at any voltage at all, in every winding it has, and draws on it."""
        parts = self._paths.loads[number].parts
        fed = [
            states.logic.any_of(
                [
                    feed.condition
                    for feed in states.feeds(part)
                    if not drives & {basis for basis, _ in feed.volts}
                ]
            )
            for part in parts
        ]
        return states.logic.all_of([*fed, self._has_a_motor(states, parts[0])])

    def _has_a_motor(self, states: States, part: Part) -> int:
        """Of a drive's input, while its output is joined to a motor, if it ever is."""
        if part.load is None or part.load.works != "drive":
            return TRUE
        rails = [
            states.pole_node(index, pole)
            for index, source in enumerate(states.panel.sources)
            if part.index in source.inputs
            for pole in source.poles
        ]
        motors = [one for one in states.panel.parts if one.load and one.load.works == "motor"]
        ends = {states.node(end) for motor in motors for end in (motor.a, motor.b)}
        joined = states.logic.any_of(
            [
                TRUE if end == rail else states.circuit.from_rail(end, rail)
                for end in sorted(ends)
                for rail in rails
                if end == rail or rail in states.circuit.rails_at(end)
            ]
        )
        return TRUE if joined == FALSE else joined

    def _seen_on(self, number: int) -> int:
        if number not in self._on:
            literal = self._draws(self._seen.behaviour, number)
            self._on[number] = self._seen.samples.seen(literal)
        return self._on[number]


def _ones(value: int) -> list[int]:
    """The places of a number's binary ones."""
    return [place for place in range(value.bit_length()) if value >> place & 1]


def _add(digits: list[int], where: int, place: int) -> None:
    """Add two to the power of `place` in each of the states `where`."""
    while where:
        digits.extend([0] * (place + 1 - len(digits)))
        digits[place], where = digits[place] ^ where, digits[place] & where
        place += 1


@concludes(CurrentPaths, Behaviour, CertainBehaviour, SeenStates)
def find_loads_at_once(view: View) -> LoadsAtOnce:
    certain = view[CertainBehaviour].behaviour
    return LoadsAtOnce(view[CurrentPaths], view[Behaviour], certain, view[SeenStates])
