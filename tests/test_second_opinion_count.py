"""What `python -m tests.second_opinion_count` counts: circuits compared and found alike."""

from __future__ import annotations

import pytest

from tests.second_opinion import tally
from tests.second_opinion.tally import Tally, counts
from tests.second_opinion_count import LEAST, short_of, told


@pytest.fixture
def tallies(monkeypatch: pytest.MonkeyPatch) -> dict[str, Tally]:
    own = {"here": Tally(), "there": Tally()}
    monkeypatch.setattr(tally, "TALLIES", own)
    return own


def test_each_circuit_is_counted_once_and_each_check_of_it(tallies: dict[str, Tally]) -> None:
    @counts("here", lambda circuit: circuit)
    def agrees(circuit: str) -> None:
        assert circuit != "unlike"

    for circuit in ("one", "two", "one"):
        agrees(circuit)
    assert ({"one", "two"}, 3) == (tallies["here"].circuits, tallies["here"].checks)
    assert 0 == tallies["there"].checks


def test_a_check_that_fails_counts_for_nothing(tallies: dict[str, Tally]) -> None:
    @counts("here", lambda circuit: circuit)
    def agrees(circuit: str) -> None:
        assert circuit != "unlike"

    with pytest.raises(AssertionError):
        agrees("unlike")
    assert (set(), 0) == (tallies["here"].circuits, tallies["here"].checks)


def test_an_opinion_that_saw_too_few_circuits_is_named() -> None:
    enough, few = Tally(set(range(LEAST)), LEAST), Tally(set(range(LEAST - 1)), 2 * LEAST)
    assert ["few"] == short_of({"enough": enough, "few": few})
    assert f"{3 * LEAST} checks in all" == told({"enough": enough, "few": few})[-1]
