"""NEC 430.250: full-load current of three-phase AC induction motors, in amperes."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC) Table 430.250: full-load current, three-phase AC motors",
    cite="NEC 430.250",
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
    at_460v_a: float | None
    at_575v_a: float | None
    confirmed: bool


ROWS = (
    Row("1/2", 0.5, 4.4, 2.5, 2.4, 2.2, 1.1, 0.9, True),
    Row("3/4", 0.75, 6.4, 3.7, 3.5, 3.2, 1.6, 1.3, True),
    Row("1", 1, 8.4, 4.8, 4.6, 4.2, 2.1, 1.7, True),
    Row("1 1/2", 1.5, 12, 6.9, 6.6, 6, 3, 2.4, True),
    Row("2", 2, 13.6, 7.8, 7.5, 6.8, 3.4, 2.7, True),
    Row("3", 3, None, 11, 10.6, 9.6, 4.8, 3.9, True),
    Row("5", 5, None, 17.5, 16.7, 15.2, 7.6, 6.1, True),
    Row("7 1/2", 7.5, None, 25.3, 24.2, 22, 11, 9, True),
    Row("10", 10, None, 32.2, 30.8, 28, 14, 11, True),
    Row("15", 15, None, 48.3, 46.2, 42, 21, 17, True),
    Row("20", 20, None, 62.1, 59.4, 54, 27, 22, True),
    Row("25", 25, None, 78.2, 74.8, 68, 34, 27, True),
    Row("30", 30, None, 92, 88, 80, 40, 32, True),
    Row("40", 40, None, 120, 114, 104, 52, 41, True),
    Row("50", 50, None, 150, 143, 130, 65, 52, True),
    Row("60", 60, None, 177, 169, 154, 77, 62, True),
    Row("75", 75, None, 221, 211, 192, 96, 77, True),
    Row("100", 100, None, 285, 273, 248, 124, 99, True),
    Row("125", 125, None, 359, 343, 312, 156, 125, True),
    Row("150", 150, None, 414, 396, 360, 180, 144, True),
    Row("200", 200, None, 552, 528, 480, 240, 192, True),
)
