"""The size of a conductor: AWG, kcmil or mm2, and the copper area behind the name.

AWG: ASTM B258, 36 AWG is 0.005 in (0.127 mm) thick, 4/0 is 0.46 in, and the 39 steps
between are one ratio, so d = 0.127 mm x 92^((36 - n) / 39), with n = 0, -1, -2, -3 for
1/0, 2/0, 3/0, 4/0.  A circular mil is the area of a circle 0.001 in across.
"""

from __future__ import annotations

import math
import re
from typing import ClassVar

from netcheck.reading.unit_mistakes import UnitMistake
from netcheck.record import record

KCMIL_MM2 = 1000 * math.pi / 4 * 0.0254**2
FINEST_AWG = 56
"""The finest gauge of ASTM B258."""
LARGEST_MM2 = 5000.0
"""Twice the area of the largest cables made: a larger number is a slip of the pen."""

_AUGHT = re.compile(r"([1-4])/0")
_GAUGE = re.compile(r"[1-9][0-9]?")


@record
class ConductorSize:
    """A size by its area, in one spelling (`14 AWG`, `4/0 AWG`, `250 kcmil`, `2.5 mm2`).

    Sizes are ordered by their areas; two are equal only if they are one size of one system.
    """

    dimension: ClassVar[str] = "conductor size"
    area_mm2: float
    text: str

    @property
    def unit(self) -> str:
        """AWG, kcmil or mm2."""
        return self.text.rpartition(" ")[2]

    @property
    def is_metric(self) -> bool:
        return self.unit == "mm2"

    @property
    def area_kcmil(self) -> float:
        return self.area_mm2 / KCMIL_MM2

    def __le__(self, other: ConductorSize) -> bool:
        return not other < self

    def __ge__(self, other: ConductorSize) -> bool:
        return not self < other

    def __lt__(self, other: ConductorSize) -> bool:
        return (self.area_mm2, self.text) < (other.area_mm2, other.text)

    def __str__(self) -> str:
        return self.text


def awg_size(gauge: str) -> ConductorSize:
    """The size for `14`, `1/0` to `4/0`; raises UnitMistake for what is no gauge."""
    return ConductorSize(_awg_area_mm2(_gauge_number(gauge)), f"{gauge} AWG")


def area_size(number: str, value: float, unit: str) -> ConductorSize:
    """The size of `value` kcmil or mm2, written as `number`; raises UnitMistake for none at all."""
    if value <= 0:
        raise UnitMistake(f"`{number} {unit}` is no conductor", "write the size of its metal")
    area_mm2 = value * KCMIL_MM2 if unit == "kcmil" else value
    if area_mm2 > LARGEST_MM2:
        raise UnitMistake(
            f"`{number} {unit}` is thicker than any cable",
            f"write the size of one conductor in {unit}",
        )
    return ConductorSize(area_mm2, f"{_plain(number)} {unit}")


def _gauge_number(gauge: str) -> int:
    """14 for `14`, 0 for `1/0`, -3 for `4/0`."""
    if aught := _AUGHT.fullmatch(gauge):
        return 1 - int(aught[1])
    if _GAUGE.fullmatch(gauge) and int(gauge) <= FINEST_AWG:
        return int(gauge)
    if gauge.strip("0") == "" and len(gauge) <= 4:
        raise UnitMistake(f"`{gauge} AWG` is written otherwise", f"write `{len(gauge)}/0 AWG`")
    raise UnitMistake(
        f"`{gauge} AWG` is no wire gauge",
        f"gauges are whole numbers from 1 to {FINEST_AWG}, and 1/0, 2/0, 3/0, 4/0; "
        "larger sizes are written in kcmil",
    )


def _awg_area_mm2(number: int) -> float:
    diameter_mm = 0.127 * 92.0 ** ((36 - number) / 39)
    return float(math.pi / 4 * diameter_mm**2)


def _plain(number: str) -> str:
    """`2.50` and `02.5` as `2.5`, so that one size has one text."""
    whole, point, rest = number.partition(".")
    rest = rest.rstrip("0")
    return (whole.lstrip("0") or "0") + (point + rest if rest else "")
