"""Copper wire inside panels, United States practice, in amperes."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 79-2021 Table 12.5.1, UL 508A Tables 28.1 (power) and 38.1 (control): "
        "ampacity inside panels, copper"
    ),
    cite="NFPA 79 12.5.1",
    edition="2021",
    note="from memory; from 14 AWG on NFPA 79 points to NEC 310.16",
)

NFPA_79 = "NFPA 79 12.5.1"
UL_508A_38_1 = "UL 508A 38.1"
UL_508A_28_1 = "UL 508A 28.1"


@record
class Row:
    """One size: either a single value, or a value for terminals of 60 and of 75 degC."""

    standard: str
    size: str
    single_a: float | None
    at_60c_a: float | None
    at_75c_a: float | None
    confirmed: bool


ROWS = (
    Row(NFPA_79, "30 AWG", 0.5, None, None, False),
    Row(NFPA_79, "28 AWG", 0.8, None, None, False),
    Row(NFPA_79, "26 AWG", 1, None, None, False),
    Row(NFPA_79, "24 AWG", 2, None, None, False),
    Row(NFPA_79, "22 AWG", 3, None, None, False),
    Row(NFPA_79, "20 AWG", 5, None, None, False),
    Row(NFPA_79, "18 AWG", 7, None, None, False),
    Row(NFPA_79, "16 AWG", 10, None, None, False),
    Row(UL_508A_38_1, "30 AWG", 0.5, None, None, False),
    Row(UL_508A_38_1, "28 AWG", 0.8, None, None, False),
    Row(UL_508A_38_1, "26 AWG", 1, None, None, False),
    Row(UL_508A_38_1, "24 AWG", 2, None, None, False),
    Row(UL_508A_38_1, "22 AWG", 3, None, None, False),
    Row(UL_508A_38_1, "20 AWG", 5, None, None, False),
    Row(UL_508A_38_1, "18 AWG", 7, None, None, False),
    Row(UL_508A_38_1, "16 AWG", 10, None, None, False),
    Row(UL_508A_28_1, "14 AWG", None, 15, 15, False),
    Row(UL_508A_28_1, "12 AWG", None, 20, 20, False),
    Row(UL_508A_28_1, "10 AWG", None, 30, 30, False),
    Row(UL_508A_28_1, "8 AWG", None, 40, 50, False),
    Row(UL_508A_28_1, "6 AWG", None, 55, 65, False),
    Row(UL_508A_28_1, "4 AWG", None, 70, 85, False),
    Row(UL_508A_28_1, "3 AWG", None, 85, 100, False),
    Row(UL_508A_28_1, "2 AWG", None, 95, 115, False),
    Row(UL_508A_28_1, "1 AWG", None, 110, 130, False),
    Row(UL_508A_28_1, "1/0 AWG", None, None, 150, False),
    Row(UL_508A_28_1, "2/0 AWG", None, None, 175, False),
    Row(UL_508A_28_1, "3/0 AWG", None, None, 200, False),
    Row(UL_508A_28_1, "4/0 AWG", None, None, 230, False),
    Row(UL_508A_28_1, "250 kcmil", None, None, 255, False),
    Row(UL_508A_28_1, "300 kcmil", None, None, 285, False),
    Row(UL_508A_28_1, "350 kcmil", None, None, 310, False),
    Row(UL_508A_28_1, "400 kcmil", None, None, 335, False),
    Row(UL_508A_28_1, "500 kcmil", None, None, 380, False),
)

SINGLE_VALUE_BY_SIZE = {row.size: row for row in ROWS if row.standard == NFPA_79}
