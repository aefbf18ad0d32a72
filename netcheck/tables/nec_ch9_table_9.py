"""NEC chapter 9 table 9: 60 Hz impedance at 75 degC, ohm to neutral per 1000 ft."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Chapter 9 Table 9: AC resistance and reactance, three "
        "single conductors in conduit"
    ),
    cite="NEC chapter 9 table 9",
    edition="2023",
    note="effective impedance at a power factor: Ze = R pf + X sin(acos pf)",
)


@record
class Row:
    """Reactance by conduit, then resistance by conductor and conduit; None = no value."""

    size: str
    reactance_pvc_or_aluminium: float
    reactance_steel: float
    copper_pvc: float
    copper_aluminium: float
    copper_steel: float
    aluminium_pvc: float | None
    aluminium_aluminium: float | None
    aluminium_steel: float | None
    confirmed: bool


ROWS = (
    Row("14 AWG", 0.058, 0.073, 3.1, 3.1, 3.1, None, None, None, True),
    Row("12 AWG", 0.054, 0.068, 2, 2, 2, 3.2, 3.2, 3.2, True),
    Row("10 AWG", 0.05, 0.063, 1.2, 1.2, 1.2, 2, 2, 2, True),
    Row("8 AWG", 0.052, 0.065, 0.78, 0.78, 0.78, 1.3, 1.3, 1.3, True),
    Row("6 AWG", 0.051, 0.064, 0.49, 0.49, 0.49, 0.81, 0.81, 0.81, True),
    Row("4 AWG", 0.048, 0.06, 0.31, 0.31, 0.31, 0.51, 0.51, 0.51, True),
    Row("3 AWG", 0.047, 0.059, 0.25, 0.25, 0.25, 0.4, 0.41, 0.4, True),
    Row("2 AWG", 0.045, 0.057, 0.19, 0.2, 0.2, 0.32, 0.32, 0.32, True),
    Row("1 AWG", 0.046, 0.057, 0.15, 0.16, 0.16, 0.25, 0.26, 0.25, True),
    Row("1/0 AWG", 0.044, 0.055, 0.12, 0.13, 0.12, 0.2, 0.21, 0.2, True),
    Row("2/0 AWG", 0.043, 0.054, 0.1, 0.1, 0.1, 0.16, 0.16, 0.16, True),
    Row("3/0 AWG", 0.042, 0.052, 0.077, 0.082, 0.079, 0.13, 0.13, 0.13, True),
    Row("4/0 AWG", 0.041, 0.051, 0.062, 0.067, 0.063, 0.1, 0.11, 0.1, True),
    Row("250 kcmil", 0.041, 0.052, 0.052, 0.057, 0.054, 0.085, 0.09, 0.086, True),
    Row("300 kcmil", 0.041, 0.051, 0.044, 0.049, 0.045, 0.071, 0.076, 0.072, True),
    Row("350 kcmil", 0.04, 0.05, 0.038, 0.043, 0.039, 0.061, 0.066, 0.063, True),
    Row("400 kcmil", 0.04, 0.049, 0.033, 0.038, 0.035, 0.054, 0.059, 0.055, True),
    Row("500 kcmil", 0.039, 0.048, 0.027, 0.032, 0.029, 0.043, 0.048, 0.045, True),
)

BY_SIZE = {row.size: row for row in ROWS}
