"""NEC 430.7(B): the code letter on a motor's nameplate, in kVA per horsepower with its rotor locked."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NEMA MG 1 10.37.2 (NFPA 70-2023 (NEC) Table 430.7(B)): locked-rotor code letters",
    cite="NEC 430.7(B)",
    edition="2023",
    note="at full voltage and rated frequency; read on two pages that reproduce it",
)


@record
class Row:
    """A letter covers its lower figure up to, but not including, the higher; the last has none."""

    letter: str
    from_kva_per_hp: float
    below_kva_per_hp: float | None
    confirmed: bool


ROWS = (
    Row("A", 0, 3.15, True),
    Row("B", 3.15, 3.55, True),
    Row("C", 3.55, 4.0, True),
    Row("D", 4.0, 4.5, True),
    Row("E", 4.5, 5.0, True),
    Row("F", 5.0, 5.6, True),
    Row("G", 5.6, 6.3, True),
    Row("H", 6.3, 7.1, True),
    Row("J", 7.1, 8.0, True),
    Row("K", 8.0, 9.0, True),
    Row("L", 9.0, 10.0, True),
    Row("M", 10.0, 11.2, True),
    Row("N", 11.2, 12.5, True),
    Row("P", 12.5, 14.0, True),
    Row("R", 14.0, 16.0, True),
    Row("S", 16.0, 18.0, True),
    Row("T", 18.0, 20.0, True),
    Row("U", 20.0, 22.4, True),
    Row("V", 22.4, None, True),
)
