"""Limits on whole circuits: class 1 and class 2, smallest conductors, continuous loads, colours."""

from __future__ import annotations

from functools import cache

from netcheck.record import record
from netcheck.tables.lookup import Lookup, NotTabulated, trim
from netcheck.tables.nec_class_limits import Row as ClassLimit
from netcheck.tables.protection import SizeLookup
from netcheck.tables.table import Rule
from netcheck.tables.wire_sizes import trade_size


@record
class ColourLookup:
    """The colours a standard accepts for one use, and where it says so."""

    colours: tuple[str, ...]
    source: str
    confirmed: bool


def class_2_device_max_a(voltage_v: float) -> Lookup | NotTabulated:
    """The largest device of a class 2 source that is not inherently limited, A.

    5 A up to 20 V, 100 / V up to 30 V.  Source: NEC chapter 9 tables 11(A) and (B), from
    memory.
    """
    from netcheck.tables import nec_class_limits as limits

    if not 0 < voltage_v <= 30:
        return NotTabulated(f"no class 2 device is held for {voltage_v:g} V")
    row = limits.CLASS_2_DEVICE_UP_TO_20_V if voltage_v <= 20 else limits.CLASS_2_DEVICE_UP_TO_30_V
    return _class_limit(row, voltage_v, "A")


def class_2_power_max_va(voltage_v: float) -> Lookup | NotTabulated:
    """The power of a class 2 source up to 30 V, VA.  Source: NEC chapter 9 table 11(A)."""
    from netcheck.tables import nec_class_limits as limits

    if not 0 < voltage_v <= 30:
        return NotTabulated(f"no class 2 power is held for {voltage_v:g} V")
    return _class_limit(limits.CLASS_2_POWER, voltage_v, "VA")


def class_1_device_max_a(size_name: str) -> Lookup | NotTabulated:
    """The largest device of an 18 or 16 AWG class 1 conductor, A.  Source: NEC 724.43."""
    from netcheck.tables import nec_class_limits as limits

    row = {
        "18 AWG": limits.CLASS_1_DEVICE_18_AWG,
        "16 AWG": limits.CLASS_1_DEVICE_16_AWG,
    }.get(size_name)
    if row is None:
        return NotTabulated(f"NEC 724.43 names no device for {size_name}: its ampacity decides")
    return _class_limit(row, 1, "A")


def _class_limit(row: ClassLimit, voltage_v: float, unit: str) -> Lookup:
    assert row.figure is not None
    value = float(row.figure * voltage_v**row.volt_power)
    return Lookup(trim(value), unit, f"NEC {row.reference}", row.confirmed, row.item)


def continuous_load_minimum_a(continuous_a: float, other_a: float = 0.0) -> Lookup:
    """The rating a device, or the ampacity a conductor, needs for loads of 3 h or more, A.

    125 % of the continuous and 100 % of the other load.  Source: NEC 210.19(A)(1), 210.20(A).
    """
    from netcheck.tables import nec_panel_rules

    rule = nec_panel_rules.CONTINUOUS_LOAD_DEVICE
    value = trim(continuous_a * rule.figure / 100 + other_a)
    return Lookup(value, "A", rule.reference, rule.confirmed, rule.item)


@cache
def smallest_permitted_size(rule: Rule) -> SizeLookup:
    """The size a rule of `panel_minimum_sizes` or `nec_panel_rules` (unit AWG or mm2) names."""
    unit = rule.unit.split()[0]
    size = trade_size(f"{rule.figure:g} {unit}")
    return SizeLookup(size, f"{rule.reference}, {rule.item}", rule.confirmed)


def expected_colours(standard: str, use: str) -> ColourLookup | NotTabulated:
    """Colours for a `use` (constants of `conductor_colours`) under a `standard` as named there.

    Where a standard has several rows for one use, all their colours are accepted.
    """
    from netcheck.tables import conductor_colours

    rows = [row for row in conductor_colours.ROWS if row.standard == standard and row.use == use]
    if not rows:
        return NotTabulated(f"{standard} names no colour for: {use}")
    colours = tuple(dict.fromkeys(colour for row in rows for colour in row.colours))
    return ColourLookup(colours, f"{standard}, {use}", all(row.confirmed for row in rows))
