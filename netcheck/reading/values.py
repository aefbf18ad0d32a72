"""Values as phrases say them: quantities, and voltages with their kind."""

from __future__ import annotations

from functools import cache

from netcheck.reading.quantities import (
    ConductorSize,
    Measure,
    Quantity,
    SystemVoltage,
    UnitMistake,
    read_quantity,
)
from netcheck.reading.token import Token
from netcheck.record import record

EITHER = "AC or DC"
"""The kind of what works on both."""

PHASES = {"single-phase": 1, "three-phase": 3}


@record
class Rating:
    """A voltage with its kind: volts, `AC` or `DC` or empty, hertz or None, phases or None."""

    voltage: Quantity | SystemVoltage
    kind: str = ""
    frequency_hz: float | None = None
    phases: int | None = None

    @property
    def volts(self) -> float:
        if isinstance(self.voltage, SystemVoltage):
            return self.voltage.line_v
        return self.voltage.value


Value = Quantity | SystemVoltage | ConductorSize | Rating | str | int | float | tuple[str, ...]


class PhraseMistake(Exception):
    """Words that fit no phrase: what was met, what would fit.

    `at` is the token, or a piece of the statement's text to look for in it, or empty
    where the statement as a whole lacks something.
    """

    def __init__(self, at: Token | str, message: str, help: str = "") -> None:
        super().__init__(message)
        self.at = at
        self.message = message
        self.help = help


class Unbelievable(PhraseMistake):
    """A phrase that is understood, with a value that nothing in a panel has."""


def quantity(token: Token) -> Measure:
    """The quantity a token says.  Raises PhraseMistake with the unit's own mistake."""
    try:
        return _quantity(token.value)
    except UnitMistake as mistake:
        raise PhraseMistake(token, mistake.message, mistake.help) from None


@cache
def _quantity(text: str) -> Measure:
    return read_quantity(text)
