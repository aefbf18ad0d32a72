"""Units and their exact factors.  GENERATED from pint 0.25.3: do not edit.

Made by `python -m netcheck.reading.make_units`; a test holds every figure equal to pint's.
"""

from __future__ import annotations

from typing import NamedTuple


class Unit(NamedTuple):
    """(number - zero) * numerator / denominator is the value in the dimension's base unit."""

    dimension: str
    numerator: int
    denominator: int
    zero: int = 0


UNIT_TABLE = {
    "V": Unit("voltage", 1, 1),
    "kV": Unit("voltage", 1000, 1),
    "mV": Unit("voltage", 1, 1000),
    "A": Unit("current", 1, 1),
    "kA": Unit("current", 1000, 1),
    "mA": Unit("current", 1, 1000),
    "uA": Unit("current", 1, 1000000),
    "W": Unit("power", 1, 1),
    "kW": Unit("power", 1000, 1),
    "MW": Unit("power", 1000000, 1),
    "mW": Unit("power", 1, 1000),
    "hp": Unit("power", 37284993579113511, 50000000000000),
    "VA": Unit("apparent power", 1, 1),
    "kVA": Unit("apparent power", 1000, 1),
    "MVA": Unit("apparent power", 1000000, 1),
    "m": Unit("length", 1, 1),
    "km": Unit("length", 1000, 1),
    "cm": Unit("length", 1, 100),
    "mm": Unit("length", 1, 1000),
    "ft": Unit("length", 381, 1250),
    "in": Unit("length", 127, 5000),
    "degC": Unit("temperature", 1, 1),
    "degF": Unit("temperature", 5, 9, 32),
    "s": Unit("time", 1, 1),
    "ms": Unit("time", 1, 1000),
    "min": Unit("time", 60, 1),
    "h": Unit("time", 3600, 1),
    "ohm": Unit("resistance", 1, 1),
    "kohm": Unit("resistance", 1000, 1),
    "Mohm": Unit("resistance", 1000000, 1),
    "mohm": Unit("resistance", 1, 1000),
    "Hz": Unit("frequency", 1, 1),
    "kHz": Unit("frequency", 1000, 1),
    "%": Unit("share", 1, 100),
    "F": Unit("capacitance", 1, 1),
    "mF": Unit("capacitance", 1, 1000),
    "uF": Unit("capacitance", 1, 1000000),
    "nF": Unit("capacitance", 1, 1000000000),
    "pF": Unit("capacitance", 1, 1000000000000),
    "H": Unit("inductance", 1, 1),
    "mH": Unit("inductance", 1, 1000),
    "uH": Unit("inductance", 1, 1000000),
    "N m": Unit("torque", 1, 1),
    "lb-in": Unit("torque", 1129848290276167, 10000000000000000),
    "lb-ft": Unit("torque", 3389544870828501, 2500000000000000),
}
"""Every unit but the conductor sizes, by its spelling."""

SIZE_UNITS = ("mm2", "AWG", "kcmil")
"""The units of a conductor's size; `conductor_size.py` has what they mean."""

UNITS = tuple(sorted((*UNIT_TABLE, *SIZE_UNITS), key=lambda unit: (-len(unit), unit)))
"""Every unit, longest first: tried in this order, `min` is never read as `m`."""
