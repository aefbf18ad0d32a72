"""Devices on the two sides of a transformer."""

import pytest

from netcheck.tables.lookup import CurrentLimit, NotTabulated
from netcheck.tables.transformers import (
    BOTH_SIDES,
    MOTOR_CONTROL,
    PRIMARY_ONLY,
    primary_device_protecting_secondary_max_a,
    transformer_device_max_a,
    transformer_rated_current_a,
)


@pytest.mark.parametrize(
    ("method", "side", "rated_a", "limit_a"),
    [
        (PRIMARY_ONLY, "primary", 9, 15),
        (PRIMARY_ONLY, "primary", 8.99, 15.0133),
        (PRIMARY_ONLY, "primary", 2, 3.34),
        (PRIMARY_ONLY, "primary", 1.99, 5.97),
        (BOTH_SIDES, "primary", 10, 25),
        (BOTH_SIDES, "secondary", 9, 15),
        (BOTH_SIDES, "secondary", 5, 8.35),
        (MOTOR_CONTROL, "primary", 0.5, 2.5),
    ],
)
def test_the_percentage_goes_by_the_rated_current(
    method: str, side: str, rated_a: float, limit_a: float
) -> None:
    """NEC 450.3(B); only the 125 % rows round up to the next standard rating."""
    found = transformer_device_max_a(method, side, rated_a)
    assert isinstance(found, CurrentLimit)
    assert limit_a == found.current_a


def test_the_row_for_motor_control_transformers_is_from_memory() -> None:
    found = transformer_device_max_a(MOTOR_CONTROL, "primary", 0.5)
    assert isinstance(found, CurrentLimit)
    assert not found.confirmed
    assert found.steps[0].source.startswith("NEC 430.72(C)(4)")


def test_what_the_table_does_not_name_is_not_tabulated() -> None:
    assert isinstance(transformer_device_max_a(MOTOR_CONTROL, "primary", 2), NotTabulated)
    assert isinstance(transformer_device_max_a(PRIMARY_ONLY, "secondary", 2), NotTabulated)
    assert isinstance(transformer_device_max_a(PRIMARY_ONLY, "primary", -1), NotTabulated)


def test_a_primary_device_protects_a_two_wire_secondary_through_the_ratio() -> None:
    """NEC 240.4(F): 120 to 24 V, secondary conductors of 15 A, primary device of 3 A."""
    found = primary_device_protecting_secondary_max_a(15, 120, 24)
    assert (3, True) == (found.value, found.confirmed)


def test_a_transformer_without_a_voltage_is_refused() -> None:
    with pytest.raises(ValueError, match="0 V is no rated voltage"):
        transformer_rated_current_a(100, 0)
