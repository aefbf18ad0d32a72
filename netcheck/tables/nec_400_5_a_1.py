"""NEC table 400.5(A)(1): what a flexible cord carries, in amperes, at an ambient of 30 degC."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70 (NEC) Table 400.5(A)(1): ampacity of flexible cords and flexible cables, copper",
    cite="NEC 400.5(A)(1)",
    edition="column A and sizes from 10 AWG from memory; column B up to 12 AWG as an appliance "
    "standard reproduces it",
    note="column A with three current-carrying conductors, column B with two; more than three by "
    "400.5(A)(3), whose percentages are those of 310.15(C)(1) (from memory)",
)


@record
class Row:
    """`three_a` with three conductors that carry current, `two_a` with two; each was read or not."""

    size: str
    three_a: float
    two_a: float
    three_confirmed: bool
    two_confirmed: bool


ROWS = (
    Row("18 AWG", 7, 10, False, True),
    Row("17 AWG", 9, 12, False, True),
    Row("16 AWG", 10, 13, False, True),
    Row("15 AWG", 12, 16, False, False),
    Row("14 AWG", 15, 18, False, True),
    Row("12 AWG", 20, 25, False, True),
    Row("10 AWG", 25, 30, False, False),
    Row("8 AWG", 35, 40, False, False),
    Row("6 AWG", 45, 55, False, False),
    Row("4 AWG", 60, 70, False, False),
    Row("2 AWG", 80, 95, False, False),
)
BY_SIZE = {row.size: row for row in ROWS}
