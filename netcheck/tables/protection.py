"""How large a protective device a conductor may have, and grounding conductors by device.

Devices are ratings in amperes.  Two words are used throughout: the *next standard rating*
is the smallest one not below a current, the *largest standard rating* the highest one not
above it.
"""

from __future__ import annotations

from functools import cache

from netcheck.reading.conductor_size import ConductorSize
from netcheck.record import record
from netcheck.tables.ampacity import nec_row_size
from netcheck.tables.conditions import ALUMINIUM, COPPER, COPPER_CLAD_ALUMINIUM
from netcheck.tables.lookup import CurrentLimit, Lookup, NotTabulated, reaches, trim
from netcheck.tables.wire_sizes import trade_size

SMALL_CONDUCTOR = "small conductor limit"
NEXT_STANDARD_RATING = "next standard rating above the ampacity"
AMPACITY = "ampacity"


@record
class SizeLookup:
    """A conductor size with the table row or rule it came from."""

    size: ConductorSize
    source: str
    confirmed: bool


# --- Standard ratings ---


@cache
def standard_ratings_a(fuse: bool = False) -> tuple[Lookup, ...]:
    """Standard ratings of breakers, or of fuses, smallest first, A.  Source: NEC 240.6(A)."""
    from netcheck.tables import nec_240_6_a

    return tuple(
        Lookup(float(row.rating_a), "A", nec_240_6_a.SOURCE.cite, row.confirmed, "standard rating")
        for row in nec_240_6_a.ROWS
        if not row.superseded and (fuse or not row.fuse_only)
    )


def next_standard_rating_a(current_a: float, fuse: bool = False) -> Lookup | NotTabulated:
    """The smallest standard rating not below `current_a`, A.  Source: NEC 240.6(A)."""
    for rating in standard_ratings_a(fuse):
        if reaches(rating.value, current_a):
            return rating
    return NotTabulated(f"NEC 240.6(A) has no rating as high as {current_a:g} A")


def largest_standard_rating_a(current_a: float, fuse: bool = False) -> Lookup | NotTabulated:
    """The highest standard rating not above `current_a`, A.  Source: NEC 240.6(A)."""
    for rating in reversed(standard_ratings_a(fuse)):
        if reaches(current_a, rating.value):
            return rating
    return NotTabulated(f"NEC 240.6(A) has no rating as low as {current_a:g} A")


# --- The device of a conductor ---


def small_conductor_limit_a(size: ConductorSize, material: str) -> Lookup | NotTabulated | None:
    """The largest device on a small conductor, A; None from 8 AWG on, where the rule sets none.

    Source: NEC 240.4(D).  It does not bind motor circuits and the other cases of 240.4(E)
    and (G).  A metric size takes the row of the next smaller gauge.
    """
    from netcheck.tables import nec_240_4_d

    row_size = nec_row_size(size, material) if size.is_metric else size
    if isinstance(row_size, NotTabulated):
        return row_size
    if row_size >= trade_size("8 AWG"):
        return None
    row = nec_240_4_d.BY_SIZE.get((material, row_size.text))
    if row is None and material == COPPER_CLAD_ALUMINIUM:
        row = nec_240_4_d.BY_SIZE.get((ALUMINIUM, row_size.text))
    if row is None:
        return NotTabulated(f"NEC 240.4(D) names no device for {size} {material}")
    condition = f", {row.condition}" if row.condition else ""
    source = f"{nec_240_4_d.SOURCE.cite}, {row_size} {material}{condition}"
    return Lookup(float(row.device_max_a), "A", source, row.confirmed, SMALL_CONDUCTOR)


def device_limit_a(
    size: ConductorSize, material: str, ampacity: CurrentLimit, fuse: bool = False
) -> CurrentLimit:
    """The largest device that protects a conductor of this ampacity, A.

    Source: NEC 240.4(B) (next standard rating up, to 800 A), (C) (not above the ampacity
    beyond), (D) (small conductors).  Conductors that 240.4(D) does not name, smaller than
    18 AWG, are held to their ampacity.  Not for taps, transformer secondaries and motor
    circuits, nor for branch circuits with several receptacles.
    """
    small = small_conductor_limit_a(size, material)
    own = Lookup(ampacity.current_a, "A", ampacity.governed_by, ampacity.confirmed, AMPACITY)
    if isinstance(small, NotTabulated):
        return CurrentLimit(own.value, (own,), AMPACITY)
    allowed = _next_up_or_ampacity(own, fuse)
    if small is None or allowed.current_a < small.value:
        return allowed
    return CurrentLimit(small.value, (*allowed.steps, small), SMALL_CONDUCTOR)


def _next_up_or_ampacity(own: Lookup, fuse: bool) -> CurrentLimit:
    """Without 240.4(D).  Source: NEC 240.4(B) and (C)."""
    from netcheck.tables import nec_panel_rules

    rule = nec_panel_rules.NEXT_STANDARD_UP_TO
    rating = next_standard_rating_a(own.value, fuse)
    if isinstance(rating, NotTabulated) or not reaches(rule.figure, rating.value):
        return CurrentLimit(own.value, (own,), AMPACITY)
    step = Lookup(
        rating.value,
        "A",
        f"{rule.reference} with {rating.source}",
        rule.confirmed and rating.confirmed,
        NEXT_STANDARD_RATING,
    )
    return CurrentLimit(rating.value, (own, step), NEXT_STANDARD_RATING)


def control_conductor_device_max_a(
    size: ConductorSize, material: str, laid: str
) -> Lookup | NotTabulated:
    """The largest device ahead of a motor control conductor, A.  Source: NEC 430.72(B).

    `laid` is "separate" (a device of its own), "inside" (stays inside the enclosure) or
    "leaving" (leaves it).
    """
    from netcheck.tables import nec_430_72_b

    if laid not in ("separate", "inside", "leaving"):
        return NotTabulated(f"NEC 430.72(B) has no column {laid}")
    for row in nec_430_72_b.ROWS:
        if row.size != size.text:
            continue
        columns = {
            ("separate", COPPER): row.separate_copper_a,
            ("separate", ALUMINIUM): row.separate_aluminium_a,
            ("inside", COPPER): row.inside_copper_a,
            ("inside", ALUMINIUM): row.inside_aluminium_a,
            ("leaving", COPPER): row.leaving_copper_a,
            ("leaving", ALUMINIUM): row.leaving_aluminium_a,
        }
        value = columns.get((laid, material))
        if value is not None:
            source = f"{nec_430_72_b.SOURCE.cite}, {size} {material}, {laid}"
            return Lookup(float(value), "A", source, row.confirmed, "largest control device")
    return NotTabulated(f"NEC 430.72(B) has no value for {size} {material}, {laid}")


# --- Taps ---


def tap_minimum_ampacity_a(rule: str, device_a: float) -> Lookup | NotTabulated:
    """The ampacity a tap needs by its `rule` ("10 ft feeder tap"), A, besides its load.

    `device_a` is the device ahead; for conductors beyond a transformer, the caller brings
    it to their side by the voltage ratio.  Source: NEC 240.21(B) and (C).
    """
    from netcheck.tables import nec_240_21

    for row in nec_240_21.ROWS:
        if row.rule == rule and row.one_in is not None:
            source = f"NEC {row.reference}, 1/{row.one_in} of {device_a:g} A"
            return Lookup(trim(device_a / row.one_in), "A", source, row.confirmed, row.rule)
    return NotTabulated(f"NEC 240.21 has no part of the device ahead for: {rule}")


def tap_longest_ft(rule: str) -> Lookup | NotTabulated:
    """The length a tap may have by its `rule`, feet.  Source: NEC 240.21(B) and (C)."""
    from netcheck.tables import nec_240_21

    for row in nec_240_21.ROWS:
        if row.rule == rule:
            source = f"NEC {row.reference}"
            return Lookup(float(row.max_length_ft), "ft", source, row.confirmed, row.rule)
    return NotTabulated(f"NEC 240.21 has no rule called {rule}")


# --- Grounding conductors ---


def egc_minimum_size(device_a: float, material: str = COPPER) -> SizeLookup | NotTabulated:
    """The smallest equipment grounding conductor behind a device.  Source: NEC 250.122.

    It need not be larger than the circuit conductors (250.122(A)).
    """
    from netcheck.tables import nec_250_122

    if material not in (COPPER, ALUMINIUM):
        return NotTabulated(f"NEC 250.122 has no column for {material}")
    for row in nec_250_122.ROWS:
        if reaches(row.device_up_to_a, device_a):
            size = trade_size(row.copper if material == COPPER else row.aluminium)
            source = f"{nec_250_122.SOURCE.cite}, up to {row.device_up_to_a:g} A, {material}"
            return SizeLookup(size, source, row.confirmed)
    return NotTabulated(f"NEC 250.122 is held up to {row.device_up_to_a:g} A, not {device_a:g} A")


def egc_increased_size(
    egc: ConductorSize, line_needed: ConductorSize, line: ConductorSize
) -> SizeLookup:
    """The grounding conductor where circuit conductors were increased, in the same proportion.

    `egc` is the size by the table, `line_needed` the circuit size that would have sufficed,
    `line` the one laid.  Areas are circular mils of chapter 9 table 8.  Source: NEC
    250.122(B), which speaks of increases for voltage drop, not of those that correction
    factors ask for.
    """
    needed_cmil = area_cmil(egc) * area_cmil(line) / area_cmil(line_needed)
    source = f"NEC 250.122(B), {needed_cmil:.0f} circular mils"
    for size in _table_8_sizes():
        if area_cmil(size) >= needed_cmil:
            return SizeLookup(size, source, True)
    return SizeLookup(line, f"{source}, not above the circuit conductors (A)", True)


def area_cmil(size: ConductorSize) -> float:
    """Area in circular mils: NEC chapter 9 table 8 where it lists the size, else by geometry."""
    from netcheck.tables import nec_ch9_table_8

    row = nec_ch9_table_8.BY_SIZE.get((size.text, "stranded"))
    return float(row.area_cmil) if row else size.area_kcmil * 1000


@cache
def _table_8_sizes() -> tuple[ConductorSize, ...]:
    from netcheck.tables import nec_ch9_table_8

    return tuple(sorted({trade_size(row.size) for row in nec_ch9_table_8.ROWS}))


def iec_protective_minimum_mm2(line_mm2: float) -> Lookup:
    """The smallest external protective conductor, copper, mm2.  Source: IEC 60204-1 table 1."""
    from netcheck.tables import iec_60204_1_table_1

    row = next(
        row
        for row in iec_60204_1_table_1.ROWS
        if row.up_to_mm2 is None or reaches(row.up_to_mm2, line_mm2)
    )
    value = row.fixed_mm2 if row.part_of_line is None else line_mm2 * row.part_of_line
    assert value is not None
    source = f"{iec_60204_1_table_1.SOURCE.cite}, line conductor {line_mm2:g} mm2"
    return Lookup(trim(value), "mm2", source, row.confirmed, "smallest protective conductor")
