"""NEC 430.72(B): the largest device ahead of motor control conductors, in amperes."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Table 430.72(B): maximum overcurrent device for motor "
        "control conductors"
    ),
    cite="NEC 430.72(B)",
    edition="2023",
    note="from memory; separate protection from 14 AWG on goes by the ampacity",
)


@record
class Row:
    """Separate protection, conductor staying inside the enclosure, conductor leaving it."""

    size: str
    separate_copper_a: float | None
    separate_aluminium_a: float | None
    inside_copper_a: float | None
    inside_aluminium_a: float | None
    leaving_copper_a: float | None
    leaving_aluminium_a: float | None
    confirmed: bool


ROWS = (
    Row("18 AWG", 7, None, 25, None, 7, None, False),
    Row("16 AWG", 10, None, 40, None, 10, None, False),
    Row("14 AWG", None, None, 100, None, 45, None, False),
    Row("12 AWG", None, None, 120, 100, 60, 45, False),
    Row("10 AWG", None, None, 160, 140, 90, 75, False),
)
