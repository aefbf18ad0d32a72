"""Conductor sizes: American wire gauge, thousands of circular mils, and square millimetres.

Source of the gauge: ASTM B258, 36 AWG is 0.005 in and each of the 39 steps up to 4/0
has the same ratio, 92 in all.  A circular mil is the area of a circle of 0.001 in.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

MM_PER_INCH = 25.4
MM2_PER_KCMIL = math.pi / 4 * (MM_PER_INCH / 1000) ** 2 * 1000
GAUGE_36_DIAMETER_MM = 0.005 * MM_PER_INCH
GAUGE_STEPS = 39
GAUGE_RATIO = 92
# Outside these a number is a slip of the pen: the finest gauge is 0.005 mm2, big cables 2500 mm2.
LARGEST_MM2 = 5000.0
SMALLEST_MM2 = 0.001


class WireSize(NamedTuple):
    """One conductor size, ordered by its cross-section; `str` gives the trade form back.

    Two sizes are equal only if they are the same size of the same system.
    """

    area_mm2: float
    name: str

    @staticmethod
    def from_text(text: str) -> WireSize:
        """The size written `14 AWG`, `4/0 AWG`, `250 kcmil` or `2.5 mm2`.

        Raises ValueError, with a sentence for the reader, for anything else.
        """
        return _from_text(text)

    @property
    def system(self) -> str:
        """`AWG`, `kcmil` or `mm2`."""
        return self.name.rpartition(" ")[2]

    @property
    def is_metric(self) -> bool:
        return self.system == "mm2"

    @property
    def area_kcmil(self) -> float:
        return self.area_mm2 / MM2_PER_KCMIL

    def __str__(self) -> str:
        return self.name


def gauge_area_mm2(gauge: int) -> float:
    """Area of a solid wire of this gauge, mm2; 0 is 1/0, -3 is 4/0.  Source: ASTM B258."""
    diameter_mm: float = GAUGE_36_DIAMETER_MM * GAUGE_RATIO ** ((36 - gauge) / GAUGE_STEPS)
    return math.pi / 4 * diameter_mm**2


@lru_cache(maxsize=4096)
def _from_text(text: str) -> WireSize:
    number, _, unit = text.partition(" ")
    if unit == "AWG" and number in ("1/0", "2/0", "3/0", "4/0"):
        return WireSize(gauge_area_mm2(1 - int(number[0])), text)
    if unit == "AWG" and _is_number(number, digits=2) and "." not in number:
        return _gauge(int(number))
    if unit in ("kcmil", "mm2", "mm²") and _is_number(number, digits=10):
        return _measured(float(number), "kcmil" if unit == "kcmil" else "mm2")
    raise ValueError(
        f"{text[:40]!r} is no conductor size; write 14 AWG, 4/0 AWG, 250 kcmil or 2.5 mm2"
    )


def _is_number(text: str, digits: int) -> bool:
    """True for plain digits with at most one point among them."""
    plain = text.replace(".", "", 1)
    inside = text[:1] != "." != text[-1:]
    return inside and plain.isascii() and plain.isdigit() and len(plain) <= digits


def _gauge(gauge: int) -> WireSize:
    if not 1 <= gauge <= 40:
        raise ValueError(f"{gauge} AWG is no wire gauge; they run from 40 to 1, then 1/0 to 4/0")
    return WireSize(gauge_area_mm2(gauge), f"{gauge} AWG")


def _measured(number: float, unit: str) -> WireSize:
    area_mm2 = number * MM2_PER_KCMIL if unit == "kcmil" else number
    if not SMALLEST_MM2 <= area_mm2 <= LARGEST_MM2:
        raise ValueError(f"{number:g} {unit} is no size of a conductor on the market")
    return WireSize(area_mm2, f"{number:.10g} {unit}")


def trade_size(name: str) -> WireSize:
    """The size of a table row, which is always written in the trade form."""
    return _from_text(name)
