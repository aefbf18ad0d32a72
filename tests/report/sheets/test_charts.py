"""Bars: to scale, told apart by hatching and not by colour, and named in words."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from netcheck.report.page.style import SHEET
from netcheck.report.sheets.balance import balance
from netcheck.report.sheets.charts import Bar, Piece, bars
from netcheck.report.sheets.loads import supply_list
from tests.report.hostile import CLOSING
from tests.report.sheets.panels import greenhouse

SVG = "{http://www.w3.org/2000/svg}"
KEY = (("close", "one"), ("wide", "other"))


def widths(svg: str) -> list[float]:
    boxes = ElementTree.fromstring(svg).iter(f"{SVG}rect")
    return [float(one.attrib["width"]) for one in boxes][: -len(KEY)]


@given(st.lists(st.floats(0.01, 1e6), min_size=1, max_size=6))
def test_lengths_are_in_proportion_to_amounts(amounts: list[float]) -> None:
    drawn = widths(bars("Amounts", [Bar("a", (Piece(x, "close"),), "") for x in amounts], KEY))
    longest = max(amounts)
    assert all(
        abs(wide / max(drawn) - amount / longest) < 0.001
        for wide, amount in zip(drawn, amounts, strict=True)
    )


def test_the_two_pieces_of_a_leg_differ_in_their_hatching() -> None:
    svg = balance(greenhouse()).picture
    paths = ElementTree.fromstring(svg).iter(f"{SVG}path")
    strokes = [[float(x) for x in re.findall(r"M([\d.]+) ", one.attrib["d"])] for one in paths]
    steps = {round(b - a, 1) for at in strokes for a, b in pairwise(at)}
    assert {3.0, 8.0} == steps


def test_the_rating_of_a_supply_is_a_mark_across_its_bar() -> None:
    svg = supply_list(greenhouse()).picture
    assert "5.88 A of 10 A" in svg
    assert 'class="limit"' in svg


def test_nothing_to_show_is_no_picture_and_a_hostile_name_is_a_text() -> None:
    assert "" == bars("Nothing", [], KEY)
    svg = bars(CLOSING, [Bar(CLOSING, (Piece(1, ""),), CLOSING)], KEY)
    assert [] == [one for one in ElementTree.fromstring(svg).iter() if one.get("id")]


def test_bars_have_no_colour_but_ink_and_paper() -> None:
    rules = [line for line in SHEET.splitlines() if ".chart" in line]
    assert {"var(--ink)", "var(--paper)"} == set(re.findall(r"#\w+|var\(.*?\)", " ".join(rules)))
