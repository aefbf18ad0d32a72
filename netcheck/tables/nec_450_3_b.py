"""NEC 450.3(B): the largest device of a transformer up to 1000 V, percent of rated current."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC) Table 450.3(B): overcurrent protection of transformers up to 1000 V",
    cite="NEC 450.3(B)",
    edition="2023",
    note=(
        "UL 508A 42.1 and 42.2 use the same figures; the row for motor control "
        "transformers is 430.72(C)(4)"
    ),
)

PRIMARY_ONLY = "primary only"
BOTH_SIDES = "primary and secondary"
MOTOR_CONTROL = "motor control-circuit transformer"


@record
class Row:
    """Percent for rated currents from `from_a` (inclusive) to `below_a` (None = no end)."""

    method: str
    side: str
    from_a: float
    below_a: float | None
    max_pct: float
    next_standard_up: bool
    confirmed: bool


ROWS = (
    Row(PRIMARY_ONLY, "primary", 9, None, 125, True, True),
    Row(PRIMARY_ONLY, "primary", 2, 9, 167, False, True),
    Row(PRIMARY_ONLY, "primary", 0, 2, 300, False, True),
    Row(BOTH_SIDES, "primary", 0, None, 250, False, True),
    Row(BOTH_SIDES, "secondary", 9, None, 125, True, True),
    Row(BOTH_SIDES, "secondary", 0, 9, 167, False, True),
    Row(MOTOR_CONTROL, "primary", 0, 2, 500, False, False),
)
