"""Figures as the trade writes them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.figure import figure, figures_apart


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (6.5, "A", "6.5 A"),
        (15.0, "A", "15 A"),
        (10_000, "A", "10 kA"),
        (0.0203, "ohm", "20.3 mohm"),
        (0.5, "A", "0.5 A"),
        (0, "A", "0 A"),
        (-0.0, "A", "0 A"),
        (119.96, "V", "120 V"),
        (2.5, "mm2", "2.5 mm2"),
        (41_740, "cmil", "41740 cmil"),
        (1234.56, "ft", "1235 ft"),
        (1125, "VA", "1.125 kVA"),
        (2.345, "%", "2.35 %"),
        (-24.04, "V", "-24 V"),
        ("14 AWG", "", "14 AWG"),
        ("4/0", "AWG", "4/0 AWG"),
        (math.inf, "A", "no limit"),
        (math.nan, "A", "not a number"),
    ],
)
def test_a_figure_is_written_as_the_trade_writes_it(
    value: float | str, unit: str, text: str
) -> None:
    """How ratings and tables are commonly printed; common practice, no single source."""
    assert text == figure(value, unit)


def test_unequal_figures_are_never_printed_alike() -> None:
    assert ("15.04 A", "15 A") == figures_apart("A", 15.04, 15.0)
    assert ("15 A", "15 A") == figures_apart("A", 15.0, 15.0)
    assert ("4.8 A", "25 A") == figures_apart("A", 4.8, 25.0)


FACTORS = {"": 1.0, "k": 1e3, "M": 1e6, "m": 1e-3}


@given(st.floats(1e-4, 1e8))
def test_a_figure_read_back_is_right_to_half_a_percent(value: float) -> None:
    """Three significant figures are within 1 part in 200 of the value."""
    number, unit = figure(value, "A").split()
    read = float(number) * FACTORS[unit.removesuffix("A")]
    assert math.isclose(value, read, rel_tol=0.005)
    assert "e" not in number
