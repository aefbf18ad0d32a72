"""NEC 240.4(D): the largest protective device for small conductors, in amperes."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70-2023 (NEC) 240.4(D): overcurrent protection of small conductors",
    cite="NEC 240.4(D)",
    edition="2023",
    note="unless 240.4(E) or (G) allows otherwise, motor circuits for example",
)


@record
class Row:
    """Largest device, and the largest continuous load where the rule names one."""

    material: str
    size: str
    device_max_a: float
    continuous_load_max_a: float | None
    condition: str
    confirmed: bool


ROWS = (
    Row("copper", "18 AWG", 7, 5.6, "device listed/marked for 18 AWG, or class CC/J/T fuse", True),
    Row("copper", "16 AWG", 10, 8, "device listed/marked for 16 AWG, or class CC/J/T fuse", True),
    Row("copper", "14 AWG", 15, None, "", True),
    Row("copper", "12 AWG", 20, None, "", True),
    Row("copper", "10 AWG", 30, None, "", True),
    Row("aluminium", "12 AWG", 15, None, "aluminium or copper-clad aluminium", True),
    Row("aluminium", "10 AWG", 25, None, "aluminium or copper-clad aluminium", True),
    Row(
        "copper-clad aluminium",
        "14 AWG",
        10,
        None,
        "added in NEC 2023 with its own conditions",
        False,
    ),
)

BY_SIZE = {(row.material, row.size): row for row in ROWS}
