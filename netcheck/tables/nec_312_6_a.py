"""NEC 312.6(A): wire-bending space at terminals, one wire on each terminal, in inches."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title=(
        "NFPA 70-2023 (NEC) Table 312.6(A): minimum wire-bending space at terminals and"
        " gutter width"
    ),
    cite="NEC 312.6(A)",
    edition="2023",
    note="no value = not specified",
)


@record
class Row:
    """Sizes from `smallest` to `largest`."""

    smallest: str
    largest: str
    space_in: float | None
    confirmed: bool


ROWS = (
    Row("14 AWG", "10 AWG", None, True),
    Row("8 AWG", "6 AWG", 1.5, True),
    Row("4 AWG", "3 AWG", 2, True),
    Row("2 AWG", "2 AWG", 2.5, True),
    Row("1 AWG", "1 AWG", 3, True),
    Row("1/0 AWG", "2/0 AWG", 3.5, True),
    Row("3/0 AWG", "4/0 AWG", 4, True),
    Row("250 kcmil", "250 kcmil", 4.5, True),
    Row("300 kcmil", "350 kcmil", 5, True),
    Row("400 kcmil", "500 kcmil", 6, True),
)
