"""A value in its base unit, written as the trade writes it: `1200` A as `1.2 kA`."""

from __future__ import annotations

import math

from netcheck.reading.units import UNIT_TABLE

SCALES: dict[str, tuple[tuple[str, float], ...]] = {
    "voltage": (("kV", 1000), ("V", 0.1), ("mV", 0)),
    "system voltage": (("V", 0),),
    "current": (("kA", 1000), ("A", 0.1), ("mA", 0.0001), ("uA", 0)),
    "power": (("MW", 1e6), ("kW", 1000), ("W", 0.1), ("mW", 0)),
    "apparent power": (("MVA", 1e6), ("kVA", 1000), ("VA", 0)),
    "length": (("km", 2000), ("m", 0.1), ("mm", 0)),
    "temperature": (("degC", 0),),
    "time": (("h", 7200), ("min", 120), ("s", 0.1), ("ms", 0)),
    "resistance": (("Mohm", 1e6), ("kohm", 1000), ("ohm", 0.1), ("mohm", 0)),
    "conductor size": (("mm2", 0),),
    "frequency": (("kHz", 1000), ("Hz", 0)),
    "share": (("%", 0),),
    "capacitance": (("F", 1), ("mF", 0.1), ("uF", 1e-7), ("nF", 1e-9), ("pF", 0)),
    "inductance": (("H", 0.1), ("mH", 1e-4), ("uH", 0)),
    "torque": (("N m", 0),),
}
"""For each dimension, the units to write and the smallest value each is written for."""

DECIMALS = 12


def trade(value: float, dimension: str, figures: int = 3) -> str:
    """`value`, in the base unit of `dimension`, in at most `figures` significant figures."""
    if not math.isfinite(value):
        return f"no finite {dimension}"
    rounded = _rounded(value, figures)
    unit = next((u for u, least in SCALES[dimension] if abs(rounded) >= least), "")
    if rounded == 0:
        unit = _middle_unit(dimension)
    return f"{_plain(_rounded(_in_unit(value, unit), figures))} {unit}"


def _rounded(value: float, figures: int) -> float:
    return float(f"{value:.{figures}g}")


def _in_unit(value: float, unit: str) -> float:
    if unit not in UNIT_TABLE:
        return value
    return value * UNIT_TABLE[unit].denominator / UNIT_TABLE[unit].numerator


def _middle_unit(dimension: str) -> str:
    """The base unit: nothing at all is `0 A`, not `0 uA`."""
    for unit, _ in SCALES[dimension]:
        known = UNIT_TABLE.get(unit)
        if known and known.numerator == known.denominator:
            return unit
    return SCALES[dimension][0][0]


def _plain(value: float) -> str:
    """Digits without an exponent and without idle noughts."""
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
