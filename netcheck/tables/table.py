"""What every published table says about itself, and the row shape of single rules."""

from __future__ import annotations

from netcheck.record import record


@record
class TableSource:
    """Where a table stands: full title, short form for findings, edition, remarks.

    Rows with `confirmed` were read on pages that reproduce the table, never in the
    standard itself; the others come from memory.
    """

    title: str
    cite: str
    edition: str
    note: str = ""


@record
class Rule:
    """One rule with a figure in it; figures that are ranges or expressions stay text."""

    item: str
    value: float | str
    unit: str
    reference: str
    confirmed: bool

    @property
    def figure(self) -> float:
        """The value as a number.  Raises TypeError where it is text."""
        if isinstance(self.value, str):
            raise TypeError(f"{self.item}: {self.value} is no single figure")
        return self.value
