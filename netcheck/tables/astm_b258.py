"""ASTM B258: diameter and area of solid round wire by American wire gauge."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="ASTM B258: American wire gauge, solid wire diameter and area",
    cite="ASTM B258",
    edition="",
    note="rounded as published; exact figures come from the geometric rule",
)


@record
class Row:
    """One gauge size."""

    size: str
    diameter_in: float
    diameter_mm: float
    area_mm2: float
    confirmed: bool


ROWS = (
    Row("4/0 AWG", 0.46, 11.684, 107, True),
    Row("3/0 AWG", 0.4096, 10.405, 85, True),
    Row("2/0 AWG", 0.3648, 9.266, 67.4, True),
    Row("1/0 AWG", 0.3249, 8.251, 53.5, True),
    Row("1 AWG", 0.2893, 7.348, 42.4, True),
    Row("2 AWG", 0.2576, 6.544, 33.6, True),
    Row("3 AWG", 0.2294, 5.827, 26.7, True),
    Row("4 AWG", 0.2043, 5.189, 21.2, True),
    Row("6 AWG", 0.162, 4.115, 13.3, True),
    Row("8 AWG", 0.1285, 3.264, 8.37, True),
    Row("10 AWG", 0.1019, 2.588, 5.26, True),
    Row("12 AWG", 0.0808, 2.053, 3.31, True),
    Row("14 AWG", 0.0641, 1.628, 2.08, True),
    Row("16 AWG", 0.0508, 1.291, 1.31, True),
    Row("18 AWG", 0.0403, 1.024, 0.823, True),
    Row("20 AWG", 0.032, 0.812, 0.518, True),
    Row("22 AWG", 0.0253, 0.644, 0.326, True),
    Row("24 AWG", 0.0201, 0.511, 0.205, True),
    Row("26 AWG", 0.0159, 0.405, 0.129, True),
    Row("28 AWG", 0.0126, 0.321, 0.081, True),
    Row("30 AWG", 0.01, 0.255, 0.0509, True),
)
