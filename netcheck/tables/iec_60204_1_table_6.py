"""IEC 60204-1 table 6: current-carrying capacity in amperes, PVC copper, 40 degC ambient."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "IEC 60204-1:2016 Table 6: current-carrying capacity Iz, PVC insulated copper, "
        "three loaded conductors"
    ),
    cite="IEC 60204-1 Table 6",
    edition="2016",
    note=(
        "B1 single cores in conduit or duct (from memory), B2 cable in conduit or duct,"
        " C cable on wall or tray, E cable in free air"
    ),
)


@record
class Row:
    """Capacity of one size by installation method."""

    area_mm2: float
    method: str
    capacity_a: float
    confirmed: bool


ROWS = (
    Row(0.75, "B1", 8.6, False),
    Row(0.75, "B2", 8.5, True),
    Row(0.75, "C", 9.8, True),
    Row(0.75, "E", 10.4, True),
    Row(1, "B1", 10.3, False),
    Row(1, "B2", 10.1, True),
    Row(1, "C", 11.7, True),
    Row(1, "E", 12.4, True),
    Row(1.5, "B1", 13.5, False),
    Row(1.5, "B2", 13.1, True),
    Row(1.5, "C", 15.2, True),
    Row(1.5, "E", 16.1, True),
    Row(2.5, "B1", 18.3, False),
    Row(2.5, "B2", 17.4, True),
    Row(2.5, "C", 21, True),
    Row(2.5, "E", 22, True),
    Row(4, "B1", 24, False),
    Row(4, "B2", 23, True),
    Row(4, "C", 28, True),
    Row(4, "E", 30, True),
    Row(6, "B1", 31, False),
    Row(6, "B2", 30, True),
    Row(6, "C", 36, True),
    Row(6, "E", 37, True),
    Row(10, "B1", 44, False),
    Row(10, "B2", 40, True),
    Row(10, "C", 50, True),
    Row(10, "E", 52, True),
    Row(16, "B1", 59, False),
    Row(16, "B2", 54, True),
    Row(16, "C", 66, True),
    Row(16, "E", 70, True),
    Row(25, "B1", 77, False),
    Row(25, "B2", 70, True),
    Row(25, "C", 84, True),
    Row(25, "E", 88, True),
    Row(35, "B1", 96, False),
    Row(35, "B2", 86, True),
    Row(35, "C", 104, True),
    Row(35, "E", 110, True),
    Row(50, "B1", 117, False),
    Row(50, "B2", 103, True),
    Row(50, "C", 125, True),
    Row(50, "E", 133, True),
    Row(70, "B1", 149, False),
    Row(70, "B2", 130, True),
    Row(70, "C", 160, True),
    Row(70, "E", 171, True),
    Row(95, "B1", 180, False),
    Row(95, "B2", 156, True),
    Row(95, "C", 194, True),
    Row(95, "E", 207, True),
    Row(120, "B1", 208, False),
    Row(120, "B2", 179, True),
    Row(120, "C", 225, True),
    Row(120, "E", 240, True),
    Row(0.2, "B2 signal pair", 4.3, True),
    Row(0.2, "C signal pair", 4.4, True),
    Row(0.5, "B2 signal pair", 7.5, True),
    Row(0.5, "C signal pair", 7.5, True),
    Row(0.75, "B2 signal pair", 9, True),
    Row(0.75, "C signal pair", 9.5, True),
)

BY_METHOD = {(row.method, row.area_mm2): row for row in ROWS}
