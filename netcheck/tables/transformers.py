"""Transformer currents and the largest devices on either side."""

from __future__ import annotations

import math

from netcheck.tables.lookup import CurrentLimit, Lookup, NotTabulated, trim
from netcheck.tables.nec_450_3_b import BOTH_SIDES, MOTOR_CONTROL, PRIMARY_ONLY, Row
from netcheck.tables.protection import next_standard_rating_a

__all__ = [
    "BOTH_SIDES",
    "MOTOR_CONTROL",
    "PRIMARY_ONLY",
    "primary_device_protecting_secondary_max_a",
    "transformer_device_max_a",
    "transformer_rated_current_a",
]

PERCENT = "percent of rated current"
NEXT_STANDARD_RATING = "next standard rating"


def transformer_rated_current_a(power_va: float, voltage_v: float, phases: int = 1) -> float:
    """Rated current of one side, A: VA / V, in three-phase VA / (V sqrt 3).  Definition.

    Raises ValueError for a voltage that is not above zero.
    """
    if not voltage_v > 0:
        raise ValueError(f"{voltage_v:g} V is no rated voltage")
    return power_va / voltage_v / (math.sqrt(3) if phases == 3 else 1)


def transformer_device_max_a(
    method: str, side: str, rated_current_a: float, fuse: bool = False
) -> CurrentLimit | NotTabulated:
    """The largest device on one `side` ("primary", "secondary"), A, by how it is protected.

    `method` is PRIMARY_ONLY, BOTH_SIDES or MOTOR_CONTROL.  Only the 125 % rows allow the
    next standard rating up; the others are upper bounds.  Source: NEC 450.3(B), for
    MOTOR_CONTROL 430.72(C)(4), from memory.
    """
    row = _row(method, side, rated_current_a)
    if isinstance(row, NotTabulated):
        return row
    cite = "NEC 430.72(C)(4)" if method == MOTOR_CONTROL else "NEC 450.3(B)"
    source = f"{cite}, {method}, {side}, {_range(row)}"
    percent = Lookup(float(row.max_pct), "%", source, row.confirmed, PERCENT)
    limit_a = trim(rated_current_a * row.max_pct / 100)
    if not row.next_standard_up:
        return CurrentLimit(limit_a, (percent,), PERCENT)
    rating = next_standard_rating_a(limit_a, fuse)
    if isinstance(rating, NotTabulated):
        return CurrentLimit(limit_a, (percent,), PERCENT)
    return CurrentLimit(rating.value, (percent, rating), NEXT_STANDARD_RATING)


def _row(method: str, side: str, rated_current_a: float) -> Row | NotTabulated:
    from netcheck.tables import nec_450_3_b

    for row in nec_450_3_b.ROWS:
        below_end = row.below_a is None or rated_current_a < row.below_a
        if (row.method, row.side) == (method, side) and row.from_a <= rated_current_a and below_end:
            return row
    return NotTabulated(f"NEC 450.3(B) has no {side} row for {method} at {rated_current_a:g} A")


def _range(row: Row) -> str:
    if row.below_a is not None:
        return f"{row.from_a:g} to under {row.below_a:g} A"
    return f"{row.from_a:g} A or more" if row.from_a else "any current"


def primary_device_protecting_secondary_max_a(
    secondary_ampacity_a: float, primary_v: float, secondary_v: float
) -> Lookup:
    """The largest primary device that protects two-wire secondary conductors too, A.

    Their ampacity brought to the primary by the voltage ratio.  Source: NEC 240.4(F) and
    240.21(C)(1), single-phase two-wire secondaries.
    """
    limit_a = trim(secondary_ampacity_a * secondary_v / primary_v)
    return Lookup(limit_a, "A", "NEC 240.4(F), 240.21(C)(1)", True, "secondary seen from primary")
