"""NEC 250.122: smallest equipment grounding conductor by the rating of the device ahead of it."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC) Table 250.122: minimum size of equipment grounding conductors",
    cite="NEC 250.122",
    edition="2023",
    note=(
        "never need be larger than the circuit conductors (A); grows in proportion "
        "where they are increased (B)"
    ),
)


@record
class Row:
    """Smallest sizes for a protective device of up to `device_up_to_a` amperes."""

    device_up_to_a: float
    copper: str
    aluminium: str
    confirmed: bool


ROWS = (
    Row(15, "14 AWG", "12 AWG", True),
    Row(20, "12 AWG", "10 AWG", True),
    Row(60, "10 AWG", "8 AWG", True),
    Row(100, "8 AWG", "6 AWG", True),
    Row(200, "6 AWG", "4 AWG", True),
    Row(300, "4 AWG", "2 AWG", True),
    Row(400, "3 AWG", "1 AWG", True),
)
