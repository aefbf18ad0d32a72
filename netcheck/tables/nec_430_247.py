"""NEC 430.247: full-load current of direct-current motors, in amperes."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Table 430.247: full-load current, direct-current motors at "
        "base speed, by armature voltage"
    ),
    cite="NEC 430.247",
    edition="2023",
    note="read on one page only, a scan of the 2008 edition; 24 V motors are not in it",
)


@record
class Row:
    """Full-load current by the voltage on the nameplate; None = no value."""

    power: str
    power_hp: float
    at_90v_a: float | None
    at_120v_a: float | None
    at_180v_a: float | None
    at_240v_a: float | None
    at_500v_a: float | None
    confirmed: bool


ROWS = (
    Row("1/4", 0.25, 4, 3.1, 2, 1.6, None, True),
    Row("1/3", 0.3333, 5.2, 4.1, 2.6, 2, None, True),
    Row("1/2", 0.5, 6.8, 5.4, 3.4, 2.7, None, True),
    Row("3/4", 0.75, 9.6, 7.6, 4.8, 3.8, None, True),
    Row("1", 1, 12.2, 9.5, 6.1, 4.7, None, True),
    Row("1 1/2", 1.5, None, 13.2, 8.3, 6.6, None, True),
    Row("2", 2, None, 17, 10.8, 8.5, None, True),
    Row("3", 3, None, 25, 16, 12.2, None, True),
    Row("5", 5, None, 40, 27, 20, None, True),
    Row("7 1/2", 7.5, None, 58, None, 29, 13.6, True),
)
