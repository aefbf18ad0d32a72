"""NEC 240.6(A): standard ratings of fuses and inverse-time breakers, in amperes."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC) Table 240.6(A): standard ampere ratings",
    cite="NEC 240.6(A)",
    edition="2023",
    note=(
        "other ratings are permitted but are not standard ratings; the 601 A fuse "
        "stands in older editions only"
    ),
)


@record
class Row:
    """One rating; `fuse_only` = no standard breaker has it; `superseded` = older editions only."""

    rating_a: float
    fuse_only: bool
    superseded: bool
    confirmed: bool


ROWS = (
    Row(1, True, False, True),
    Row(3, True, False, True),
    Row(6, True, False, True),
    Row(10, True, False, True),
    Row(15, False, False, True),
    Row(20, False, False, True),
    Row(25, False, False, True),
    Row(30, False, False, True),
    Row(35, False, False, True),
    Row(40, False, False, True),
    Row(45, False, False, True),
    Row(50, False, False, True),
    Row(60, False, False, True),
    Row(70, False, False, True),
    Row(80, False, False, True),
    Row(90, False, False, True),
    Row(100, False, False, True),
    Row(110, False, False, True),
    Row(125, False, False, True),
    Row(150, False, False, True),
    Row(175, False, False, True),
    Row(200, False, False, True),
    Row(225, False, False, True),
    Row(250, False, False, True),
    Row(300, False, False, True),
    Row(350, False, False, True),
    Row(400, False, False, True),
    Row(450, False, False, True),
    Row(500, False, False, True),
    Row(600, False, False, True),
    Row(601, True, True, True),
    Row(700, False, False, True),
    Row(800, False, False, True),
    Row(1000, False, False, True),
    Row(1200, False, False, True),
    Row(1600, False, False, True),
    Row(2000, False, False, True),
    Row(2500, False, False, True),
    Row(3000, False, False, True),
    Row(4000, False, False, True),
    Row(5000, False, False, True),
    Row(6000, False, False, True),
)
