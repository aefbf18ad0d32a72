"""IEC 60204-1 table D.1: factors for ambients other than the 40 degC of table 6."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="IEC 60204-1:2016 Table D.1: ambient correction factors, 40 degC base",
    cite="IEC 60204-1 Table D.1",
    edition="2016",
    note="PVC insulated conductors",
)


@record
class Row:
    """Factor at one ambient, degC."""

    ambient_c: float
    factor: float
    confirmed: bool


ROWS = (
    Row(30, 1.15, True),
    Row(35, 1.08, True),
    Row(40, 1, True),
    Row(45, 0.91, True),
    Row(50, 0.82, True),
    Row(55, 0.71, True),
    Row(60, 0.58, True),
)
