"""The page: well formed, whole in itself, and proof against what names may hold."""

from __future__ import annotations

import re
from base64 import b64encode
from hashlib import sha256
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from netcheck.bench.live_model import live_model
from netcheck.case import Case
from netcheck.facts.component_values import ComponentValues
from netcheck.finding import Finding, NotChecked, NotDecided, PathStep, Place, Review, Severity
from netcheck.model.panel import Panel
from netcheck.report.closing import CAUTION
from netcheck.report.drawing.composing import draw
from netcheck.report.drawing.svg import written
from netcheck.report.page.document import document
from netcheck.report.page.html import safe
from netcheck.report.sheets.bench import Bench
from netcheck.report.sheets.every import make_sheets
from netcheck.review import judge
from netcheck.text import Span
from tests.facts.panels import panel_of
from tests.report.hostile import CLOSING, FORMULA, PANEL, SCRIPT

VOID = frozenset(("meta", "br"))
FETCHING = frozenset(
    "script link img iframe object embed audio video base form input source use image".split()
)


class Outline(HTMLParser):
    """Elements with their attributes, text in order, and every one closed that was opened."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert tag == self.open.pop()

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def page_of(panel: Panel, review: Review | None = None) -> str:
    sheets = draw(panel)
    drawn = [written(panel, sheet, len(sheets)) for sheet in sheets]
    return document(panel, review or judge(panel), drawn, make_sheets(Bench(panel)).tables)


@pytest.fixture(scope="module")
def panel() -> Panel:
    return panel_of(PANEL)


@pytest.fixture(scope="module")
def page(panel: Panel) -> str:
    return page_of(panel)


def test_every_element_is_closed_in_its_turn(page: str) -> None:
    assert [] == Outline(page).open


def test_nothing_on_the_page_is_fetched_or_run(page: str) -> None:
    outline = Outline(page)
    assert set() == {name for name, _ in outline.elements} & FETCHING
    attributes = [pair for _, said in outline.elements for pair in said.items()]
    assert [] == [name for name, _ in attributes if name.startswith("on") or name in ("src",)]
    assert [] == [
        url for name, url in attributes if name == "href" and not str(url).startswith("#")
    ]
    style = "".join(re.findall(r"<style>(.*?)</style>", page, re.DOTALL))
    assert "url(" not in style
    assert "@import" not in style


def test_a_policy_on_the_page_forbids_what_it_does_not_need(page: str) -> None:
    policies = [
        said["content"]
        for name, said in Outline(page).elements
        if name == "meta" and said.get("http-equiv") == "Content-Security-Policy"
    ]
    assert ["default-src 'none'"] == [str(policy).partition(";")[0] for policy in policies]


def digests(page: str, element: str) -> list[str]:
    texts = re.findall(rf"<{element}>(.*?)</{element}>", page, re.DOTALL)
    return [f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'" for text in texts]


def test_only_the_script_and_the_style_whose_digests_the_policy_names_have_a_say(
    panel: Panel, page: str
) -> None:
    live = live_model(panel, Case(panel).conclude(ComponentValues))
    moving = document(panel, judge(panel), (), (), live={**live, "exercise": None})
    said = [
        dict(part.strip().split(" ", 1) for part in str(said["content"]).split(";"))
        for _, said in (Outline(moving).elements + Outline(page).elements)
        if said.get("http-equiv") == "Content-Security-Policy"
    ]
    assert [one["script-src"] for one in said if "script-src" in one] == digests(moving, "script")
    assert [one["style-src"] for one in said] == digests(moving, "style") + digests(page, "style")
    assert [] == digests(page, "script")
    assert ["'none'", "'none'"] == [one["default-src"] for one in said]


def test_hostile_words_are_read_as_they_were_written(page: str) -> None:
    words = "".join(Outline(page).words)
    assert SCRIPT in words
    assert CLOSING in words
    assert FORMULA in words
    assert "hacked" not in [said.get("id") for _, said in Outline(page).elements]


def test_what_turns_the_reading_direction_is_shown_and_not_sent() -> None:
    shown = "a\N{REPLACEMENT CHARACTER}b\N{REPLACEMENT CHARACTER}\N{REPLACEMENT CHARACTER}c\n"
    assert shown == safe("a\u202eb\u200b\u0007c\n")


def test_every_link_of_the_contents_leads_somewhere(page: str) -> None:
    elements = Outline(page).elements
    ids = [said["id"] for _, said in elements if "id" in said]
    links = [str(said["href"])[1:] for name, said in elements if name == "a"]
    assert len(ids) == len(set(ids))
    assert set(links) <= set(ids)
    assert len(links) > 10


def test_each_sheet_of_the_drawing_is_xml(panel: Panel) -> None:
    for sheet in draw(panel):
        root = ElementTree.fromstring(written(panel, sheet, 1))
        assert root.tag.endswith("svg")


def test_the_caution_stands_at_the_head_and_at_the_foot(page: str) -> None:
    assert 2 == page.count(" ".join(CAUTION))


def test_every_head_of_a_column_says_that_it_is_one(page: str) -> None:
    heads = [said for name, said in Outline(page).elements if name == "th"]
    assert {"col", "rowgroup"} == {said.get("scope") for said in heads}


def test_sheets_to_fill_in_start_on_paper_of_their_own_with_who_and_when(panel: Panel) -> None:
    tables = make_sheets(Bench(panel)).tables
    forms = {f"sheet-{table.name}" for table in tables if table.ticks and table.rows}
    elements = Outline(page_of(panel)).elements
    assert forms
    assert forms == {own["id"] for _, own in elements if own.get("class") in ("form", "form short")}
    assert len(forms) == sum(own.get("class") == "signed of-form" for _, own in elements)


def test_what_was_not_checked_or_decided_stands_among_the_findings(panel: Panel) -> None:
    place = Place(Span("bench.panel", 3, 1, 2), "`here`")
    review = Review(
        findings=(Finding("`K1` falls", place, path=(PathStep("K1:A1", "wire 4", True),),
                          rule="a rule", severity=Severity.DANGER),),
        not_checked=(NotChecked("`K1` says no <size>", place, rule="a rule"),),
        not_decided=(NotDecided("`K1` may chatter", place, rule="a rule"),),
    )  # fmt: skip
    text = page_of(panel, review)
    words = "".join(Outline(text).words)
    assert "not checked: K1 says no <size>" in words
    assert "not decided: K1 may chatter" in words
    assert "danger: K1 falls" in words
    assert "<mark>K1:A1</mark> wire 4" in text
    assert "Findings, 2 left open" in words


def test_the_same_panel_gives_the_same_bytes(panel: Panel, page: str) -> None:
    assert page == page_of(panel)
