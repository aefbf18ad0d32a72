"""What must hold between the values of a table, and between tables, whoever printed them."""

import math
from itertools import pairwise

import pytest

from netcheck.record import values_of
from netcheck.tables import (
    iec_60204_1_table_6,
    iec_60204_1_table_d1,
    iec_60228,
    material_constants,
    nec_240_4_d,
    nec_240_6_a,
    nec_250_122,
    nec_310_15_b1,
    nec_310_15_c1,
    nec_310_16,
    nec_430_248,
    nec_430_250,
    nec_430_251,
    nec_ch9_table_8,
    panel_wire_us,
)
from netcheck.tables.wire_sizes import trade_size
from tests.tables.published import table_rows


def rises(values: list[float]) -> bool:
    return all(lower < higher for lower, higher in pairwise(values))


def column_310_16(material: str, column: str) -> list[float]:
    rows = sorted(
        (row for row in nec_310_16.ROWS if row.material == material),
        key=lambda row: trade_size(row.size),
    )
    return [getattr(row, column) for row in rows if getattr(row, column) is not None]


@pytest.mark.parametrize("material", ["copper", "aluminium"])
@pytest.mark.parametrize("column", ["at_60c_a", "at_75c_a", "at_90c_a"])
def test_ampacity_rises_with_size(material: str, column: str) -> None:
    values = column_310_16(material, column)
    assert len(values) > 15
    assert rises(values)


def test_ampacity_rises_with_insulation_temperature() -> None:
    rows = [row for row in nec_310_16.ROWS if row.at_60c_a is not None]
    assert len(rows) > 30
    assert all(rises([row.at_60c_a, row.at_75c_a, row.at_90c_a]) for row in rows)  # type: ignore[list-item]


@pytest.mark.parametrize("column", ["at_60c_a", "at_75c_a", "at_90c_a"])
def test_copper_carries_more_than_aluminium_of_the_same_size(column: str) -> None:
    rows = [row for row in nec_310_16.ROWS if row.material == "aluminium"]
    copper = [getattr(nec_310_16.BY_SIZE["copper", row.size], column) for row in rows]
    aluminium = [getattr(row, column) for row in rows]
    assert all(more > less for more, less in zip(copper, aluminium, strict=True))


def test_the_ampacities_are_those_of_the_table_as_changed_in_2011() -> None:
    """Source of old and new values: the published list of cells that changed."""
    changed = table_rows("nec_310_16_old_vs_new")
    expected = [float(row["new_a"]) for row in changed]
    actual = []
    for row in changed:
        unit = "kcmil" if row["size"] == "300" else "AWG"
        held = nec_310_16.BY_SIZE[row["material"], f"{row['size']} {unit}"]
        actual.append(getattr(held, f"at_{row['temp_c']}c_a"))
    assert expected == actual


def test_power_wire_in_panels_carries_what_310_16_and_240_4_d_leave() -> None:
    """UL 508A 28.1 (from memory) is NEC 310.16 with 14 to 10 AWG held to 240.4(D)."""
    rows = [row for row in panel_wire_us.ROWS if row.standard == panel_wire_us.UL_508A_28_1]
    for row in rows:
        small = nec_240_4_d.BY_SIZE.get(("copper", row.size))
        ceiling = small.device_max_a if small else math.inf
        other = nec_310_16.BY_SIZE["copper", row.size]
        for own, column in ((row.at_60c_a, other.at_60c_a), (row.at_75c_a, other.at_75c_a)):
            assert own is None or own == min(column or math.inf, ceiling), row


def test_both_panel_standards_agree_on_control_wire() -> None:
    """NFPA 79 12.5.1 and UL 508A 38.1, both from memory."""
    by_standard = [
        {row.size: row.single_a for row in panel_wire_us.ROWS if row.standard == standard}
        for standard in (panel_wire_us.NFPA_79, panel_wire_us.UL_508A_38_1)
    ]
    assert by_standard[0] == by_standard[1]
    assert rises([value for value in by_standard[0].values() if value is not None])


def test_the_device_limits_of_small_conductors_are_the_60_degree_ampacities() -> None:
    """240.4(D) and 310.16: from 14 AWG on the limit equals the 60 C column."""
    rows = [row for row in nec_240_4_d.ROWS if (row.material, row.size) in nec_310_16.BY_SIZE]
    pairs = [(row, nec_310_16.BY_SIZE[row.material, row.size].at_60c_a) for row in rows]
    assert 5 == sum(column is not None for _, column in pairs)
    assert all(column in (None, row.device_max_a) for row, column in pairs)


@pytest.mark.parametrize(
    ("insulation_c", "column"), [(60, "at_60c"), (75, "at_75c"), (90, "at_90c")]
)
def test_the_ambient_factor_is_the_root_rule_at_the_warm_end_of_its_band(
    insulation_c: int, column: str
) -> None:
    """sqrt((Tc - Ta) / (Tc - 30)), Ta the band's upper bound, rounded to two decimals: every
    cell, by measurement.  The formula is published with the table; the choice of Ta is found.
    """
    cells = [
        (row.up_to_c, getattr(row, column))
        for row in nec_310_15_b1.ROWS
        if getattr(row, column) is not None
    ]
    assert len(cells) >= 10
    expected = [
        round(math.sqrt((insulation_c - up_to) / (insulation_c - 30)), 2) for up_to, _ in cells
    ]
    assert expected == [factor for _, factor in cells]


@pytest.mark.parametrize(
    ("insulation_c", "column"), [(60, "at_60c"), (75, "at_75c"), (90, "at_90c")]
)
def test_no_factor_is_given_where_the_ambient_leaves_5_degrees_or_less(
    insulation_c: int, column: str
) -> None:
    """Where the root rule would go on, the table stops at the last band below the rating."""
    blank = [row.up_to_c for row in nec_310_15_b1.ROWS if getattr(row, column) is None]
    given = [row.up_to_c for row in nec_310_15_b1.ROWS if getattr(row, column) is not None]
    assert max(given) == insulation_c - 5
    assert all(up_to >= insulation_c for up_to in blank)


def test_the_iec_ambient_factor_is_the_root_rule_of_70_degree_insulation() -> None:
    """sqrt((70 - Ta) / 30) rounded to two decimals, by measurement."""
    expected = [round(math.sqrt((70 - row.ambient_c) / 30), 2) for row in iec_60204_1_table_d1.ROWS]
    assert expected == [row.factor for row in iec_60204_1_table_d1.ROWS]


def test_ambient_bands_leave_no_whole_degree_out() -> None:
    assert all(lower.up_to_c + 1 == upper.from_c for lower, upper in pairwise(nec_310_15_b1.ROWS))


def test_bundling_bands_leave_no_count_out_and_fall() -> None:
    bands = nec_310_15_c1.ROWS
    assert [band.fewest for band in bands[1:]] == [(band.most or 0) + 1 for band in bands[:-1]]
    assert bands[-1].most is None
    assert rises([-band.percent for band in bands])


def test_standard_ratings_rise_strictly() -> None:
    assert rises([row.rating_a for row in nec_240_6_a.ROWS])


def test_grounding_conductors_grow_with_the_device() -> None:
    assert rises([row.device_up_to_a for row in nec_250_122.ROWS])
    for column in ("copper", "aluminium"):
        sizes = [trade_size(getattr(row, column)) for row in nec_250_122.ROWS]
        assert all(lower < higher for lower, higher in pairwise(sizes))


@pytest.mark.parametrize("method", ["B1", "B2", "C", "E"])
def test_iec_capacity_rises_with_area(method: str) -> None:
    rows = [row for row in iec_60204_1_table_6.ROWS if row.method == method]
    assert rises([row.area_mm2 for row in rows])
    assert rises([row.capacity_a for row in rows])


def test_iec_capacity_rises_from_duct_to_free_air() -> None:
    """B2 (cable in duct) <= B1 (single cores in duct) <= C (on a wall) <= E (in air)."""
    areas = {row.area_mm2 for row in iec_60204_1_table_6.ROWS if row.method == "E"}
    by_method = iec_60204_1_table_6.BY_METHOD
    for area in areas:
        values = [by_method[method, area].capacity_a for method in ("B2", "B1", "C", "E")]
        assert sorted(values) == values


def test_the_column_from_memory_is_marked() -> None:
    assert {"B1"} == {row.method for row in iec_60204_1_table_6.ROWS if not row.confirmed}


def lay(stranding: str) -> float:
    """2 % more length for strands laid in helices; the constants' own reckoning."""
    return 1.02 if stranding == "stranded" else 1.0


@pytest.mark.parametrize("material", ["copper", "aluminium"])
def test_table_8_follows_from_resistivity_and_area_within_1_5_percent(material: str) -> None:
    constants = material_constants
    copper = material == "copper"
    resistivity = (
        constants.COPPER_RESISTIVITY if copper else constants.ALUMINIUM_RESISTIVITY
    ).figure
    per_kelvin = (
        constants.COPPER_COEFFICIENT_20C if copper else constants.ALUMINIUM_COEFFICIENT_20C
    ).figure
    worst = 0.0
    for row in nec_ch9_table_8.ROWS:
        area_m2 = row.area_cmil * constants.KCMIL_AREA.figure / 1000 * 1e-6
        expected = resistivity / area_m2 * (1 + per_kelvin * 55) * 304.8 * lay(row.stranding)
        printed = row.copper_ohm_per_kft if copper else row.aluminium_ohm_per_kft
        worst = max(worst, abs(printed / expected - 1))
    assert worst < 0.015


def test_table_8_areas_are_those_of_the_gauge_within_1_percent() -> None:
    """ASTM B258 areas against circular mils as printed; rounding grows towards small sizes."""
    apart = [
        (row.size, trade_size(row.size).area_kcmil * 1000 / row.area_cmil - 1)
        for row in nec_ch9_table_8.ROWS
    ]
    assert [] == [pair for pair in apart if abs(pair[1]) > 0.01]


@pytest.mark.parametrize(
    ("column", "least", "most"),
    [("class_2_ohm_per_km", 1.04, 1.13), ("class_5_ohm_per_km", 1.10, 1.16)],
)
def test_metric_resistance_lies_a_little_above_the_ideal_of_its_area(
    column: str, least: float, most: float
) -> None:
    """IEC 60228 prints maxima: above resistivity over nominal area, by measurement 4 to 13 %
    for stranded and 10 to 16 % for flexible conductors, never below.
    """
    for row in iec_60228.ROWS:
        ideal = material_constants.COPPER_RESISTIVITY.figure / row.area_mm2 * 1e9
        assert least < getattr(row, column) / ideal < most, row


def test_the_coefficients_at_75_degrees_follow_from_those_at_20() -> None:
    """a75 = a20 / (1 + 55 a20), published to two and three figures."""
    for at_20c, at_75c, digits in (
        (material_constants.COPPER_COEFFICIENT_20C, material_constants.COPPER_COEFFICIENT_75C, 5),
        (
            material_constants.ALUMINIUM_COEFFICIENT_20C,
            material_constants.ALUMINIUM_COEFFICIENT_75C,
            5,
        ),
    ):
        assert round(at_20c.figure / (1 + 55 * at_20c.figure), digits) == at_75c.figure


@pytest.mark.parametrize("table", [nec_430_248, nec_430_250])
def test_motor_current_rises_with_power_and_falls_with_voltage(table: object) -> None:
    rows = [values_of(row) for row in table.ROWS]  # type: ignore[attr-defined]
    for column in range(2, len(rows[0]) - 1):
        assert rises([row[column] for row in rows if row[column] is not None])
    for row in rows:
        values = [value for value in row[2:-1] if value is not None]
        assert rises([-value for value in values])


def test_locked_rotor_current_is_about_six_times_full_load() -> None:
    """The remark published with 430.251(A); single-phase motors of 430.248."""
    full_load = {row.power: row for row in nec_430_248.ROWS}
    for row in nec_430_251.ROWS:
        own = full_load[row.power]
        for locked, running in (
            (row.at_115v_a, own.at_115v_a),
            (row.at_208v_a, own.at_208v_a),
            (row.at_230v_a, own.at_230v_a),
        ):
            assert locked is not None
            assert running is not None
            assert 5.9 < locked / running < 6.1
