"""One quantity as the trade writes it (`24 V`, `1 1/2 hp`, `14 AWG`, `120/240 V`) to its value.

A value is the float nearest to the exact product of the written number and the unit's
exact factor: `500 mA` is 0.5 A and `3 ft` 0.9144 m, to the last bit.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import ClassVar, Literal

from netcheck.reading import unit_mistakes
from netcheck.reading.conductor_size import ConductorSize, area_size, awg_size
from netcheck.reading.trade import trade
from netcheck.reading.unit_mistakes import UnitMistake, explain_missing_blank
from netcheck.reading.units import SIZE_UNITS, UNIT_TABLE, UNITS, Unit
from netcheck.record import record

__all__ = [
    "UNITS",
    "ConductorSize",
    "Measure",
    "Quantity",
    "SystemVoltage",
    "UnitMistake",
    "explain_missing_blank",
    "read_quantity",
    "trade",
    "wrong_dimension",
]

LOWEST_SYSTEM_V = 12.0
RATIO_TOLERANCE = 0.02
"""Nominal voltages are rounded: 347/600 V is 1.729, 230/400 V is 1.739, where wye is 1.732."""

ABSOLUTE_ZERO_DEGC = -273.15

_PARTS = re.compile(r"(\S+(?:[ \t]+[0-9]\S*)?)[ \t]+([^\s0-9].*)")
_NUMBER = re.compile(r"(-?)([0-9]+)(?:\.([0-9]+))?")
_FRACTION = re.compile(r"(?:([0-9]+)[ \t]+)?([0-9]+)/([0-9]+)")
_SYSTEM = re.compile(r"([0-9]+(?:\.[0-9]+)?)(Y?)/([0-9]+(?:\.[0-9]+)?)")


@record
class Quantity:
    """A number with its unit.

    `value` is in the base unit of its `dimension`: V, A, W, VA, m, degC, s, ohm, Hz, F,
    H, N m, and a plain ratio for a share (`5 %` is 0.05).
    """

    value: float
    dimension: str
    text: str
    unit: str


@record
class SystemVoltage:
    """The two voltages of a supply system, or of a breaker's slash rating.

    `120/240 V` is split (line to line twice the voltage to neutral), `208Y/120 V` and
    `277/480 V` are wye (line to line 1.732 times it).
    """

    dimension: ClassVar[str] = "system voltage"
    line_v: float
    neutral_v: float
    phases: Literal["split", "wye"]
    text: str


Measure = Quantity | SystemVoltage | ConductorSize


@lru_cache(maxsize=4096)  # a panel repeats few quantities many times
def read_quantity(text: str) -> Measure:
    """The measure written in `text`, number, blank, unit; raises UnitMistake."""
    parts = _PARTS.fullmatch(text) if len(text) <= unit_mistakes.LONGEST_TEXT else None
    if parts is None:
        raise unit_mistakes.no_quantity(text)
    number, unit = parts[1], " ".join(parts[2].split())
    if unit == "AWG":
        return awg_size(number)
    if unit in SIZE_UNITS:
        return area_size(number, _ratio_value(_ratio(number, unit), Unit("", 1, 1)), unit)
    known = UNIT_TABLE.get(unit)
    if known is None:
        raise unit_mistakes.unknown_unit(number, unit)
    if known.dimension == "voltage" and "/" in number:
        return _system_voltage(number, unit, text)
    value = _ratio_value(_ratio(number, unit), known)
    _refuse_impossible(value, known, number, unit)
    return Quantity(value, known.dimension, text, unit)


def wrong_dimension(met: Measure, wanted: str) -> UnitMistake:
    """The mistake of writing `met` where a quantity of dimension `wanted` belongs."""
    return unit_mistakes.wrong_dimension(met.text, met.dimension, wanted)


def _ratio(number: str, unit: str) -> tuple[int, int]:
    """The exact value of `0.5`, `1/2` or `1 1/2` as numerator and denominator."""
    unit_mistakes.refuse_too_many_digits(number, unit)
    if plain := _NUMBER.fullmatch(number):
        sign, whole, decimals = plain[1], plain[2], plain[3] or ""
        return int(sign + whole + decimals), 10 ** len(decimals)
    fraction = _FRACTION.fullmatch(number)
    if fraction is None:
        raise unit_mistakes.bad_number(number, unit)
    whole_part, numerator, denominator = fraction.groups()
    top, bottom = int(numerator), int(denominator)
    if bottom == 0 or (whole_part and top >= bottom):
        raise unit_mistakes.bad_number(number, unit)
    return int(whole_part or 0) * bottom + top, bottom


def _ratio_value(ratio: tuple[int, int], unit: Unit) -> float:
    """Whole numbers divided once: Python rounds that correctly."""
    top, bottom = ratio
    return (top - unit.zero * bottom) * unit.numerator / (bottom * unit.denominator)


def _refuse_impossible(value: float, known: Unit, number: str, unit: str) -> None:
    if known.dimension == "temperature":
        if value < ABSOLUTE_ZERO_DEGC:
            raise unit_mistakes.below_absolute_zero(number, unit)
    elif number.startswith("-"):
        raise unit_mistakes.below_zero(number, unit)


def _system_voltage(number: str, unit: str, text: str) -> SystemVoltage:
    written = _SYSTEM.fullmatch(number)
    if written is None:
        raise unit_mistakes.bad_number(number, unit)
    first = _ratio_value(_ratio(written[1], unit), UNIT_TABLE[unit])
    second = _ratio_value(_ratio(written[3], unit), UNIT_TABLE[unit])
    line_v, neutral_v = (first, second) if written[2] else (second, first)
    if neutral_v < LOWEST_SYSTEM_V:
        raise unit_mistakes.fraction_of_a_volt(number, unit)
    if math.isclose(line_v / neutral_v, math.sqrt(3), rel_tol=RATIO_TOLERANCE):
        return SystemVoltage(line_v, neutral_v, "wye", text)
    if not written[2] and math.isclose(line_v / neutral_v, 2, rel_tol=RATIO_TOLERANCE):
        return SystemVoltage(line_v, neutral_v, "split", text)
    raise unit_mistakes.no_system_voltage(number, unit)
