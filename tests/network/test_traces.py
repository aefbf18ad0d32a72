"""What of a walk cannot be done without, against taking each piece of it away in turn.

Source: the definition (a piece is needed if without it there is no walk at all).
"""

from __future__ import annotations

from collections import deque

from hypothesis import given
from hypothesis import strategies as st

from netcheck.model.devices import Part
from netcheck.model.panel import Panel
from netcheck.network.traces import needed, steps, walk
from tests.facts.panels import panel_of

PLACES = 7
ONE_WAY = "diode"
HEAD = 'panel "Bench"\n' + "".join(f"strip X{n} terminals 1 to 9\n" for n in range(PLACES))

Ways = list[tuple[int, int, bool]]


def wired(ways: Ways) -> str:
    """Strips X0, X1 ... joined by wires, or by diodes that pass one way only."""
    devices, lines = [], ['circuit "Bench"']
    for number, (start, end, diode) in enumerate(ways):
        through = f"-- D{number}:A-K --" if diode else "--"
        if diode:
            devices.append(f"diode D{number} 100 V DC 1 A")
        lines.append(f"  X{start}:1 {through} X{end}:1")
    return HEAD + "\n".join([*devices, *lines]) + "\n"


def only_forwards(part: Part, forwards: bool) -> bool:
    return forwards


@given(
    st.lists(
        st.tuples(st.integers(0, PLACES - 1), st.integers(0, PLACES - 1), st.booleans()).filter(
            lambda way: way[0] != way[1]
        ),
        min_size=2,
        max_size=12,
        unique_by=lambda way: (min(way[:2]), max(way[:2]), way[2]),
    ),
    st.sets(st.integers(1, PLACES - 1), min_size=1, max_size=2),
)
def test_what_a_walk_needs_is_what_no_walk_does_without(ways: Ways, ends: set[int]) -> None:
    panel = panel_of(wired(ways))
    goals = [f"X{end}:1" for end in sorted(ends)]
    path = walk(panel, ["X0:1"], goals, only_forwards)
    if path is None:
        return
    expected = [
        passed.by
        for passed in path
        if walk(panel, ["X0:1"], goals, only_forwards, without=passed.by) is None
    ]
    assert expected == needed(panel, path, goals, only_forwards)


def test_nothing_is_needed_where_nothing_is_walked() -> None:
    assert [] == needed(panel_of(HEAD), [], ["X0:1"], only_forwards)


def plain_walk(panel: Panel, start: str, goals: set[str]) -> list[str] | None:
    """The terminals of a walk, breadth first from the start alone."""
    came: dict[str, str | None] = {start: None}
    queue = deque([start])
    while queue:
        at = queue.popleft()
        if at in goals:
            path = [at]
            while (before := came[path[-1]]) is not None:
                path.append(before)
            return path[::-1]
        for passed in steps(panel, at, only_forwards):
            if passed.end not in came:
                came[passed.end] = at
                queue.append(passed.end)
    return None


@given(
    st.lists(
        st.tuples(st.integers(0, PLACES - 1), st.integers(0, PLACES - 1), st.booleans()).filter(
            lambda way: way[0] != way[1]
        ),
        max_size=14,
        unique_by=lambda way: (min(way[:2]), max(way[:2]), way[2]),
    ),
    st.sets(st.integers(0, PLACES - 1), min_size=1, max_size=3),
)
def test_a_walk_found_from_both_ends_is_the_first_of_the_shortest(
    ways: Ways, ends: set[int]
) -> None:
    panel = panel_of(wired(ways))
    goals = [f"X{end}:1" for end in sorted(ends)]
    found = walk(panel, ["X0:1"], goals, only_forwards)
    expected = plain_walk(panel, "X0:1", set(goals))
    assert expected == (None if found is None else ["X0:1", *(passed.end for passed in found)])
