"""What current a conductor may carry, in amperes, with every table row that went into it."""

from __future__ import annotations

from functools import cache, lru_cache

from netcheck.reading.conductor_size import ConductorSize
from netcheck.tables.conditions import (
    ALUMINIUM,
    COPPER,
    COPPER_CLAD_ALUMINIUM,
    IEC,
    NEC,
    Conditions,
)
from netcheck.tables.lookup import CurrentLimit, Lookup, NotTabulated, trim
from netcheck.tables.wire_sizes import trade_size

INSULATION = "insulation column, corrected"
TERMINALS = "terminal column"
PANEL_WIRE = "panel wire table"
SMALL_FIELD_WIRE = "load limit of small class 1 conductors"
INSTALLATION_METHOD = "installation method"

NEC_COLUMNS_C = (60, 75, 90)
IEC_PVC_C = 70


@lru_cache(maxsize=4096)
def ampacity(size: ConductorSize, conditions: Conditions) -> CurrentLimit | NotTabulated:
    """The current `size` may carry under `conditions`, A.

    NEC practice: the 310.16 column of the insulation x ambient factor x bundling factor,
    not more than the uncorrected column of the terminals (310.15, 110.14(C)).  Copper
    smaller than 14 AWG is held to the panel wire table inside a panel (NFPA 79 12.5.1) and
    to the class 1 load limit outside (402.5); as neither is corrected for heat and company,
    the corrected 310.16 value of the same or the next larger size there bounds it too.
    Flexible cord goes by 400.5(A)(1), by two or three conductors that carry current.
    IEC practice: IEC 60204-1 table 6 by installation method x the factor of table D.1.

    A size of the other system takes the row of the next smaller tabulated size, since more
    metal carries no less.  Conductors in parallel carry the sum of what each may.
    """
    if conditions.practice == NEC:
        one = _nec_ampacity(size, conditions)
    elif conditions.practice == IEC:
        one = _iec_ampacity(size, conditions)
    else:
        return NotTabulated(f"no ampacity table for the practice {conditions.practice}")
    if isinstance(one, NotTabulated) or conditions.in_parallel == 1:
        return one
    return _together(one, conditions)


def _together(one: CurrentLimit, conditions: Conditions) -> CurrentLimit:
    """Like conductors in parallel share evenly.  Source: NEC 310.10(G); IEC 60364-5-52 523.7,
    both from memory."""
    nec = conditions.practice == NEC
    source = "NEC 310.10(G)" if nec else "IEC 60364-5-52 523.7"
    step = Lookup(float(conditions.in_parallel), "", source, False, "conductors in parallel")
    current_a = trim(one.current_a * conditions.in_parallel)
    return CurrentLimit(current_a, (*one.steps, step), one.governed_by)


def default_terminal_temperature_c(circuit_a: float, size: ConductorSize) -> Lookup:
    """Temperature rating of unmarked terminals, degC.  Source: NEC 110.14(C)(1)."""
    from netcheck.tables import nec_panel_rules

    small = circuit_a <= 100 and size <= trade_size("1 AWG")
    rule = nec_panel_rules.TERMINALS_UP_TO_100_A if small else nec_panel_rules.TERMINALS_ABOVE_100_A
    return Lookup(rule.figure, "degC", rule.reference, rule.confirmed, "terminals, unmarked")


# --- NEC ---


def _nec_ampacity(size: ConductorSize, conditions: Conditions) -> CurrentLimit | NotTabulated:
    if conditions.material == COPPER_CLAD_ALUMINIUM:
        material = ALUMINIUM
    elif conditions.material in (COPPER, ALUMINIUM):
        material = conditions.material
    else:
        return NotTabulated(f"no ampacity table for {conditions.material} conductors")
    row_size = nec_row_size(size, material)
    if isinstance(row_size, NotTabulated):
        return row_size
    factors = _nec_factors(conditions)
    if isinstance(factors, NotTabulated):
        return factors
    stands_for = "" if row_size == size else f" (next smaller than {size})"
    if conditions.cord:
        base = _cord(row_size, material, conditions.current_carrying, stands_for)
    elif material == COPPER and row_size < trade_size("14 AWG"):
        return _small_copper(row_size, conditions, factors, stands_for)
    else:
        base = _nec_310_16(row_size, material, conditions.insulation_c, stands_for)
    if conditions.cord and isinstance(base, Lookup) and row_size < trade_size("14 AWG"):
        return _corrected(base, factors)
    terminals = _nec_310_16(row_size, material, conditions.terminal_c, stands_for)
    for column in (base, terminals):
        if isinstance(column, NotTabulated):
            return column
    assert isinstance(base, Lookup)
    assert isinstance(terminals, Lookup)
    return _least(
        _corrected(base, factors),
        CurrentLimit(terminals.value, (_named(terminals, "at the terminals"),), TERMINALS),
    )


def nec_row_size(size: ConductorSize, material: str) -> ConductorSize | NotTabulated:
    """The tabulated size that stands for `size` in NEC practice: itself, or for a metric size
    the next smaller one."""
    known = nec_sizes(material)
    if size in known:
        return size
    if not size.is_metric:
        return NotTabulated(f"no NEC ampacity table has {size} {material}")
    smaller = [row for row in known if row <= size]
    if not smaller:
        return NotTabulated(f"{size} {material} is smaller than any size in the NEC tables")
    if smaller[-1] == known[-1]:
        return NotTabulated(
            f"{size} {material} is beyond the NEC tables held here, up to {known[-1]}"
        )
    return smaller[-1]


@cache
def nec_sizes(material: str) -> tuple[ConductorSize, ...]:
    """Sizes with an ampacity in NEC practice, smallest first: table 310.16, and for copper the
    panel wire table below it."""
    from netcheck.tables import nec_310_16, panel_wire_us

    metal = ALUMINIUM if material == COPPER_CLAD_ALUMINIUM else material
    names = {row.size for row in nec_310_16.ROWS if row.material == metal}
    if material == COPPER:
        names |= set(panel_wire_us.SINGLE_VALUE_BY_SIZE)
    return tuple(sorted(trade_size(name) for name in names))


def _nec_310_16(
    size: ConductorSize, material: str, rating_c: float, stands_for: str
) -> Lookup | NotTabulated:
    from netcheck.tables import nec_310_16

    column_c = _nec_column_c(rating_c)
    if column_c is None:
        return NotTabulated(f"NEC 310.16 has no column for {rating_c:g} degC")
    row = nec_310_16.BY_SIZE.get((material, size.text))
    value = (
        None if row is None else {60: row.at_60c_a, 75: row.at_75c_a, 90: row.at_90c_a}[column_c]
    )
    if row is None or value is None:
        return NotTabulated(f"NEC 310.16 has no {column_c} degC value for {size} {material}")
    source = f"{nec_310_16.SOURCE.cite}, {size} {material}, {column_c} degC column{stands_for}"
    return Lookup(float(value), "A", source, row.confirmed, "ampacity")


def _cord(
    size: ConductorSize, material: str, current_carrying: int | None, stands_for: str
) -> Lookup | NotTabulated:
    """NEC 400.5(A)(1): column B with no more than two conductors that carry current, else A."""
    from netcheck.tables import nec_400_5_a_1

    row = nec_400_5_a_1.BY_SIZE.get(size.text)
    if row is None or material != COPPER:
        return NotTabulated(f"NEC 400.5(A)(1) has no {size} {material} cord")
    two = current_carrying is not None and current_carrying <= 2
    value, confirmed = (row.two_a, row.two_confirmed) if two else (row.three_a, row.three_confirmed)
    source = f"{nec_400_5_a_1.SOURCE.cite}, {size}, column {'B' if two else 'A'}{stands_for}"
    return Lookup(float(value), "A", source, confirmed, "ampacity of the cord")


def _nec_column_c(rating_c: float) -> int | None:
    """The highest column that is not above the rating: 105 degC wire is read at 90."""
    return max((column for column in NEC_COLUMNS_C if column <= rating_c), default=None)


def _nec_factors(conditions: Conditions) -> tuple[Lookup, ...] | NotTabulated:
    ambient = nec_ambient_factor(conditions.insulation_c, conditions.ambient_c)
    if isinstance(ambient, NotTabulated):
        return ambient
    if conditions.current_carrying is None:
        return (ambient,)
    bundling = nec_bundling_factor(conditions.current_carrying)
    return bundling if isinstance(bundling, NotTabulated) else (ambient, bundling)


def nec_ambient_factor(insulation_c: float, ambient_c: float) -> Lookup | NotTabulated:
    """Factor on a 310.16 ampacity for the ambient.  Source: NEC 310.15(B)(1).

    Between two bands (40.5 degC) the warmer one counts.
    """
    from netcheck.tables import nec_310_15_b1

    column_c = _nec_column_c(insulation_c)
    if column_c is None:
        return NotTabulated(f"NEC 310.15(B)(1) has no column for {insulation_c:g} degC insulation")
    for row in nec_310_15_b1.ROWS:
        if ambient_c <= row.up_to_c:
            break
    else:
        return NotTabulated(f"NEC 310.15(B)(1) ends below an ambient of {ambient_c:g} degC")
    factor = {60: row.at_60c, 75: row.at_75c, 90: row.at_90c}[column_c]
    if factor is None:
        return NotTabulated(
            f"NEC 310.15(B)(1) permits no {column_c} degC conductor at {ambient_c:g} degC ambient"
        )
    source = f"{nec_310_15_b1.SOURCE.cite}, up to {row.up_to_c} degC, {column_c} degC column"
    return Lookup(float(factor), "", source, row.confirmed, "ambient factor")


def nec_bundling_factor(current_carrying: int) -> Lookup | NotTabulated:
    """Factor on a 310.16 ampacity for conductors laid together.  Source: NEC 310.15(C)(1)."""
    from netcheck.tables import nec_310_15_c1

    for row in nec_310_15_c1.ROWS:
        if row.fewest <= current_carrying and (row.most is None or current_carrying <= row.most):
            source = f"{nec_310_15_c1.SOURCE.cite}, {current_carrying} current-carrying conductors"
            return Lookup(row.percent / 100, "", source, row.confirmed, "bundling factor")
    return NotTabulated(
        f"{current_carrying} current-carrying conductors are no number of conductors"
    )


def _corrected(base: Lookup, factors: tuple[Lookup, ...]) -> CurrentLimit:
    current_a = base.value
    for factor in factors:
        current_a *= factor.value
    return CurrentLimit(trim(current_a), (base, *factors), INSULATION)


def _small_copper(
    size: ConductorSize, conditions: Conditions, factors: tuple[Lookup, ...], stands_for: str
) -> CurrentLimit | NotTabulated:
    """Copper below 14 AWG.  Its own table carries no factors, so the corrected 310.16 value of
    the smallest size there that is not smaller holds it down in a hot or crowded place."""
    find = _panel_wire if conditions.inside_panel else _field_wire
    own = find(size, stands_for)
    if isinstance(own, NotTabulated):
        return own
    for ceiling in nec_sizes(COPPER):
        if ceiling >= size:
            larger = stands_for if ceiling == size else f" (next larger than {size})"
            base = _nec_310_16(ceiling, COPPER, conditions.insulation_c, larger)
            if isinstance(base, Lookup):
                return _least(own, _corrected(base, factors))
    return NotTabulated(f"NEC 310.16 has no column for {conditions.insulation_c:g} degC")


def _panel_wire(size: ConductorSize, stands_for: str) -> CurrentLimit:
    from netcheck.tables import panel_wire_us

    row = panel_wire_us.SINGLE_VALUE_BY_SIZE[size.text]
    assert row.single_a is not None
    source = f"{row.standard}, {size} copper{stands_for}, no correction factors"
    step = Lookup(float(row.single_a), "A", source, row.confirmed, "ampacity inside a panel")
    return CurrentLimit(step.value, (step,), PANEL_WIRE)


def _field_wire(size: ConductorSize, stands_for: str) -> CurrentLimit | NotTabulated:
    from netcheck.tables import nec_class_limits

    row = {
        "18 AWG": nec_class_limits.CLASS_1_LOAD_18_AWG,
        "16 AWG": nec_class_limits.CLASS_1_LOAD_16_AWG,
    }.get(size.text)
    if row is None or row.figure is None:
        return NotTabulated(f"no NEC ampacity outside a panel for {size} copper")
    source = f"NEC {row.reference}, {size} copper{stands_for}"
    step = Lookup(float(row.figure), "A", source, row.confirmed, "class 1 load limit")
    return CurrentLimit(step.value, (step,), SMALL_FIELD_WIRE)


def _least(first: CurrentLimit, second: CurrentLimit) -> CurrentLimit:
    """The lower of two limits, showing the working of both; of equals, the first governs."""
    lower = second if second.current_a < first.current_a else first
    return CurrentLimit(lower.current_a, first.steps + second.steps, lower.governed_by)


def _named(step: Lookup, what: str) -> Lookup:
    return Lookup(step.value, step.unit, step.source, step.confirmed, what)


# --- IEC ---


def _iec_ampacity(size: ConductorSize, conditions: Conditions) -> CurrentLimit | NotTabulated:
    from netcheck.tables import iec_60204_1_table_6

    if conditions.material != COPPER:
        return NotTabulated(f"IEC 60204-1 Table 6 is for copper, not {conditions.material}")
    if conditions.insulation_c < IEC_PVC_C:
        return NotTabulated(
            f"IEC 60204-1 Table 6 is for {IEC_PVC_C} degC insulation, "
            f"not {conditions.insulation_c:g} degC"
        )
    if conditions.current_carrying is not None and not 1 <= conditions.current_carrying <= 3:
        return NotTabulated(
            "IEC 60204-1 Table 6 is for three loaded conductors; its grouping factors are not held"
        )
    row_size = _iec_row_size(size, conditions.method)
    if isinstance(row_size, NotTabulated):
        return row_size
    ambient = iec_ambient_factor(conditions.ambient_c)
    if isinstance(ambient, NotTabulated):
        return ambient
    row = iec_60204_1_table_6.BY_METHOD[conditions.method, row_size.area_mm2]
    stands_for = "" if row_size == size else f" (next smaller than {size})"
    cite = iec_60204_1_table_6.SOURCE.cite
    source = f"{cite}, {row_size} copper, PVC{stands_for}, method {conditions.method}"
    base = Lookup(float(row.capacity_a), "A", source, row.confirmed, "current-carrying capacity")
    current_a = trim(base.value * ambient.value)
    return CurrentLimit(current_a, (base, ambient), INSTALLATION_METHOD)


@cache
def iec_sizes(method: str) -> tuple[ConductorSize, ...]:
    """Sizes in IEC 60204-1 table 6 for one installation method, smallest first."""
    from netcheck.tables import iec_60204_1_table_6

    areas = (row.area_mm2 for row in iec_60204_1_table_6.ROWS if row.method == method)
    return tuple(sorted(trade_size(f"{area:g} mm2") for area in areas))


def _iec_row_size(size: ConductorSize, method: str) -> ConductorSize | NotTabulated:
    known = iec_sizes(method)
    if not known:
        return NotTabulated(f"IEC 60204-1 Table 6 has no installation method {method}")
    if size in known:
        return size
    if size.is_metric:
        return NotTabulated(f"IEC 60204-1 Table 6 has no {size} by method {method}")
    smaller = [row for row in known if row <= size]
    if not smaller:
        return NotTabulated(f"{size} is smaller than any size of IEC 60204-1 Table 6, {method}")
    if smaller[-1] == known[-1]:
        return NotTabulated(f"{size} is beyond IEC 60204-1 Table 6, which ends at {known[-1]}")
    return smaller[-1]


def iec_ambient_factor(ambient_c: float) -> Lookup | NotTabulated:
    """Factor on an IEC 60204-1 table 6 capacity.  Source: IEC 60204-1 table D.1.

    Between two rows the warmer one counts, and below the first row the first.
    """
    from netcheck.tables import iec_60204_1_table_d1

    for row in iec_60204_1_table_d1.ROWS:
        if ambient_c <= row.ambient_c:
            source = f"{iec_60204_1_table_d1.SOURCE.cite}, {row.ambient_c} degC"
            return Lookup(float(row.factor), "", source, row.confirmed, "ambient factor")
    return NotTabulated(f"IEC 60204-1 Table D.1 ends below an ambient of {ambient_c:g} degC")
