"""NEC chapter 9 table 8: direct-current resistance at 75 degC, in ohm per 1000 ft."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Chapter 9 Table 8: conductor properties, uncoated copper and aluminium"
    ),
    cite="NEC chapter 9 table 8",
    edition="2023",
    note="other temperatures: R2 = R1 (1 + a (T2 - 75)), a of materials at 75 degC",
)


@record
class Row:
    """One size, solid or stranded."""

    size: str
    area_cmil: int
    stranding: str
    strands: int
    copper_ohm_per_kft: float
    aluminium_ohm_per_kft: float
    confirmed: bool


ROWS = (
    Row("18 AWG", 1620, "stranded", 7, 7.95, 13.1, True),
    Row("18 AWG", 1620, "solid", 1, 7.77, 12.8, True),
    Row("16 AWG", 2580, "stranded", 7, 4.99, 8.21, True),
    Row("16 AWG", 2580, "solid", 1, 4.89, 8.05, True),
    Row("14 AWG", 4110, "stranded", 7, 3.14, 5.17, True),
    Row("14 AWG", 4110, "solid", 1, 3.07, 5.06, True),
    Row("12 AWG", 6530, "stranded", 7, 1.98, 3.25, True),
    Row("12 AWG", 6530, "solid", 1, 1.93, 3.18, True),
    Row("10 AWG", 10380, "stranded", 7, 1.24, 2.04, True),
    Row("10 AWG", 10380, "solid", 1, 1.21, 2, True),
    Row("8 AWG", 16510, "stranded", 7, 0.778, 1.28, True),
    Row("8 AWG", 16510, "solid", 1, 0.764, 1.26, True),
    Row("6 AWG", 26240, "stranded", 7, 0.491, 0.808, True),
    Row("4 AWG", 41740, "stranded", 7, 0.308, 0.508, True),
    Row("3 AWG", 52620, "stranded", 7, 0.245, 0.403, True),
    Row("2 AWG", 66360, "stranded", 7, 0.194, 0.319, True),
    Row("1 AWG", 83690, "stranded", 19, 0.154, 0.253, True),
    Row("1/0 AWG", 105600, "stranded", 19, 0.122, 0.201, True),
    Row("2/0 AWG", 133100, "stranded", 19, 0.0967, 0.159, True),
    Row("3/0 AWG", 167800, "stranded", 19, 0.0766, 0.126, True),
    Row("4/0 AWG", 211600, "stranded", 19, 0.0608, 0.1, True),
    Row("250 kcmil", 250000, "stranded", 37, 0.0515, 0.0847, True),
    Row("300 kcmil", 300000, "stranded", 37, 0.0429, 0.0707, True),
    Row("350 kcmil", 350000, "stranded", 37, 0.0367, 0.0605, True),
    Row("400 kcmil", 400000, "stranded", 37, 0.0321, 0.0529, True),
    Row("500 kcmil", 500000, "stranded", 37, 0.0258, 0.0424, True),
)

BY_SIZE = {(row.size, row.stranding): row for row in ROWS}
