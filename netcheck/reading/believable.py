"""What a quantity of a panel can be: a wire of no length and a fuse of a million amperes cannot.

A value beyond these limits is a slip of the pen, and what would follow from it means nothing.
The limits are wide, far beyond what any part of a panel is made for: common practice, no source.
"""

from __future__ import annotations

from netcheck.reading.quantities import Quantity
from netcheck.reading.token import Token
from netcheck.reading.values import Unbelievable
from netcheck.record import record


@record
class Believable:
    """From `least` to `most`, in the base unit of the dimension, `most` also as it is written."""

    name: str
    least: float
    most: float
    written: str


SMALLEST = 1e-12
"""Nothing at all is less: a rating of nought is none."""
LIMITS = {
    "current": Believable("current", SMALLEST, 1e6, "1,000 kA"),
    "voltage": Believable("voltage", 0.0, 100e3, "100 kV"),
    "power": Believable("power", SMALLEST, 100e6, "100 MW"),
    "apparent power": Believable("apparent power", SMALLEST, 100e6, "100 MVA"),
    "resistance": Believable("resistance", SMALLEST, 1e12, "1,000,000 Mohm"),
    "length": Believable("length", 0.001, 5e3, "5 km"),
    "temperature": Believable("temperature", -90.0, 500.0, "500 degC"),
    "frequency": Believable("frequency", SMALLEST, 1e6, "1 MHz"),
    "share": Believable("share", SMALLEST, 1.0, "100 %"),
}


def refuse_unbelievable(token: Token, value: Quantity, nought: bool) -> None:
    """Raises Unbelievable where nothing in a panel has such a value; `nought` may be one."""
    limits = LIMITS.get(value.dimension)
    if limits is None or (nought and value.value == 0):
        return
    if value.value > limits.most:
        message = f"`{token}` is beyond any {limits.name} in a panel"
        raise Unbelievable(token, message, f"write what it is, up to {limits.written}")
    if value.value >= limits.least:
        return
    if value.value == 0:
        raise Unbelievable(token, f"`{token}` is no {limits.name}", "write what it is")
    message = f"`{token}` is too small for any {limits.name} in a panel"
    raise Unbelievable(token, message, "write what it is")
