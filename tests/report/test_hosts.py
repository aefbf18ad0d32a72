"""Forms that other programs read: held to the standards' own schema and to independent readers."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from junitparser import JUnitXml
from sarif_pydantic import Sarif

from netcheck.cli.outputs import FORMS, Look, rendered
from netcheck.finding import Accepted, Finding, Place, Review, Severity
from netcheck.record import replace
from netcheck.report import csv as csv_form
from netcheck.report import github, gitlab, junit, markdown, sarif
from netcheck.text import Source, Span
from tests.report.example import MISTAKE, PANEL, REVIEW, SHORT, SOURCES, TOO_SMALL

SCHEMA = json.loads(
    (Path(__file__).parents[1] / "published/schemas/sarif-2.1.0.json").read_text(encoding="utf-8")
)
FULL = replace(REVIEW, mistakes=(MISTAKE,))
CLEAN = Review(panels=("a.panel", "b.panel"), clean=("a.panel", "b.panel"), checks=65)

FORMULA = tuple("=+-@")

HOSTILE = st.text(
    st.sampled_from(
        [*"<>&\"`'[]()|*_#@:,;%=+-\\/!$~{}. \n\r\t\0\x1b\ud800\ufffe", "\u202e", "a", "é"]
    )
)


def reviewed_with(text: str, path: str) -> Review:
    """A review in which everything that may come from a user's text is `text`."""
    place = Place(Span(path, 1, 1, 2), text)
    finding = replace(
        SHORT,
        message=text,
        place=place,
        related=(place,),
        state={text: text},
        steps=(text,),
        help=text,
        live=text,
        devices=(text,),
        condition=text,
    )
    return replace(FULL, findings=(finding, finding), mistakes=(replace(MISTAKE, message=text),))


# ---- SARIF -------------------------------------------------------------------------------------


def valid(review: Review) -> dict[str, Any]:
    text = sarif.render(review, SOURCES)
    document: dict[str, Any] = json.loads(text)
    jsonschema.Draft4Validator(SCHEMA).validate(document)
    assert text.isascii()
    return document


def strings(part: Any) -> Iterator[str]:
    if isinstance(part, str):
        yield part
    elif isinstance(part, dict):
        yield from (text for value in part.values() for text in strings(value))
    elif isinstance(part, list):
        yield from (text for value in part for text in strings(value))


def test_the_copy_of_the_standards_schema_is_itself_valid() -> None:
    jsonschema.Draft4Validator.check_schema(SCHEMA)
    assert "errata01" in SCHEMA["id"]


@pytest.mark.parametrize("review", [Review(), CLEAN, REVIEW, FULL])
def test_every_sarif_document_is_as_the_oasis_schema_says(review: Review) -> None:
    valid(review)


def test_a_schema_that_never_refuses_would_prove_nothing() -> None:
    document = json.loads(sarif.render(FULL, SOURCES))
    del document["runs"][0]["results"][0]["message"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft4Validator(SCHEMA).validate(document)


@given(HOSTILE, HOSTILE)
@settings(max_examples=60, deadline=None)
def test_hostile_words_make_no_sarif_that_a_host_refuses(text: str, path: str) -> None:
    for words in strings(valid(reviewed_with(text or "x", path or "x"))):
        assert words
        assert "\x1b" not in words


def test_a_code_host_gets_all_that_it_requires_of_rules_and_results() -> None:
    # Required by GitHub code scanning (docs.github.com, "SARIF support for code scanning").
    run = valid(FULL)["runs"][0]
    rules = run["tool"]["driver"]["rules"]
    for rule in rules:
        assert {"id", "shortDescription", "fullDescription", "help"} <= rule.keys()
        assert len(rule["fullDescription"]["text"]) <= 1024
        assert rule["help"]["text"]
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
        assert result["message"]["text"]
        region = result["locations"][0]["physicalLocation"]["region"]
        assert {"startLine", "startColumn", "endLine", "endColumn"} == region.keys()
        assert region["endColumn"] >= region["startColumn"] >= 1
        assert "primaryLocationLineHash" in result["partialFingerprints"]


def test_the_words_in_a_sarif_region_are_those_the_finding_marks() -> None:
    result = valid(REVIEW)["runs"][0]["results"][0]
    region = result["locations"][0]["physicalLocation"]["region"]
    line = PANEL.line(region["startLine"])
    assert "D1:K-A" == line[region["startColumn"] - 1 : region["endColumn"] - 1]


def test_related_places_are_links_in_the_message() -> None:
    result = valid(REVIEW)["runs"][0]["results"][0]
    assert [1] == [place["id"] for place in result["relatedLocations"]]
    assert "[this supply is short-circuited](1)" in result["message"]["text"]


def test_the_path_and_the_steps_are_code_flows_with_places_in_the_text() -> None:
    steps, path = valid(REVIEW)["runs"][0]["results"][0]["codeFlows"]
    told = [at["location"] for at in path["threadFlows"][0]["locations"]]
    assert "PS1:+  wire 201" == told[0]["message"]["text"]
    assert [6] * 6 == [at["physicalLocation"]["region"]["startLine"] for at in told[:6]]
    assert 2 == len(steps["threadFlows"][0]["locations"])


def test_fingerprints_stay_when_lines_move_and_go_when_a_device_is_renamed() -> None:
    def prints(finding: Finding) -> str:
        results = valid(Review((finding,), checks=1))["runs"][0]["results"]
        found: str = results[0]["partialFingerprints"]["netcheckIdentity/v1"]
        return found

    moved = replace(SHORT, place=Place(Span("bay3.panel", 99, 3, 4)), message="said otherwise")
    assert prints(SHORT) == prints(moved)
    assert prints(SHORT) != prints(replace(SHORT, devices=("PS2", "S2", "D1")))


def test_more_results_than_a_host_keeps_are_cut_worst_first_and_counted() -> None:
    many = Review((SHORT,) + (TOO_SMALL,) * (sarif.MOST_RESULTS + 6), checks=1)
    document = sarif.document(many, SOURCES)
    results = document["runs"][0]["results"]
    assert sarif.MOST_RESULTS == len(results)
    assert "missing load" == results[0]["ruleId"]
    assert "7 more results are not in this document" in list(strings(document))


def test_what_is_open_is_no_pass_in_sarif_either() -> None:
    kinds = [result["properties"]["kind"] for result in valid(FULL)["runs"][0]["results"]]
    assert ["cannot read", "danger", "defect", "not decided"] + ["not checked"] * 3 == kinds
    assert not valid(FULL)["runs"][0]["invocations"][0]["executionSuccessful"]


def test_an_independent_reader_finds_what_was_written_as_sarif() -> None:
    """sarif-pydantic: the OASIS model as classes, made without netcheck."""
    run = Sarif.model_validate_json(sarif.render(FULL, SOURCES)).runs[0]
    assert run.results is not None
    assert ["cannot read", "missing load", "conductor too small"] == [
        result.rule_id for result in run.results
    ][:3]
    short = run.results[1]
    assert "error" == short.level.value
    region = short.locations[0].physical_location.region
    line = SOURCES[SHORT.place.span.path].line(region.start_line)
    span = SHORT.place.span
    assert (
        line[span.column - 1 : span.end_column - 1]
        == line[region.start_column - 1 : region.end_column - 1]
    )
    steps = [one.location.message.text for one in short.code_flows[0].thread_flows[0].locations]
    assert list(SHORT.steps) == steps


def test_a_step_is_placed_in_the_panel_it_belongs_to() -> None:
    other = Source("a.panel", "button S2\nlamp H1\n" * 3)
    document = sarif.document(FULL, {"a.panel": other, **SOURCES})
    paths = {
        location["location"]["physicalLocation"]["artifactLocation"]["uri"]
        for result in document["runs"][0]["results"]
        for flow in result.get("codeFlows", ())
        for location in flow["threadFlows"][0]["locations"]
    }
    assert {SHORT.place.span.path} == paths


# ---- JUnit -------------------------------------------------------------------------------------


def test_every_clean_panel_is_a_passing_case() -> None:
    root = ElementTree.fromstring(junit.render(CLEAN))
    cases = root.findall("./testsuite/testcase")
    assert ["a.panel", "b.panel"] == [case.get("classname") for case in cases]
    assert [[], []] == [list(case) for case in cases]


def test_junit_counts_are_those_of_its_cases_and_nothing_open_passes() -> None:
    root = ElementTree.fromstring(junit.render(FULL))
    for tag, attribute in (("failure", "failures"), ("error", "errors"), ("skipped", "skipped")):
        assert len(root.findall(f".//{tag}")) == int(root.attrib[attribute])
    assert 8 == int(root.attrib["tests"]) == len(root.findall(".//testcase"))
    assert 2 == int(root.attrib["failures"])
    assert 5 == int(root.attrib["errors"])
    assert ["the heater is set to half power (until 2027-03-01)"] == [
        skipped.get("message") for skipped in root.iter("skipped")
    ]


def test_an_independent_reader_counts_the_same_cases_in_junit() -> None:
    """junitparser, made without netcheck."""
    suites = JUnitXml.fromstring(junit.render(FULL).encode())
    cases = [case for suite in suites for case in suite]
    results = [type(result).__name__ for case in cases for result in case.result]
    assert (8, 2, 5, 1) == (suites.tests, suites.failures, suites.errors, suites.skipped)
    assert (8, 2, 5, 1) == (len(cases), *map(results.count, ("Failure", "Error", "Skipped")))
    clean = JUnitXml.fromstring(junit.render(CLEAN).encode())
    assert [True, True] == [case.is_passed for suite in clean for case in suite]


def test_a_review_of_nothing_has_a_case_that_does_not_pass() -> None:
    assert "1" == ElementTree.fromstring(junit.render(Review())).get("errors")


@given(HOSTILE, HOSTILE)
@settings(deadline=None)
def test_hostile_words_stay_words_in_xml(text: str, path: str) -> None:
    root = ElementTree.fromstring(junit.render(reviewed_with(text, path)))
    assert {"testsuites", "testsuite", "testcase", "failure", "error", "skipped"} >= {
        element.tag for element in root.iter()
    }


# ---- GitHub annotations --------------------------------------------------------------------------


def test_a_workflow_command_names_place_and_rule() -> None:
    first = github.render(REVIEW).splitlines()[0]
    assert first.startswith(
        "::error file=bay3.panel,line=6,col=34,endColumn=39,title=missing load::danger: "
    )


def test_ten_annotations_of_a_level_are_shown_and_the_last_says_how_many_more() -> None:
    lines = github.render(Review((SHORT,) * 13, checks=1)).splitlines()
    errors = [line for line in lines if line.startswith("::error")]
    assert 10 == len(errors)
    assert errors[-1].endswith("::4 more like these are not shown here")
    assert 10 == github.render(Review((SHORT,) * 10, checks=1)).count("::error")


@given(HOSTILE, HOSTILE)
@settings(deadline=None)
def test_hostile_words_begin_no_workflow_command(text: str, path: str) -> None:
    written = github.render(reviewed_with(text, path))
    command = re.compile(r"::(error|warning|notice) (file=[^,:]*,|title=netcheck)")
    *commands, closing = written.rstrip("\n").split("\n")
    assert closing.startswith("netcheck: ")
    assert all(command.match(line) for line in commands)
    assert "\r" not in written


# ---- GitLab --------------------------------------------------------------------------------------

GITLAB = {
    "type": "array",
    "items": {
        "type": "object",
        "required": ["description", "check_name", "fingerprint", "severity", "location"],
        "properties": {
            "description": {"type": "string", "minLength": 1},
            "check_name": {"type": "string", "minLength": 1},
            "fingerprint": {"type": "string", "minLength": 1},
            "severity": {"enum": ["info", "minor", "major", "critical", "blocker"]},
            "location": {
                "required": ["path", "lines"],
                "properties": {"lines": {"properties": {"begin": {"minimum": 1}}}},
            },
        },
    },
}
"""What GitLab's documentation of code quality reports requires of an entry."""


@pytest.mark.parametrize("review", [Review(), CLEAN, REVIEW, FULL, reviewed_with("x", "y")])
def test_a_code_quality_report_has_what_gitlab_requires(review: Review) -> None:
    entries = json.loads(gitlab.render(review))
    jsonschema.Draft202012Validator(GITLAB).validate(entries)
    prints = [entry["fingerprint"] for entry in entries]
    assert len(prints) == len(set(prints))


def test_the_same_fault_in_two_files_has_two_fingerprints_there() -> None:
    other = replace(SHORT, place=Place(Span("bay4.panel", 1, 1, 2)))
    entries = json.loads(gitlab.render(Review((SHORT, other), checks=1)))
    assert entries[0]["fingerprint"] != entries[1]["fingerprint"]


# ---- CSV -----------------------------------------------------------------------------------------


@given(HOSTILE, HOSTILE)
@settings(deadline=None)
def test_no_cell_begins_like_a_formula_and_all_rows_are_as_long(text: str, path: str) -> None:
    rows = list(csv.reader(io.StringIO(csv_form.render(reviewed_with(text, path)), newline="")))
    assert {len(csv_form.COLUMNS)} == {len(row) for row in rows}
    assert not [value for row in rows for value in row if value.lstrip().startswith(FORMULA)]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", " =", "\t=", "|", "%"])
def test_a_formula_gets_an_apostrophe(start: str) -> None:
    assert csv_form.cell(f"{start}1+1").startswith("'")


def test_a_table_of_nothing_still_says_how_the_review_ended() -> None:
    rows = list(csv.DictReader(io.StringIO(csv_form.render(CLEAN))))
    assert "nothing found by 65 checks, 0 not checked" == rows[0]["message"]


# ---- Markdown ------------------------------------------------------------------------------------


def test_the_page_says_the_counts_first_then_worst_first() -> None:
    lines = markdown.render(FULL).splitlines()
    assert lines[2].startswith("**cannot read 1 place; 1 danger, 1 defect, 0 queries")
    kinds = [line.split("**")[1] for line in lines if line.startswith("- **")]
    assert ["cannot read", "danger", "defect", "not decided"] == kinds[:4]
    assert "accepted" == kinds[-1]


@given(HOSTILE)
@settings(deadline=None)
def test_nothing_hostile_has_a_meaning_to_markdown(text: str) -> None:
    shown = markdown.plain(text)
    unescaped = re.sub(r"\\[!-/:-@\[-`{-~]|&(#64|#35|amp|lt|gt);", "", shown)
    assert not set(unescaped) & set("`*_[]<>#|~@&\n\r\x1b")


def test_no_page_is_longer_than_a_comment_may_be() -> None:
    page = markdown.render(Review((SHORT,) * 2_000, checks=1))
    assert len(page) <= 65_536
    assert " more are not shown here" in page


def test_addresses_in_names_become_no_links() -> None:
    assert "http\\://x" == markdown.plain("http://x")
    assert "www\\.x" == markdown.plain("www.x")
    assert "&#64;someone" == markdown.plain("@someone")


# ---- all of them ---------------------------------------------------------------------------------


@pytest.mark.parametrize("form", FORMS)
def test_every_form_counts_what_is_accepted_and_ends_its_last_line(form: str) -> None:
    written = rendered(form, FULL, SOURCES, Look())
    assert written.endswith("\n")
    assert "the heater is set to half power" in written


ONE_LIST = [form for form in FORMS if form not in ("json", "sarif")]
"""Forms that list all in a row; the other two keep what is accepted apart."""


@pytest.mark.parametrize("form", ONE_LIST)
def test_an_accepted_danger_is_written_before_anything_else(form: str) -> None:
    dated = Accepted(replace(SHORT, message="the heater can stay on"), "until July", "2027-07-01")
    written = rendered(form, replace(FULL, accepted=(*FULL.accepted, dated)), SOURCES, Look())
    others = ("is short-circuited", "for `HTR1`", "`relai`")
    first = [written.find(words) for words in others if words in written]
    assert 0 < written.index("the heater can stay on")
    assert written.index("the heater can stay on") < min(first, default=len(written))


def test_an_accepted_danger_is_among_the_ten_that_a_workflow_shows() -> None:
    dated = Accepted(SHORT, "until July", "2027-07-01")
    query = replace(SHORT, severity=Severity.QUERY, message="look")
    lines = github.render(Review((query,) * 30, accepted=(dated,), checks=1)).splitlines()
    assert "accepted: danger" in lines[0]
    assert 10 == sum(line.startswith("::notice") for line in lines)


def test_every_severity_has_a_level_on_every_host() -> None:
    for severity in Severity:
        assert severity.value in sarif.LEVELS
        assert severity in gitlab.SEVERITIES


def test_places_in_an_unknown_text_do_no_harm() -> None:
    jsonschema.Draft4Validator(SCHEMA).validate(
        json.loads(sarif.render(FULL, {"x": Source("x", "")}))
    )
