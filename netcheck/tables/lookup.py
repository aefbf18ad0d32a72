"""What a lookup answers: a figure with the table row it came from, or why there is none."""

from __future__ import annotations

from netcheck.finding import Working
from netcheck.record import record


@record
class Lookup:
    """One figure with its unit, the table row or rule behind it, and whether that was read.

    `what` names the figure in a finding's working ("ambient factor").
    """

    value: float
    unit: str
    source: str
    confirmed: bool
    what: str = ""

    @property
    def working(self) -> Working:
        return Working(self.what, self.value, self.unit, self.source, self.confirmed)


@record
class CurrentLimit:
    """A current worked out in steps, and the name of the step that sets it.

    `current_a` is the answer.  Each step is a figure that went into it, in the order in
    which it is worked, the answer's governing step among them.
    """

    current_a: float
    steps: tuple[Lookup, ...]
    governed_by: str

    @property
    def confirmed(self) -> bool:
        """True if every figure that went into the answer was read on a page."""
        return all(step.confirmed for step in self.steps)

    @property
    def working(self) -> tuple[Working, ...]:
        return tuple(step.working for step in self.steps)


@record
class NotTabulated:
    """No published value answers this; `reason` says what is missing.  Never a pass, never zero."""

    reason: str


# Products of table factors carry rounding of the binary kind; a limit is met within this part.
ROUNDING = 1e-9


def reaches(available: float, needed: float) -> bool:
    """True if `available` is at least `needed`, binary rounding apart."""
    return available >= needed * (1 - ROUNDING)


def trim(value: float) -> float:
    """The value without the binary rounding of its last digits, so that 0.82 x 40 reads 32.8."""
    return float(f"{value:.12g}")
