"""What a meter shows, in words."""

from __future__ import annotations

import pytest

from netcheck.bench.readings import Reading


@pytest.mark.parametrize(
    ("reading", "words"),
    [
        (Reading(), "0 V"),
        (Reading(dc_v=0.04), "0 V"),
        (Reading(dc_v=23.96), "24 V DC"),
        (Reading(dc_v=-24.0), "-24 V DC"),
        (Reading(ac_v=120.0), "120 V AC"),
        (Reading(ac_v=0.27), "0.3 V AC"),
        (Reading(dc_v=24.0, ac_v=120.0), "24 V DC and 120 V AC"),
        (Reading(floats=True), "floats"),
    ],
)
def test_a_reading_is_told_to_a_tenth_of_a_volt_with_its_kind(reading: Reading, words: str) -> None:
    assert words == str(reading)


def test_what_floats_is_not_nought() -> None:
    assert not Reading(floats=True).is_nought
    assert not Reading(floats=True).like(Reading())
    assert Reading(dc_v=23.9).like(Reading(dc_v=24.0))
    assert not Reading(dc_v=23.9).like(Reading(ac_v=24.0))
