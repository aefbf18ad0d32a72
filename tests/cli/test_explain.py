"""`netcheck explain` as its user meets it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from click.testing import CliRunner, Result

import netcheck.data
from netcheck.case import Case
from netcheck.cli import explain as module
from netcheck.cli.main import group
from netcheck.finding import Family, Outcome, Reference, ReferenceKind, Severity
from netcheck.rule import all_rules as real_rules

REFERENCE = Reference("a source joined to itself", ReferenceKind.COMMON_PRACTICE)


@dataclass
class FakeRule:
    """As much of a rule as is explained."""

    name: str
    family: Family = Family.MISSING_LOAD
    severity: Severity = Severity.DANGER
    summary: str = "a loop joins the poles of a source and holds no load"
    why: str = "only the wire limits the current"
    reference: Reference = REFERENCE
    doc: str = "Speaks when a closed loop holds nothing but wire.\n"

    def outcomes(self, case: Case) -> Iterator[Outcome]:
        yield from ()


@pytest.fixture(autouse=True)
def rules(monkeypatch: pytest.MonkeyPatch) -> None:
    fakes = (FakeRule("missing load"), FakeRule("open path", Family.OPEN_PATH))
    monkeypatch.setattr(module, "all_rules", lambda: fakes)


def explain(*words: str) -> Result:
    result = CliRunner().invoke(group, ["explain", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.mark.parametrize(
    "words", [["missing load"], ["missing", "load"], ["missing-load"], ["Missing", "Load"]]
)
def test_a_rule_is_explained_however_its_words_are_given(words: list[str]) -> None:
    result = explain(*words)
    assert 0 == result.exit_code
    for part in (
        "missing load (danger, missing load)",
        "a loop joins the poles of a source and holds no load",
        "Speaks when a closed loop holds nothing but wire.",
        "only the wire limits the current",
        "a source joined to itself (common practice)",
    ):
        assert part in result.stdout


def test_a_rule_is_explained_with_an_example_that_marks_what_is_found() -> None:
    _, _, shown = explain("missing load").stdout.partition("\nexample")
    marked = [line for line in shown.splitlines() if "  # found: `" in line]
    assert marked
    assert len(shown.splitlines()) > 2 + 2 * len(marked), "what is sound stands beside it"
    assert "expect" not in shown


def test_every_rule_that_reports_has_an_example_without_its_test_s_remarks() -> None:
    for rule in real_rules():
        shown = module.example(rule.name)
        assert "# found: " in shown, rule.name
        assert "# expect" not in shown, rule.name


def test_every_rule_has_a_sound_example_that_looks_like_its_fault() -> None:
    assert [] == [rule.name for rule in real_rules() if not module.sound_example(rule.name)]


def test_a_sound_sample_is_sound_for_rules_there_are() -> None:
    names = {rule.name for rule in real_rules()}
    told = {
        name: module.sound_for(netcheck.data.package_text("samples", "sound", name))
        for name in netcheck.data.package_names("samples", "sound")
    }
    assert [] == [name for name, rules in told.items() if set(rules) - names]


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("voltage drop too large", "by practice, drop limit, duty: in a project file"),
        ("colour against its duty", "[colours]"),
        ("node with two numbers", "by numbers: in a project file"),
        ("short circuit rating too small", "by nameplate: in the panel's text"),
    ],
)
def test_a_rule_says_which_settings_move_it(rule: str, words: str) -> None:
    (explained,) = [one for one in real_rules() if one.name == rule]
    assert words in module.moved_by(explained)
    assert f'`"{rule}" = "off"`' in module.moved_by(explained)


def test_without_a_name_every_rule_is_listed_by_family() -> None:
    lines = explain().stdout.splitlines()
    assert lines.index("missing load (1 rule)") < lines.index("open path (1 rule)")
    assert 2 == sum("holds no load" in line for line in lines)


def test_an_unknown_rule_is_2_with_near_names_on_standard_error() -> None:
    result = explain("mising", "lode")
    assert (2, "") == (result.exit_code, result.stdout)
    assert "no rule is called 'mising lode'; did you mean `missing load`?" in result.stderr


def test_a_name_near_nothing_is_told_where_to_look() -> None:
    result = explain("xyzzy")
    assert 2 == result.exit_code
    assert "did you mean" not in result.stderr
    assert "`netcheck explain` lists them all" in result.stderr


def test_the_language_is_explained_from_the_grammar_s_own_reference(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked = []

    def package_text(folder: str, name: str) -> str:
        asked.append((folder, name))
        return "How a panel is written\n\n<!-- kinds: made -->\n\n### A\n\n<!-- kinds -->\n"

    monkeypatch.setattr(netcheck.data, "package_text", package_text)
    assert "How a panel is written\n\n### A\n\n" == explain("language").stdout
    assert [("grammar", "reference.md")] == asked


def test_a_kind_of_device_is_no_rule_and_is_described_with_the_language() -> None:
    result = explain("contactor")
    assert (2, "") == (result.exit_code, result.stdout)
    assert "contactor is a kind of device; `netcheck explain language`" in result.stderr
