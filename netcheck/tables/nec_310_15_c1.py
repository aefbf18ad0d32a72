"""NEC 310.15(C)(1): percent of ampacity left when conductors carry current together."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Table 310.15(C)(1): adjustment for more than three current-"
        "carrying conductors"
    ),
    cite="NEC 310.15(C)(1)",
    edition="2023",
    note="in one raceway or cable, or bundled over 24 in",
)


@record
class Row:
    """Percent for `fewest` to `most` current-carrying conductors (None = any more)."""

    fewest: int
    most: int | None
    percent: float
    confirmed: bool


ROWS = (
    Row(1, 3, 100, True),
    Row(4, 6, 80, True),
    Row(7, 9, 70, True),
    Row(10, 20, 50, True),
    Row(21, 30, 45, True),
    Row(31, 40, 40, True),
    Row(41, None, 35, True),
)
