"""NEC 310.15(B)(1)(1): factors for ambients other than the 30 degC of table 310.16."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Table 310.15(B)(1)(1): ambient temperature correction "
        "factors, 30 degC base"
    ),
    cite="NEC 310.15(B)(1)",
    edition="2023",
    note="no factor = a conductor of that rating is not permitted at that ambient",
)


@record
class Row:
    """Factor for ambients `from_c` to `up_to_c`, degC, both inclusive; None = all below."""

    from_c: float | None
    up_to_c: float
    at_60c: float | None
    at_75c: float | None
    at_90c: float | None
    confirmed: bool


ROWS = (
    Row(None, 10, 1.29, 1.2, 1.15, True),
    Row(11, 15, 1.22, 1.15, 1.12, True),
    Row(16, 20, 1.15, 1.11, 1.08, True),
    Row(21, 25, 1.08, 1.05, 1.04, True),
    Row(26, 30, 1, 1, 1, True),
    Row(31, 35, 0.91, 0.94, 0.96, True),
    Row(36, 40, 0.82, 0.88, 0.91, True),
    Row(41, 45, 0.71, 0.82, 0.87, True),
    Row(46, 50, 0.58, 0.75, 0.82, True),
    Row(51, 55, 0.41, 0.67, 0.76, True),
    Row(56, 60, None, 0.58, 0.71, True),
    Row(61, 65, None, 0.47, 0.65, True),
    Row(66, 70, None, 0.33, 0.58, True),
    Row(71, 75, None, None, 0.5, True),
    Row(76, 80, None, None, 0.41, True),
    Row(81, 85, None, None, 0.29, True),
)
