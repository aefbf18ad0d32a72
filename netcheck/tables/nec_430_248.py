"""NEC 430.248: full-load current of single-phase AC motors, in amperes."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC) Table 430.248: full-load current, single-phase AC motors",
    cite="NEC 430.248",
    edition="2023",
    note="for conductors and short-circuit protection; overloads go by the nameplate",
)


@record
class Row:
    """Full-load current by the voltage on the nameplate; None = no value."""

    power: str
    power_hp: float
    at_115v_a: float | None
    at_200v_a: float | None
    at_208v_a: float | None
    at_230v_a: float | None
    confirmed: bool


ROWS = (
    Row("1/6", 0.1667, 4.4, 2.5, 2.4, 2.2, True),
    Row("1/4", 0.25, 5.8, 3.3, 3.2, 2.9, True),
    Row("1/3", 0.3333, 7.2, 4.1, 4, 3.6, True),
    Row("1/2", 0.5, 9.8, 5.6, 5.4, 4.9, True),
    Row("3/4", 0.75, 13.8, 7.9, 7.6, 6.9, True),
    Row("1", 1, 16, 9.2, 8.8, 8, True),
    Row("1 1/2", 1.5, 20, 11.5, 11, 10, True),
    Row("2", 2, 24, 13.8, 13.2, 12, True),
    Row("3", 3, 34, 19.6, 18.7, 17, True),
    Row("5", 5, 56, 32.2, 30.8, 28, True),
    Row("7 1/2", 7.5, 80, 46, 44, 40, True),
    Row("10", 10, 100, 57.5, 55, 50, True),
)
