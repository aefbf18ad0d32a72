"""Rating codes of contacts for coils: what they make and break, by the letter."""

from __future__ import annotations

from netcheck.record import record
from netcheck.tables.table import TableSource

SOURCE = TableSource(
    title="NEMA ICS 5 and UL 508: contact rating codes (A600, B300, Q300)",
    cite="contact rating codes",
    edition="",
    note="from memory",
)


@record
class PilotDuty:
    """What a letter stands for: volt-amperes made and broken, and amperes carried."""

    letter: str
    kind: str
    makes_va: float
    breaks_va: float
    carries_a: float
    confirmed: bool


ROWS = (
    PilotDuty("A", "AC", 7200, 720, 10, False),
    PilotDuty("B", "AC", 3600, 360, 5, False),
    PilotDuty("C", "AC", 1800, 180, 2.5, False),
    PilotDuty("D", "AC", 432, 72, 1, False),
    PilotDuty("E", "AC", 216, 36, 0.5, False),
    PilotDuty("N", "DC", 275, 275, 10, False),
    PilotDuty("P", "DC", 138, 138, 5, False),
    PilotDuty("Q", "DC", 69, 69, 2.5, False),
    PilotDuty("R", "DC", 28, 28, 1, False),
)
VOLTS = (150, 300, 600)


def pilot_duty(code: str) -> tuple[PilotDuty, int] | None:
    """The row of `A600`, and the volts up to which it holds; None where there is no such code."""
    letter, volts = code[:1].upper(), code[1:]
    if not volts.isdecimal() or int(volts) not in VOLTS:
        return None
    row = next((row for row in ROWS if row.letter == letter), None)
    return None if row is None else (row, int(volts))
