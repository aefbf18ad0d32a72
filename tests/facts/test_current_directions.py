"""The most that loads of different angles add up to, against every set of them tried in turn."""

from __future__ import annotations

import cmath
import math
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from netcheck.case import Case
from netcheck.facts.current_directions import CurrentDirections
from netcheck.facts.current_paths import CurrentPaths
from tests.facts.panels import panel_of

WYE = """
panel "Neutral"
source B1 208Y/120 V AC 60 Hz, four-wire, 500 A available, neutral bonded here
"""
TURNS = {"L1": 0.0, "L2": -120.0, "L3": 120.0}
GRID = [math.radians(degrees) for degrees in (0, 10, 20, 30, 40, 50, 60)]
LOADS = st.lists(
    st.tuples(
        st.sampled_from(sorted(TURNS)),
        st.integers(1, 20),
        st.sampled_from([1.0, 0.9, 0.7, 0.5, None]),
    ),
    min_size=1,
    max_size=4,
)


@settings(max_examples=60, deadline=None)
@given(LOADS)
def test_no_set_of_loads_at_any_angle_comes_to_more(
    loads: list[tuple[str, int, float | None]],
) -> None:
    lines, circuit = [WYE], ['circuit "Loads"']
    for n, (leg, amperes, factor) in enumerate(loads):
        kind = "motor M" if factor is None else "lamp M"
        rated = f"120 V AC single-phase, {amperes} A full load" if factor is None else (
            f"120 V AC {amperes} A power factor {factor}, poles T1-T2"
        )  # fmt: skip
        lines.append(f"{kind}{n} {rated}")
        circuit.append(f"  B1:{leg} -- M{n}:T1-T2 -- B1:N")
    panel = panel_of("\n".join([*lines, *circuit, ""]))
    case = Case(panel)
    directions, paths = case.conclude(CurrentDirections), case.conclude(CurrentPaths)
    home = directions.states.node("B1:N")
    own_a = {n: float(one.current_a) for n, one in enumerate(paths.loads)}
    for ranges in (False, True):
        groups = directions.groups(own_a, home, ranges=ranges)
        most_a = max(sum(group.values()) for group in groups)
        assert most_a == pytest.approx(tried(loads, ranges), rel=0.005)
        assert most_a >= tried(loads, ranges) - 1e-6


def tried(loads: list[tuple[str, int, float | None]], ranges: bool) -> float:
    def angles(factor: float | None) -> list[float]:
        if factor is None:
            return GRID if ranges else [0.0]
        return [math.acos(factor)]

    return max(
        abs(sum(amperes * cmath.rect(1, math.radians(TURNS[leg]) - lag)
                for (leg, amperes, _), lag in zip(some, lags, strict=True)))
        for count in range(1, len(loads) + 1)
        for some in combinations(loads, count)
        for lags in product(*(angles(factor) for _, _, factor in some))
    )  # fmt: skip
