"""NEC 430.251(A): locked-rotor current of single-phase motors, in amperes."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NFPA 70-2008 (NEC) Table 430.251(A): single-phase locked-rotor current",
    cite="NEC 430.251(A)",
    edition="2008",
    note="for disconnects and controllers; read on one page only",
)


@record
class Row:
    """Locked-rotor current by the voltage on the nameplate."""

    power: str
    power_hp: float
    at_115v_a: float | None
    at_208v_a: float | None
    at_230v_a: float | None
    confirmed: bool


ROWS = (
    Row("1/2", 0.5, 58.8, 32.5, 29.4, True),
    Row("3/4", 0.75, 82.8, 45.8, 41.4, True),
    Row("1", 1, 96, 53, 48, True),
    Row("1 1/2", 1.5, 120, 66, 60, True),
    Row("2", 2, 144, 80, 72, True),
    Row("3", 3, 204, 113, 102, True),
    Row("5", 5, 336, 186, 168, True),
    Row("7 1/2", 7.5, 480, 265, 240, True),
    Row("10", 10, 600, 332, 300, True),
)
