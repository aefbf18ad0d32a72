"""Resistance and reactance in ohm per metre."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.tables import nec_ch9_table_8
from netcheck.tables.conditions import ALUMINIUM, COPPER
from netcheck.tables.lookup import Lookup, NotTabulated
from netcheck.tables.resistance import (
    conductor_reactance_ohm_per_m,
    conductor_resistance_ohm_per_m,
)
from netcheck.tables.wire_sizes import trade_size


def ohm_per_m(size: str, material: str, temperature_c: float, stranded: bool = True) -> float:
    found = conductor_resistance_ohm_per_m(trade_size(size), material, temperature_c, stranded)
    assert isinstance(found, Lookup), found
    assert "ohm/m" == found.unit
    return found.value


def test_a_gauge_at_75_degrees_is_table_8() -> None:
    """NEC chapter 9 table 8: 14 AWG stranded copper 3.14 ohm per 1000 ft."""
    assert 3.14 / 304.8 == pytest.approx(ohm_per_m("14 AWG", COPPER, 75), rel=1e-12)
    assert 5.06 / 304.8 == pytest.approx(ohm_per_m("14 AWG", ALUMINIUM, 75, False), rel=1e-12)


def test_a_metric_size_at_20_degrees_is_iec_60228() -> None:
    """IEC 60228: 2.5 mm2 7.41 ohm per km in class 2, 7.98 in class 5."""
    assert 7.41e-3 == pytest.approx(ohm_per_m("2.5 mm2", COPPER, 20, False), rel=1e-12)
    assert 7.98e-3 == pytest.approx(ohm_per_m("2.5 mm2", COPPER, 20), rel=1e-12)


@pytest.mark.parametrize("material", [COPPER, ALUMINIUM])
@pytest.mark.parametrize("row", nec_ch9_table_8.ROWS, ids=lambda row: f"{row.size} {row.stranding}")
def test_table_8_at_20_degrees_is_resistivity_over_area(
    row: nec_ch9_table_8.Row, material: str
) -> None:
    """Resistivity 1.7241e-8 (copper) and 2.826e-8 ohm m (aluminium), 2 % for stranding lay."""
    size = trade_size(row.size)
    stranded = row.stranding == "stranded"
    resistivity = 1.7241e-8 if material == COPPER else 2.826e-8
    expected = resistivity / (size.area_mm2 * 1e-6) * (1.02 if stranded else 1)
    assert expected == pytest.approx(ohm_per_m(row.size, material, 20, stranded), rel=0.02)


def test_a_size_in_no_table_is_computed_and_says_so() -> None:
    found = conductor_resistance_ohm_per_m(trade_size("22 AWG"), COPPER, 20)
    assert isinstance(found, Lookup)
    assert "computed from resistivity" in found.source
    # 22 AWG is 0.326 mm2 (ASTM B258), so 1.7241e-8 / 0.326e-6 with 2 % lay.
    assert 1.02 * 1.7241e-8 / 0.326e-6 == pytest.approx(found.value, rel=2e-3)


def test_other_metals_have_no_resistance_here() -> None:
    size = trade_size("14 AWG")
    assert isinstance(conductor_resistance_ohm_per_m(size, "gold", 20), NotTabulated)


@given(
    st.sampled_from(["30 AWG", "14 AWG", "250 kcmil", "2.5 mm2", "3 mm2"]),
    st.sampled_from([COPPER, ALUMINIUM]),
    st.floats(-20, 120),
    st.floats(0.1, 50),
)
def test_resistance_rises_with_temperature(
    size: str, material: str, temperature_c: float, more_k: float
) -> None:
    cold = ohm_per_m(size, material, temperature_c)
    assert 0 < cold < ohm_per_m(size, material, temperature_c + more_k)


def test_reactance_is_table_9_and_metric_sizes_are_not_in_it() -> None:
    """NEC chapter 9 table 9: 14 AWG 0.058 (PVC), 0.073 (steel) ohm per 1000 ft."""
    size = trade_size("14 AWG")
    for steel, per_kft in ((False, 0.058), (True, 0.073)):
        found = conductor_reactance_ohm_per_m(size, steel)
        assert isinstance(found, Lookup)
        assert per_kft / 304.8 == pytest.approx(found.value, rel=1e-12)
    metric = conductor_reactance_ohm_per_m(trade_size("2.5 mm2"), False)
    assert isinstance(metric, NotTabulated)
