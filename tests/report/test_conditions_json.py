"""Conditions as JSON, held to their schema with an independent validator."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import netcheck.report
from netcheck.report.closing import CAUTION
from netcheck.report.condition_sheet import Sheet, sheet_of
from netcheck.report.conditions_json import document, render
from netcheck.states.conditions import Conditions
from tests.report.condition_panels import PANELS, conditions_of
from tests.report.example import MISTAKE

SCHEMA: dict[str, Any] = json.loads(
    Path(netcheck.report.__path__[0], "conditions.schema.json").read_text(encoding="utf-8")
)


def check(sheet: Sheet) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(render(sheet))
    jsonschema.Draft202012Validator(SCHEMA).validate(read)
    return read


@pytest.mark.parametrize("name", PANELS)
def test_every_document_is_as_the_schema_says(name: str) -> None:
    check(sheet_of(conditions_of(name), []))


def test_a_text_that_cannot_be_read_has_a_document_too() -> None:
    read = check(Sheet("a.panel", None, mistakes=(MISTAKE,)))
    assert [MISTAKE.message] == [mistake["message"] for mistake in read["mistakes"]]
    assert 1 == read["counts"]["mistakes"]


def test_the_caution_stands_in_every_document() -> None:
    assert " ".join(CAUTION) == document(Sheet("a.panel", None))["caution"]


def test_the_same_panel_gives_the_same_bytes() -> None:
    once, again = (render(sheet_of(conditions_of("held"), [])) for _ in range(2))
    assert once == again


def test_a_product_names_positions_of_what_moves() -> None:
    read = check(sheet_of(conditions_of("held"), ["M1"]))
    motor = next(load for load in read["loads"] if load["load"] == "M1")
    assert [{"MAINS": ["present"], "K1": ["in"]}] == motor["drawn"]["sure"]["any_of"]
    assert [{"K1": ["in"]}] == motor["full"]["sure"]["any_of"]
    relay = next(relay for relay in read["relays"] if relay["relay"] == "K1")
    assert [
        {"MAINS": ["present"], "S1": ["released"], "S2": ["pressed"], "OL1": ["reset"]}
    ] == relay["held"]["started"]["any_of"]
    assert relay["held"]["stopped"]["any_of"] == [
        {"MAINS": ["absent"]},
        {"S1": ["pressed"]},
        {"OL1": ["tripped"]},
    ]


def test_conditions_are_kept_for_who_asks_again() -> None:
    conditions = conditions_of("held")
    assert isinstance(conditions, Conditions)
    assert conditions.relay("K1") is conditions.relay("K1")
