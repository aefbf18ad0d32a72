"""How many readings a diagnosis takes, against a binary search and against the best tree."""

from __future__ import annotations

from math import ceil, log2
from statistics import median

import pytest

from netcheck.bench.diagnosing import diagnose
from netcheck.bench.likelihoods import Sort
from netcheck.bench.observations import observation
from tests.bench.panels import BRANCHES, CONTROLLER, HEATER, VALVE, panel_of, string_of
from tests.bench.search_trees import (
    TooManySets,
    best,
    entropy_bound,
    least_mean,
    mean,
    walked,
)

EQUAL = dict.fromkeys(Sort, 1.0)
CASES = {
    "valve": (VALVE, "Y1 does not open with S2 pressed"),
    "relay": (VALVE, "K1 is out with S2 pressed"),
    "branches": (BRANCHES, "Y1 does not open with S2 pressed"),
    "lamp": (BRANCHES, "H1 is not lit with S2 pressed"),
    "heater": (HEATER, "HTR1 does not heat"),
    "controller": (CONTROLLER, "Y1 does not open with PLC1:Q1 on"),
}


@pytest.mark.parametrize("contacts", [3, 10])
def test_a_string_of_contacts_is_halved_as_by_a_binary_search(contacts: int) -> None:
    """Half-split: each reading leaves half of the circuit (EC&M, The Beauty of Half-Splitting, a
    trade magazine, its opening was read), so log2 n among n equally likely places; that no search
    by yes and no takes fewer is information theory."""
    depths = walked(panel_of(string_of(contacts)), ("H1 is not lit",), EQUAL)
    places = contacts + (contacts + 2) + 2  # contacts, wires, the lamp itself and its supply
    assert places == len(depths)
    assert ceil(log2(places)) == max(depths.values())
    least = ceil(log2(places)) - (2 ** ceil(log2(places)) - places) / places
    assert pytest.approx(least) == mean(depths, dict.fromkeys(depths, 1.0))


def _ratio(text: str, line: str) -> float:
    panel = panel_of(text)
    told = diagnose(panel, [observation(panel, line)])
    weights = {one.fault: one.weight for one in told.suspects}
    depths = walked(panel, (line,))
    assert set(weights) == set(depths)
    return mean(depths, weights) / best(panel, line, weights)


def test_readings_are_in_the_median_at_most_a_quarter_more_than_the_best_tree_takes() -> None:
    ratios = [_ratio(*case) for case in CASES.values()]
    assert 1.25 >= median(ratios)
    assert 2 >= max(ratios)
    assert 0.999 <= min(ratios)  # or the best tree is none


@pytest.mark.parametrize("off", [0.95, 1.0, 1.05])
@pytest.mark.parametrize("name", CASES)
def test_no_true_fault_is_lost_on_the_way(name: str, off: float) -> None:
    text, line = CASES[name]
    assert -1 not in walked(panel_of(text), (line,), off=off).values()


def test_the_best_tree_is_never_below_the_entropy_bound_and_is_given_up_where_it_is_too_big() -> (
    None
):
    names = [f"fault {number}" for number in range(16)]
    halves = [
        [frozenset(n for p, n in enumerate(names) if p >> bit & 1 == value) for value in (0, 1)]
        for bit in range(4)
    ]
    weights = dict.fromkeys(names, 1.0)
    assert pytest.approx(4) == least_mean(halves, weights) == entropy_bound(halves, weights)
    uneven = {**weights, "fault 0": 30.0}
    assert entropy_bound(halves, uneven) <= least_mean(halves, uneven)
    with pytest.raises(TooManySets):
        least_mean(halves, weights, most=5)
