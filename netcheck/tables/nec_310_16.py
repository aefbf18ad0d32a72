"""NEC 310.16: ampacity in amperes, 30 degC ambient, up to three current-carrying conductors."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Table 310.16: ampacities of insulated conductors in "
        "raceway, cable or earth"
    ),
    cite="NEC 310.16",
    edition="2023",
    note=(
        "the table as changed in 2011; aluminium stands for copper-clad aluminium too; "
        "240.4(D) and 110.14(C) limit further"
    ),
)


@record
class Row:
    """Ampacity of one size by the temperature rating of its insulation; None = no value."""

    material: str
    size: str
    at_60c_a: float | None
    at_75c_a: float | None
    at_90c_a: float | None
    confirmed: bool


ROWS = (
    Row("copper", "18 AWG", None, None, 14, True),
    Row("copper", "16 AWG", None, None, 18, True),
    Row("copper", "14 AWG", 15, 20, 25, True),
    Row("copper", "12 AWG", 20, 25, 30, True),
    Row("copper", "10 AWG", 30, 35, 40, True),
    Row("copper", "8 AWG", 40, 50, 55, True),
    Row("copper", "6 AWG", 55, 65, 75, True),
    Row("copper", "4 AWG", 70, 85, 95, True),
    Row("copper", "3 AWG", 85, 100, 115, True),
    Row("copper", "2 AWG", 95, 115, 130, True),
    Row("copper", "1 AWG", 110, 130, 145, True),
    Row("copper", "1/0 AWG", 125, 150, 170, True),
    Row("copper", "2/0 AWG", 145, 175, 195, True),
    Row("copper", "3/0 AWG", 165, 200, 225, True),
    Row("copper", "4/0 AWG", 195, 230, 260, True),
    Row("copper", "250 kcmil", 215, 255, 290, True),
    Row("copper", "300 kcmil", 240, 285, 320, True),
    Row("copper", "350 kcmil", 260, 310, 350, True),
    Row("copper", "400 kcmil", 280, 335, 380, True),
    Row("copper", "500 kcmil", 320, 380, 430, True),
    Row("aluminium", "12 AWG", 15, 20, 25, True),
    Row("aluminium", "10 AWG", 25, 30, 35, True),
    Row("aluminium", "8 AWG", 35, 40, 45, True),
    Row("aluminium", "6 AWG", 40, 50, 55, True),
    Row("aluminium", "4 AWG", 55, 65, 75, True),
    Row("aluminium", "3 AWG", 65, 75, 85, True),
    Row("aluminium", "2 AWG", 75, 90, 100, True),
    Row("aluminium", "1 AWG", 85, 100, 115, True),
    Row("aluminium", "1/0 AWG", 100, 120, 135, True),
    Row("aluminium", "2/0 AWG", 115, 135, 150, True),
    Row("aluminium", "3/0 AWG", 130, 155, 175, True),
    Row("aluminium", "4/0 AWG", 150, 180, 205, True),
    Row("aluminium", "250 kcmil", 170, 205, 230, True),
    Row("aluminium", "300 kcmil", 195, 230, 260, True),
    Row("aluminium", "350 kcmil", 210, 250, 280, True),
    Row("aluminium", "400 kcmil", 225, 270, 305, True),
    Row("aluminium", "500 kcmil", 260, 310, 350, True),
)

BY_SIZE = {(row.material, row.size): row for row in ROWS}
