"""The JSON document, held to its schema with an independent validator."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

import netcheck.report
from netcheck.finding import Family, Proved, ReferenceKind, Review, Severity, Working
from netcheck.record import replace
from netcheck.report.closing import CAUTION
from netcheck.report.json import document, render
from tests.report.example import MISTAKE, REVIEW, SHORT, place

SCHEMA: dict[str, Any] = json.loads(
    Path(netcheck.report.__path__[0], "finding.schema.json").read_text(encoding="utf-8")
)
FULL = replace(REVIEW, mistakes=(MISTAKE,))


def check(review: Review) -> None:
    jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(render(review)))


@pytest.mark.parametrize("review", [Review(), REVIEW, FULL])
def test_every_document_is_as_the_schema_says(review: Review) -> None:
    check(review)


def test_the_schema_names_every_family_severity_and_kind_of_source() -> None:
    finding = SCHEMA["$defs"]["finding"]["properties"]
    assert [family.value for family in Family] == finding["family"]["enum"]
    assert [severity.value for severity in Severity] == finding["severity"]["enum"]
    kinds = SCHEMA["$defs"]["reference"]["properties"]["kind"]["enum"]
    assert [kind.value for kind in ReferenceKind] == kinds


def test_a_finding_says_the_same_as_the_record_it_comes_from() -> None:
    finding = document(REVIEW)["findings"][0]
    assert "missing load" == finding["rule"]
    assert "missing load | 200 201 205 D1 PS1 S2 | S2 pressed" == finding["identity"]
    assert {
        "file": "bay3.panel",
        "line": 6,
        "column": 34,
        "end_column": 40,
        "label": "the diode the wrong way round",
    } == finding["place"]
    assert {"S2": "pressed"} == finding["state"]
    assert {"at": "D1:K", "by": "D1 against its arrow", "here": True} == finding["path"][3]
    assert {
        "what": "current of the short",
        "value": 6.5,
        "unit": "A",
        "from": "PS1, current limit",
        "confirmed": True,
    } == finding["working"][0]


def test_the_counts_agree_with_the_lists_and_the_caution_is_there() -> None:
    written = document(FULL)
    number = written["counts"]
    for name in ("not_checked", "not_decided", "accepted", "mistakes"):
        assert len(written[name]) == number[name]
    assert all(line in written["caution"] for line in CAUTION)


def test_the_same_review_gives_the_same_bytes() -> None:
    assert render(FULL) == render(replace(FULL))


def test_fields_come_in_the_order_of_the_schema() -> None:
    written = document(FULL)
    assert list(SCHEMA["properties"]) == list(written)
    assert list(SCHEMA["$defs"]["finding"]["properties"]) == list(written["findings"][0])


@given(st.text(st.characters(codec=None)))
def test_any_name_survives_and_none_can_steer_a_terminal(words: str) -> None:
    review = Review(findings=(replace(SHORT, message=words or "x", state={words: words}),))
    text = render(review)
    assert text.isascii()
    assert text.replace("\n", "").isprintable()
    assert {words: words} == json.loads(text)["findings"][0]["state"]


@given(st.floats())
def test_any_figure_makes_a_valid_document(value: float) -> None:
    """JSON has no infinity and no not-a-number (RFC 8259, section 6)."""
    step = Working("current", value, "A", "by hand")
    review = Review(findings=(replace(SHORT, working=(step,)),))
    check(review)
    written = document(review)["findings"][0]["working"][0]["value"]
    if math.isfinite(value):
        assert math.isclose(value, written, rel_tol=1e-8)
    else:
        assert isinstance(written, str)


def test_what_is_supposed_and_what_was_proved_are_told_and_counted() -> None:
    proved = Proved("stop stops", place("relai"), rule="intent not met")
    review = replace(REVIEW, proved=(proved,), supposed=("with S2 pressed",))
    check(review)
    document = json.loads(render(review))
    assert ["with S2 pressed"] == document["supposed"]
    assert ["stop stops"] == [entry["what"] for entry in document["proved"]]
    assert 1 == document["counts"]["intents_proved"]
