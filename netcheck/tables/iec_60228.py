"""IEC 60228: largest resistance of plain copper conductors at 20 degC, in ohm per km."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="IEC 60228:2004: maximum conductor resistance at 20 degC, plain copper",
    cite="IEC 60228",
    edition="2004",
    note="class 5 of 50 mm2 stands below class 2, as published",
)


@record
class Row:
    """Class 2 also stands for solid (class 1) conductors, class 5 for flexible (class 6) ones."""

    area_mm2: float
    class_2_ohm_per_km: float
    class_5_ohm_per_km: float
    confirmed: bool


ROWS = (
    Row(0.5, 36, 39, True),
    Row(0.75, 24.5, 26, True),
    Row(1, 18.1, 19.5, True),
    Row(1.5, 12.1, 13.3, True),
    Row(2.5, 7.41, 7.98, True),
    Row(4, 4.61, 4.95, True),
    Row(6, 3.08, 3.3, True),
    Row(10, 1.83, 1.91, True),
    Row(16, 1.15, 1.21, True),
    Row(25, 0.727, 0.78, True),
    Row(35, 0.524, 0.554, True),
    Row(50, 0.387, 0.386, True),
    Row(70, 0.268, 0.272, True),
    Row(95, 0.193, 0.206, True),
    Row(120, 0.153, 0.161, True),
)

BY_AREA = {row.area_mm2: row for row in ROWS}
