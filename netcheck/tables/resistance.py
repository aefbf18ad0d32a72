"""Resistance and reactance of conductors, in ohm per metre of one conductor."""

from __future__ import annotations

from netcheck.reading.conductor_size import ConductorSize
from netcheck.tables.conditions import ALUMINIUM, COPPER
from netcheck.tables.lookup import Lookup, NotTabulated

METRES_PER_KFT = 304.8
# How much longer the strands are than the conductor; with it the stored constants give back
# all of chapter 9 table 8 within 1.5 %.
STRANDING_LAY = 1.02


def conductor_resistance_ohm_per_m(
    size: ConductorSize, material: str, temperature_c: float, stranded: bool = True
) -> Lookup | NotTabulated:
    """Direct-current resistance at `temperature_c`, ohm/m.

    Gauge and kcmil sizes from NEC chapter 9 table 8 (75 degC), metric copper from IEC 60228
    (20 degC, class 5 for `stranded`, class 2 also stands for solid), brought to the
    temperature by the linear coefficient.  Sizes in neither table are computed from
    resistivity and area, and say so.
    """
    if material not in (COPPER, ALUMINIUM):
        return NotTabulated(f"no resistance for {material} conductors")
    if size.is_metric:
        found = _iec_60228(size, material, temperature_c, stranded)
    else:
        found = _table_8(size, material, temperature_c, stranded)
    return found or _computed(size, material, temperature_c, stranded)


def _table_8(
    size: ConductorSize, material: str, temperature_c: float, stranded: bool
) -> Lookup | None:
    from netcheck.tables import material_constants, nec_ch9_table_8

    stranding = "stranded" if stranded else "solid"
    row = nec_ch9_table_8.BY_SIZE.get((size.text, stranding))
    if row is None:
        return None
    copper = material == COPPER
    coefficient = (
        material_constants.COPPER_COEFFICIENT_75C
        if copper
        else material_constants.ALUMINIUM_COEFFICIENT_75C
    )
    at_75c = (row.copper_ohm_per_kft if copper else row.aluminium_ohm_per_kft) / METRES_PER_KFT
    value = at_75c * (1 + coefficient.figure * (temperature_c - 75))
    cite = nec_ch9_table_8.SOURCE.cite
    source = f"{cite}, {size} {material}, {stranding}, at {temperature_c:g} degC"
    return Lookup(value, "ohm/m", source, row.confirmed and coefficient.confirmed, "resistance")


def _iec_60228(
    size: ConductorSize, material: str, temperature_c: float, stranded: bool
) -> Lookup | None:
    from netcheck.tables import iec_60228, material_constants

    row = iec_60228.BY_AREA.get(size.area_mm2)
    if row is None or material != COPPER:
        return None
    coefficient = material_constants.COPPER_COEFFICIENT_20C
    at_20c = (row.class_5_ohm_per_km if stranded else row.class_2_ohm_per_km) / 1000
    value = at_20c * (1 + coefficient.figure * (temperature_c - 20))
    wire_class = "class 5" if stranded else "class 2"
    source = f"{iec_60228.SOURCE.cite}, {size} copper, {wire_class}, at {temperature_c:g} degC"
    return Lookup(value, "ohm/m", source, row.confirmed and coefficient.confirmed, "resistance")


def _computed(size: ConductorSize, material: str, temperature_c: float, stranded: bool) -> Lookup:
    from netcheck.tables import material_constants as constants

    copper = material == COPPER
    resistivity = constants.COPPER_RESISTIVITY if copper else constants.ALUMINIUM_RESISTIVITY
    coefficient = (
        constants.COPPER_COEFFICIENT_20C if copper else constants.ALUMINIUM_COEFFICIENT_20C
    )
    lay = STRANDING_LAY if stranded else 1
    at_20c = resistivity.figure * lay / (size.area_mm2 * 1e-6)
    value = at_20c * (1 + coefficient.figure * (temperature_c - 20))
    source = f"computed from resistivity, {size} {material}, at {temperature_c:g} degC"
    confirmed = resistivity.confirmed and coefficient.confirmed
    return Lookup(value, "ohm/m", source, confirmed, "resistance")


def conductor_reactance_ohm_per_m(
    size: ConductorSize, steel_conduit: bool
) -> Lookup | NotTabulated:
    """Reactance at 60 Hz of single conductors in conduit, ohm/m to neutral.

    Source: NEC chapter 9 table 9, which starts at 14 AWG; metric sizes are not in it.
    """
    from netcheck.tables import nec_ch9_table_9

    row = nec_ch9_table_9.BY_SIZE.get(size.text)
    if row is None:
        return NotTabulated(f"NEC chapter 9 table 9 has no {size}")
    per_kft = row.reactance_steel if steel_conduit else row.reactance_pvc_or_aluminium
    conduit = "steel" if steel_conduit else "PVC or aluminium"
    source = f"{nec_ch9_table_9.SOURCE.cite}, {size}, {conduit} conduit"
    return Lookup(per_kft / METRES_PER_KFT, "ohm/m", source, row.confirmed, "reactance")
