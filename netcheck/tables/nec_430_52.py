"""NEC 430.52: the largest short-circuit and ground-fault device of a motor branch, in percent."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Table 430.52(C)(1): maximum rating of motor branch short-"
        "circuit and ground-fault devices"
    ),
    cite="NEC 430.52(C)(1)",
    edition="2023",
    note="percent of the table full-load current",
)


@record
class Row:
    """Percent of full-load current for one kind of motor, by kind of device."""

    motor: str
    non_time_delay_fuse_pct: float
    dual_element_fuse_pct: float
    instantaneous_trip_pct: float
    inverse_time_breaker_pct: float
    confirmed: bool


ROWS = (
    Row("single-phase", 300, 175, 800, 250, True),
    Row("AC polyphase other than wound-rotor", 300, 175, 800, 250, True),
    Row("squirrel cage other than Design B energy-efficient", 300, 175, 800, 250, True),
    Row("squirrel cage Design B energy-efficient", 300, 175, 1100, 250, True),
    Row("synchronous", 300, 175, 800, 250, True),
    Row("wound-rotor", 150, 150, 800, 150, True),
    Row("direct-current (constant voltage)", 150, 150, 250, 150, True),
)
