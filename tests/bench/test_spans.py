"""Spans against every finest share of them tried in turn."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.bench.spans import FINEST, WHOLE, spans_left

shares = st.floats(0.0, 1.0)


@given(first_v=st.floats(-400, 400), last_v=st.floats(-400, 400), read_v=shares, room_v=shares)
def test_what_is_left_of_a_straight_line_is_where_it_runs_within_the_room_of_a_reading(
    first_v: float, last_v: float, read_v: float, room_v: float
) -> None:
    least_v, most_v = sorted((first_v, last_v))
    read_v = least_v + read_v * (most_v - least_v)
    low_v, high_v = read_v - 50 * room_v - 1e-6, read_v + 50 * room_v + 1e-6

    def at(share: float) -> float:
        return first_v + share * (last_v - first_v)

    def judge(low: float, high: float) -> bool | None:
        ends = sorted((at(low), at(high)))
        if low_v <= ends[0] and ends[1] <= high_v:
            return True
        return None if ends[0] <= high_v and ends[1] >= low_v else False

    left = list(spans_left([WHOLE], judge))
    assert left, "the reading itself lies on the line"
    for step in range(257):
        share = step * FINEST
        if low_v <= at(share) <= high_v:
            assert any(low <= share <= high for low, high in left), share
    for low, high in left:
        ends = sorted((at(low), at(high)))
        room = abs(last_v - first_v) * FINEST + 1e-9
        assert ends[0] >= low_v - room
        assert ends[1] <= high_v + room


def test_spans_that_meet_are_one() -> None:
    assert list(spans_left([(0.0, 0.5), (0.5, 1.0)], lambda low, high: True)) == [WHOLE]


@pytest.mark.parametrize("answer", [True, None])
def test_nothing_is_left_out_between_two_spans_that_are_apart(answer: bool | None) -> None:
    """What may be all over them and what may be in some of it."""
    spans = [(0.0, 0.25), (0.75, 1.0)]
    assert list(spans_left(spans, lambda low, high: answer)) == spans


def test_what_may_be_nowhere_leaves_nothing() -> None:
    assert not list(spans_left([WHOLE], lambda low, high: False))
