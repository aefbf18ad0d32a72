"""IEC 60204-1 table 1: smallest external protective conductor, copper, by line conductor."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "IEC 60204-1:2016 Table 1: minimum cross-sectional area of the external "
        "protective copper conductor"
    ),
    cite="IEC 60204-1 Table 1",
    edition="2016",
    note="",
)


@record
class Row:
    """Line conductors above `above_mm2` up to `up_to_mm2`: a fixed area, or a part of theirs."""

    above_mm2: float
    up_to_mm2: float | None
    fixed_mm2: float | None
    part_of_line: float | None
    confirmed: bool


ROWS = (
    Row(0, 16, None, 1, True),
    Row(16, 35, 16, None, True),
    Row(35, None, None, 0.5, True),
)
