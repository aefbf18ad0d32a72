"""Conductor sizes: trade forms, areas by geometry, order."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.tables import astm_b258, material_constants
from netcheck.tables.wire_sizes import MM2_PER_KCMIL, WireSize
from tests.tables.published import table_rows

GAUGES = [f"{aught}/0 AWG" for aught in (4, 3, 2, 1)] + [f"{gauge} AWG" for gauge in range(1, 41)]


@pytest.mark.parametrize("row", astm_b258.ROWS, ids=lambda row: row.size)
def test_the_area_of_a_gauge_is_the_published_one_to_its_figures(row: astm_b258.Row) -> None:
    """ASTM B258, printed to two or three figures."""
    area = WireSize.from_text(row.size).area_mm2
    figures = len(f"{row.area_mm2:g}".replace(".", "").lstrip("0"))
    assert row.area_mm2 == pytest.approx(area, rel=0.6 * 10 ** (1 - figures))


def test_thousand_circular_mils_are_the_published_area() -> None:
    assert material_constants.KCMIL_AREA.figure == round(MM2_PER_KCMIL, 6)
    assert 50.6707 == pytest.approx(WireSize.from_text("100 kcmil").area_mm2, abs=1e-4)


@pytest.mark.parametrize("row", table_rows("mm2_awg_map"), ids=lambda row: f"{row['area_mm2']} mm2")
def test_the_published_trade_equivalents_lie_on_the_side_they_claim(row: dict[str, str]) -> None:
    """Two conventions: the nearest gauge, whose area is printed, and the next gauge up."""
    size = WireSize.from_text(row["awg"] if " " in row["awg"] else f"{row['awg']} AWG")
    if row["note"].startswith("nearest"):
        assert float(row["awg_area_mm2"]) == pytest.approx(size.area_mm2, rel=0.01)
    else:
        assert size.area_mm2 > float(row["area_mm2"])


def test_gauges_are_ordered_by_their_area() -> None:
    sizes = [WireSize.from_text(text) for text in GAUGES]
    assert sorted(sizes, reverse=True) == sizes


def test_sizes_of_different_systems_are_ordered_by_area() -> None:
    names = ["14 AWG", "2.5 mm2", "12 AWG", "4 mm2", "4/0 AWG", "120 mm2", "250 kcmil"]
    sizes = [WireSize.from_text(name) for name in reversed(names)]
    assert names == [str(size) for size in sorted(sizes)]


@given(st.sampled_from(GAUGES) | st.integers(1, 2000).map(lambda number: f"{number} kcmil"))
def test_the_trade_form_comes_back(text: str) -> None:
    assert text == str(WireSize.from_text(text))


@pytest.mark.parametrize(
    ("text", "form"), [("4.0 mm2", "4 mm2"), ("2.50 mm2", "2.5 mm2"), ("1.5 mm²", "1.5 mm2")]
)
def test_one_size_written_two_ways_is_one_size(text: str, form: str) -> None:
    assert WireSize.from_text(form) == WireSize.from_text(text)
    assert form == str(WireSize.from_text(text))


@pytest.mark.parametrize(
    "text",
    ["", "14", "14AWG", "14 awg", "5/0 AWG", "0 AWG", "41 AWG", "-2 AWG", "0 mm2", "1e9 mm2"]
    + ["14 AWG\n", "99999 mm2", "0.0000 kcmil", "٢ mm2", "nan mm2", "2,5 mm2"],
)
def test_what_is_no_size_is_refused_in_words(text: str) -> None:
    with pytest.raises(ValueError, match=r"AWG|size") as refusal:
        WireSize.from_text(text)
    assert "\n" not in str(refusal.value)


@given(st.text())
def test_any_text_is_a_size_or_a_value_error(text: str) -> None:
    try:
        size = WireSize.from_text(text)
    except ValueError:
        return
    assert size.area_mm2 > 0
