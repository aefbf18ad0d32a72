"""Loads that can be on at once and together come to more than is allowed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from netcheck.facts.loads_at_once import MOST_LOADS, LoadsAtOnce
from netcheck.record import record
from netcheck.states.answers import Answer, Reached, Undecided

MOST_COUNTED = 50_000
"""Loads added up in one search, set by set; then it is not decided."""


@record
class LoadSet:
    """Loads by number, what they come to, and whether they can be on at once: Reached with the
    state, or Undecided."""

    loads: tuple[int, ...]
    total: float
    answer: Answer


def heaviest_set(
    numbers: Sequence[int],
    at_once: LoadsAtOnce,
    total: Callable[[Sequence[int]], float],
    allowed: float,
    always: tuple[int, ...] = (),
    weights: Mapping[int, float] | None = None,
) -> LoadSet | None:
    """One that surely can be on at once, else one of which it is not decided, else None.

    `total` must not fall as loads are added; the loads in `always` belong to every set.
    More loads than are proved together are looked for in the states that have been seen,
    by their `weights`, where these are given.
    """
    if weights is not None and len(numbers) > MOST_LOADS:
        seen = at_once.seen_together(weights)
        if seen and total(seen) > allowed:
            return LoadSet(seen, total(seen), Reached("settled operation", {}, ()))
    return _Search(at_once, total, allowed).run(tuple(numbers), always)


def heaviest_beyond(
    amounts: Mapping[int, float], at_once: LoadsAtOnce, allowed: float
) -> LoadSet | None:
    """The bound first: None where all loads together, by their `amounts`, are not too much.
    Else what can be on at once and is, filled up; None where nothing that can be is."""

    def total(some: Sequence[int]) -> float:
        return sum(amounts[number] for number in some)

    if total(tuple(amounts)) <= allowed:
        return None
    heaviest = sorted(amounts, key=lambda number: (-amounts[number], number))
    found = heaviest_set(heaviest, at_once, total, allowed, weights=amounts)
    return None if found is None else filled_up(found, heaviest, at_once, total)


def filled_up(
    found: LoadSet,
    numbers: Sequence[int],
    at_once: LoadsAtOnce,
    total: Callable[[Sequence[int]], float],
) -> LoadSet:
    """The set with all that can be on beside it, taken in the order of `numbers`."""
    if not isinstance(found.answer, Reached) or len(found.loads) >= MOST_LOADS:
        return found
    for number in numbers:
        if number not in found.loads:
            more = (*found.loads, number)
            answer = at_once.together(more)
            if isinstance(answer, Reached):
                found = LoadSet(more, total(more), answer)
    return found


class _Search:
    def __init__(
        self, at_once: LoadsAtOnce, total: Callable[[Sequence[int]], float], allowed: float
    ) -> None:
        self.at_once = at_once
        self.total = total
        self.allowed = allowed
        self.open: LoadSet | None = None
        self.counted = 0
        self.all_of_them: tuple[int, ...] = ()

    def run(self, numbers: tuple[int, ...], always: tuple[int, ...]) -> LoadSet | None:
        self.all_of_them = (*always, *numbers)
        return self._grow(numbers, always) or self.open

    def _grow(self, rest: tuple[int, ...], chosen: tuple[int, ...]) -> LoadSet | None:
        """With as many of `rest` as can be on beside `chosen`, the first ones first."""
        while True:
            if chosen and self.total(chosen) > self.allowed:
                return LoadSet(chosen, self.total(chosen), self.at_once.together(chosen))
            if not rest or self.total((*chosen, *rest)) <= self.allowed:
                return None
            self.counted += len(chosen) + len(rest)
            if self.counted > MOST_COUNTED:
                self.open = self.open or self._left_open()
                return None
            first, others = rest[0], rest[1:]
            answer = self.at_once.together((*chosen, first))
            if isinstance(answer, Reached):
                found = self._grow(others, (*chosen, first))
                if found is not None:
                    return found
            elif isinstance(answer, Undecided) and self.open is None:
                in_doubt = (*chosen, *rest)
                self.open = LoadSet(in_doubt, self.total(in_doubt), answer)
            rest = others

    def _left_open(self) -> LoadSet:
        reason = f"which of its {len(self.all_of_them)} loads can be on at once is not proved"
        return LoadSet(self.all_of_them, self.total(self.all_of_them), Undecided(reason))
