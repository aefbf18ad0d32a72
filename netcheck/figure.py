"""Figures as the trade writes them: three significant figures, a unit that fits.

Digits before the decimal point are never dropped and whole numbers stay whole, so a
value from a table is printed as the table has it.
"""

from __future__ import annotations

import math

PREFIXED = frozenset(("A", "V", "W", "VA", "ohm"))
"""Units that are written with kilo from 1,000 and with milli below 0.1."""

SIGNIFICANT = 3
MOST_DIGITS = 9


def figure(value: float | str, unit: str = "", digits: int = SIGNIFICANT) -> str:
    """Return `value`, in `unit`, as text: 6.5 A, 10 kA, 24.3 mohm, 14 AWG.

    A text is kept as it is.  `digits` is the number of significant figures.
    """
    if isinstance(value, str):
        return f"{value} {unit}".strip()
    if math.isnan(value):
        return "not a number"
    if math.isinf(value):
        return "no limit" if value > 0 else "minus infinity"
    scaled, prefix = _scaled(value, unit)
    if value == int(value):
        digits = MOST_DIGITS
    return f"{_rounded(scaled, digits)} {prefix}{unit}".strip()


def figures_apart(unit: str, *values: float) -> tuple[str, ...]:
    """Return `values` with as many figures as it takes for unequal ones to look unequal.

    15.04 A against 15 A must not be printed as 15 A against 15 A.
    """
    unequal = len(set(values))
    for digits in range(SIGNIFICANT, MOST_DIGITS):
        texts = tuple(figure(value, unit, digits) for value in values)
        if len(set(texts)) == unequal:
            return texts
    return tuple(figure(value, unit, MOST_DIGITS) for value in values)


def _scaled(value: float, unit: str) -> tuple[float, str]:
    size = abs(value)
    if unit not in PREFIXED or size == 0 or 0.1 <= size < 1000:
        return value, ""
    if size >= 1e6:
        return value / 1e6, "M"
    return (value / 1000, "k") if size >= 1000 else (value * 1000, "m")


def _rounded(value: float, digits: int) -> str:
    if value == 0:
        return "0"
    if value == int(value):
        return str(int(value))
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
