"""Every sample is reviewed and comes to exactly what its remarks say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from pathlib import Path

import pytest

from netcheck.cli.status import Status, status_of
from netcheck.finding import Review
from netcheck.model.build import build_panel
from netcheck.reading.project import gather
from netcheck.review import review
from netcheck.revisions.tidy import tidy
from netcheck.rule import all_rules
from netcheck.text import Source
from tests.annotated import (
    FINDING,
    Texts,
    UnreadableRemark,
    actual_of,
    differences,
    expected_of,
)

SAMPLES = Path(__file__).parents[1] / "samples"
FOLDERS = {rule.name.replace(" ", "-"): rule.name for rule in all_rules()}


def texts_of(folder: str) -> dict[str, str]:
    """Path below `samples/` to text, of every panel below a folder."""
    return {
        path.relative_to(SAMPLES).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted((SAMPLES / folder).rglob("*.panel"))
    }


FAULTS, SOUND = texts_of("faults"), texts_of("sound") | texts_of("panels")


def reviewed(path: str, texts: Mapping[str, str]) -> tuple[Review, list[Source]]:
    found, sources = review([path], Texts(texts))
    return found, list(sources.values())


@pytest.mark.parametrize("path", FAULTS | SOUND)
def test_a_sample_is_written_as_the_formatter_would_write_it(path: str) -> None:
    text = (FAULTS | SOUND)[path]
    assert text == tidy(Source(path, text))


@pytest.mark.parametrize("path", FAULTS)
def test_a_fault_sample_comes_to_exactly_what_its_remarks_expect(path: str) -> None:
    found, sources = reviewed(path, FAULTS)
    assert [] == differences(expected_of(sources), actual_of(found))


@pytest.mark.parametrize("path", FAULTS)
def test_a_fault_sample_shows_the_fault_of_its_folder_and_no_other(path: str) -> None:
    expected = expected_of([Source(path, FAULTS[path])])
    rule = FOLDERS[path.split("/")[1]]
    assert {rule} == {one.rule for one in expected}


@pytest.mark.parametrize("path", SOUND)
def test_a_sound_panel_has_no_finding_and_nothing_left_open(path: str) -> None:
    found, _ = reviewed(path, SOUND)
    assert [] == [str(outcome) for outcome in actual_of(found)]
    if found.panels:  # a file of assemblies only is no panel: nothing of it is checked
        assert Status.NOTHING == status_of(found)


@pytest.mark.parametrize("folder", FOLDERS)
def test_a_rule_has_a_sample_that_finds_its_fault(folder: str) -> None:
    sources = [Source(path, text) for path, text in FAULTS.items() if path.split("/")[1] == folder]
    assert FOLDERS[folder] in {one.rule for one in expected_of(sources) if one.kind == FINDING}


def test_every_folder_of_faults_is_a_rule() -> None:
    assert [] == [path for path in FAULTS if path.split("/")[1] not in FOLDERS]


def test_every_rule_has_a_sample() -> None:
    assert [] == sorted(set(FOLDERS) - {path.split("/")[1] for path in FAULTS})


def test_each_of_the_five_families_has_six_disguises() -> None:
    families = {rule.name.replace(" ", "-"): rule.family.value for rule in all_rules()}
    disguises = Counter(families[path.split("/")[1]] for path in FAULTS)
    five = (
        "missing load",
        "open path",
        "mismatched voltage",
        "undersized conductor",
        "unprotected branch",
    )
    assert [] == [family for family in five if disguises[family] < 6]


def kinds_on_the_path(path: str) -> frozenset[str]:
    """The kinds of device that the one finding of a sample leads through."""
    found, _ = reviewed(path, FAULTS)
    panel, _ = build_panel(path, gather(path, Texts(FAULTS)))
    (finding,) = found.findings
    return frozenset(panel.devices[step.at.partition(":")[0]].kind for step in finding.path)


@pytest.mark.parametrize("folder", ["missing-load", "missing-load-in-a-race", "paralleled-sources"])
def test_no_two_disguises_lead_through_the_same_kinds_of_device(folder: str) -> None:
    kinds = [kinds_on_the_path(path) for path in FAULTS if path.split("/")[1] == folder]
    assert len(kinds) == len(set(kinds))


SHORTED = """panel "Vent"
source B 24 V DC, 20 A available, ungrounded
circuit "Vent"
  B:+ --1-- B:0V{remark}
"""


def differences_with(remark: str) -> list[str]:
    """What the comparer says of one short-circuited source and a remark on its line."""
    path = "vent.panel"
    found, sources = reviewed(path, {path: SHORTED.format(remark=remark)})
    assert not found.mistakes
    actual = [outcome for outcome in actual_of(found) if outcome.rule == "missing load"]
    return differences(expected_of(sources), actual)


def test_the_comparer_takes_what_is_expected() -> None:
    assert [] == differences_with('  # expect: missing load, "`B:+` reaches `B:0V`"')


def test_the_comparer_reports_a_finding_nobody_expects() -> None:
    (surplus,) = differences_with("")
    assert surplus.startswith("surplus  vent.panel:4: finding: missing load: `B:+` reaches")


def test_the_comparer_reports_what_is_expected_and_did_not_come() -> None:
    met = '  # expect: missing load, "no load in the path"'
    unmet = ' # expect not checked: missing load, "no voltage"'
    assert [
        'unmet    vent.panel:4: not checked: missing load: "...no voltage..."'
    ] == differences_with(met + unmet)


def test_the_comparer_counts_one_finding_for_one_remark_only() -> None:
    remark = '  # expect: missing load, "no load in the path"'
    (unmet,) = differences_with(remark * 2)
    assert unmet.startswith("unmet")


@pytest.mark.parametrize(
    "remark",
    [
        '  # expect: missing load, "other words"',
        '  # expect: open path, "no load in the path"',
        '\n# expect: missing load, "no load in the path"',
        '  # expect not decided: missing load, "no load in the path"',
    ],
    ids=["words", "rule", "line", "kind"],
)
def test_the_comparer_holds_words_rule_line_and_kind(remark: str) -> None:
    assert ["surplus", "unmet"] == sorted(line.split()[0] for line in differences_with(remark))


@pytest.mark.parametrize(
    "remark", ["# expect: missing load", "# expect missing load", '# expect "words"']
)
def test_a_remark_that_expects_nothing_is_refused(remark: str) -> None:
    with pytest.raises(UnreadableRemark):
        expected_of([Source("vent.panel", remark)])
