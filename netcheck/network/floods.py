"""What is met on the way out from some places, over edges that lead from one to another."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Mapping
from typing import TypeVar

Place = TypeVar("Place", bound=Hashable)


def met_first(
    starts: Iterable[Place], beside: Mapping[Place, Iterable[Place]], stops: Collection[Place]
) -> set[Place]:
    """The `stops` that are reached, a start among them, without passing another."""
    todo = list(starts)
    seen = set(todo)
    met: set[Place] = set()
    while todo:
        place = todo.pop()
        if place in stops:
            met.add(place)
            continue
        new = set(beside.get(place, ())) - seen
        seen |= new
        todo += new
    return met
