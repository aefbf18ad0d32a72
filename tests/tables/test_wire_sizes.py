"""Conductor sizes: trade forms, areas by geometry, order."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.reading.conductor_size import KCMIL_MM2
from netcheck.reading.unit_mistakes import UnitMistake
from netcheck.tables import astm_b258, material_constants
from netcheck.tables.wire_sizes import trade_size
from tests.tables.published import table_rows

GAUGES = [f"{aught}/0 AWG" for aught in (4, 3, 2, 1)] + [f"{gauge} AWG" for gauge in range(1, 41)]


@pytest.mark.parametrize("row", astm_b258.ROWS, ids=lambda row: row.size)
def test_the_area_of_a_gauge_is_the_published_one_to_its_figures(row: astm_b258.Row) -> None:
    """ASTM B258, printed to two or three figures."""
    area = trade_size(row.size).area_mm2
    figures = len(f"{row.area_mm2:g}".replace(".", "").lstrip("0"))
    assert row.area_mm2 == pytest.approx(area, rel=0.6 * 10 ** (1 - figures))


def test_thousand_circular_mils_are_the_published_area() -> None:
    assert material_constants.KCMIL_AREA.figure == round(KCMIL_MM2, 6)
    assert 50.6707 == pytest.approx(trade_size("100 kcmil").area_mm2, abs=1e-4)


@pytest.mark.parametrize("row", table_rows("mm2_awg_map"), ids=lambda row: f"{row['area_mm2']} mm2")
def test_the_published_trade_equivalents_lie_on_the_side_they_claim(row: dict[str, str]) -> None:
    """Two conventions: the nearest gauge, whose area is printed, and the next gauge up."""
    size = trade_size(row["awg"] if " " in row["awg"] else f"{row['awg']} AWG")
    if row["note"].startswith("nearest"):
        assert float(row["awg_area_mm2"]) == pytest.approx(size.area_mm2, rel=0.01)
    else:
        assert size.area_mm2 > float(row["area_mm2"])


def test_gauges_are_ordered_by_their_area() -> None:
    sizes = [trade_size(text) for text in GAUGES]
    assert sorted(sizes, reverse=True) == sizes


def test_sizes_of_different_systems_are_ordered_by_area() -> None:
    names = ["14 AWG", "2.5 mm2", "12 AWG", "4 mm2", "4/0 AWG", "120 mm2", "250 kcmil"]
    sizes = [trade_size(name) for name in reversed(names)]
    assert names == [str(size) for size in sorted(sizes)]


@given(st.sampled_from(GAUGES) | st.integers(1, 2000).map(lambda number: f"{number} kcmil"))
def test_the_trade_form_comes_back(text: str) -> None:
    assert text == str(trade_size(text))


@pytest.mark.parametrize(("text", "form"), [("4.0 mm2", "4 mm2"), ("2.50 mm2", "2.5 mm2")])
def test_one_size_written_two_ways_is_one_size(text: str, form: str) -> None:
    assert trade_size(form) == trade_size(text)
    assert form == str(trade_size(text))


@pytest.mark.parametrize("text", ["", "14", "14 V", "5/0 AWG", "0 mm2", "99999 mm2"])
def test_what_is_no_size_is_refused(text: str) -> None:
    with pytest.raises((UnitMistake, TypeError)):
        trade_size(text)
