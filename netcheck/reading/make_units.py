"""Writes `units.py`, the factor table of the language's units, from pint.

pint is the authority on units, and too slow to load for every review (a third of a
second), so the quick path reads a table that a test holds equal to pint.

    python -m netcheck.reading.make_units
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pint

BASE_UNITS = {
    "voltage": "V",
    "current": "A",
    "power": "W",
    "apparent power": "VA",
    "length": "m",
    "temperature": "degC",
    "time": "s",
    "resistance": "ohm",
    "frequency": "Hz",
    "share": "dimensionless",
    "capacitance": "F",
    "inductance": "H",
    "torque": "N*m",
}
"""Each dimension, and the unit its values are held in, as pint writes it."""

SPELLINGS = {
    "voltage": ("V", "kV", "mV"),
    "current": ("A", "kA", "mA", "uA"),
    "power": ("W", "kW", "MW", "mW", "hp"),
    "apparent power": ("VA", "kVA", "MVA"),
    "length": ("m", "km", "cm", "mm", "ft", "in"),
    "temperature": ("degC", "degF"),
    "time": ("s", "ms", "min", "h"),
    "resistance": ("ohm", "kohm", "Mohm", "mohm"),
    "frequency": ("Hz", "kHz"),
    "share": ("%",),
    "capacitance": ("F", "mF", "uF", "nF", "pF"),
    "inductance": ("H", "mH", "uH"),
    "torque": ("N m", "lb-in", "lb-ft"),
}
"""The units of each dimension as the language writes them, the one to propose first."""

PINT_SPELLINGS = {"%": "percent", "N m": "N*m", "lb-in": "lbf*in", "lb-ft": "lbf*ft"}
"""Where pint spells a unit otherwise."""

HEADER = '''"""Units and their exact factors.  GENERATED from pint {version}: do not edit.

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


UNIT_TABLE = {{
'''


FOOTER = '''}
"""Every unit but the conductor sizes, by its spelling."""

SIZE_UNITS = ("mm2", "AWG", "kcmil")
"""The units of a conductor's size; `conductor_size.py` has what they mean."""

UNITS = tuple(sorted((*UNIT_TABLE, *SIZE_UNITS), key=lambda unit: (-len(unit), unit)))
"""Every unit, longest first: tried in this order, `min` is never read as `m`."""
'''


def unit_row(spelling: str, dimension: str) -> tuple[str, int, int, int]:
    """Dimension, exact factor as a ratio, and the base unit's zero on the unit's own scale."""
    registry = exact_registry()
    base = BASE_UNITS[dimension]
    unit = PINT_SPELLINGS.get(spelling, spelling)
    zero = registry.Quantity(Fraction(0), base).to(unit).magnitude
    one_more = registry.Quantity(zero + 1, unit).to(base).magnitude
    factor = Fraction(one_more)
    if Fraction(zero).denominator != 1:
        raise ValueError(f"the zero of {spelling} is not a whole number: {zero}")
    return dimension, factor.numerator, factor.denominator, int(zero)


@cache
def exact_registry() -> pint.UnitRegistry[Fraction]:
    """pint reckoning in exact fractions."""
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


def table_source() -> str:
    """The whole text of `units.py`."""
    import pint

    lines = [HEADER.format(version=pint.__version__)]
    for dimension, spellings in SPELLINGS.items():
        for spelling in spellings:
            _, numerator, denominator, zero = unit_row(spelling, dimension)
            figures = f"{numerator}, {denominator}" + (f", {zero}" if zero else "")
            lines.append(f'    "{spelling}": Unit("{dimension}", {figures}),\n')
    lines.append(FOOTER)
    return "".join(lines)


if __name__ == "__main__":
    Path(__file__).with_name("units.py").write_text(table_source(), encoding="utf-8")
