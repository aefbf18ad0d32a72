"""`netcheck compare` as its user meets it: files, folders, revisions."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner, Result

import netcheck.report
from netcheck.cli.main import group
from tests.cli.repository import PLAIN, Repository

SCHEMA = json.loads(
    Path(netcheck.report.__path__[0], "comparison.schema.json").read_text(encoding="utf-8")
)
SOUND = """
battery B1 12 V DC, ungrounded, fused 4 A
wire kind default: 18 AWG copper MTW 90 degC, 600 V insulation, 1 m
button S1 normally open 13-14 60 V DC 4 A
lamp H1 12 V DC 3 W
B1:+ --1-- S1 --2-- H1 --3-- B1:-
"""
CLOSED = SOUND.replace("normally open", "normally closed")
SHORT = SOUND + "B1:+ --9-- B1:-\n"


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    monkeypatch.chdir(tmp_path)
    for name, value in PLAIN.items():
        monkeypatch.setenv(name, value)
    return Repository(tmp_path)


def compare(*arguments: str) -> Result:
    result = CliRunner().invoke(group, ["compare", *arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def document(*arguments: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(compare(*arguments, "--output", "json=-").stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(found)
    return found


def test_the_schema_is_itself_valid() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_two_files_that_differ_in_layout_are_the_same_panel(repository: Repository) -> None:
    lines = SOUND.strip().splitlines()
    repository.write(a=SOUND, b="\n\n".join(reversed(lines[:4])) + "\n# x\n" + lines[4])
    result = compare("a.panel", "b.panel")
    assert 0 == result.exit_code, result.stdout
    assert "same panel: 1 load energised under the same conditions, proved" in result.stdout


def test_a_changed_contact_is_told_with_the_state_that_shows_it(repository: Repository) -> None:
    repository.write(a=SOUND, b=CLOSED)
    result = compare("a.panel", "b.panel")
    assert 1 == result.exit_code
    assert "`H1` is on where it was off, with everything at rest" in result.stdout
    assert "`S1`: normally closed 13-14 60 V DC 4 A, was normally open 13-14" in result.stdout


def test_the_working_files_are_compared_with_a_revision(repository: Repository) -> None:
    repository.commit(a=SOUND, b=SOUND)
    repository.write(a=CLOSED, c="lamp H7 24 V DC 2 W\n")
    (repository.folder / "b.panel").unlink()
    panels = {one["name"]: one for one in document("main:")["panels"]}
    assert ["H1"] == [load["name"] for load in panels["a.panel"]["loads"]]
    assert ("removed", "added") == (panels["b.panel"]["alone"], panels["c.panel"]["alone"])


def test_two_revisions_are_compared_and_a_path_in_one_narrows_it(repository: Repository) -> None:
    repository.commit(a=SOUND, b=SOUND)
    repository.commit(a=CLOSED)
    assert ["a.panel", "b.panel"] == [p["name"] for p in document("main~1:", "main:")["panels"]]
    (only,) = document("main~1:a.panel", "main:a.panel")["panels"]
    assert not only["same"]
    assert 0 == compare("main:", "main:").exit_code


def test_a_file_is_compared_with_itself_in_a_revision(repository: Repository) -> None:
    repository.commit(a=SOUND, b=SOUND)
    repository.write(a=CLOSED)
    assert 1 == compare("main:", "a.panel").exit_code
    assert 0 == compare("main:", "b.panel").exit_code


def test_included_files_of_a_revision_are_those_of_then(repository: Repository) -> None:
    repository.commit(a='include "parts.panel"\n', parts=SOUND)
    repository.write(parts=CLOSED)
    panels = {one["name"]: one for one in document("main:")["panels"]}
    assert ["H1"] == [load["name"] for load in panels["a.panel"]["loads"]]


def test_findings_are_told_as_new_and_gone(repository: Repository) -> None:
    repository.write(a=SOUND, b=SHORT)
    assert "new: danger" in compare("a.panel", "b.panel").stdout
    assert "gone: danger" in compare("b.panel", "a.panel").stdout


def test_a_finding_on_a_renamed_device_is_as_before(repository: Repository) -> None:
    text = SOUND + "button S9 normally open 13-14 60 V DC 4 A\nB1:+ --1-- S9:13\n"
    repository.write(a=text, b=text.replace("S9", "S8"))
    (panel,) = document("a.panel", "b.panel")["panels"]
    assert ["renamed"] == [change["kind"] for change in panel["changes"]]
    assert [] == panel["findings"]
    assert panel["findings_kept"]


def test_panels_that_are_the_same_take_one_line_each(repository: Repository) -> None:
    names = [f"bay_{number}" for number in range(25)]
    repository.commit(a=SOUND, **dict.fromkeys(names, SOUND))
    repository.write(a=CLOSED)
    told = compare("main:").stdout
    same = told.partition("The same as before\n\n")[2].partition("\n\n")[0].splitlines()
    assert ["    bay_0.panel: 1 load", "    and 5 more"] == [same[0], same[-1]]
    assert 21 == len(same)
    assert told.index("a.panel") < told.index("The same as before")
    markdown = compare("main:", "--output", "markdown=-").stdout
    assert "### The same as before" in markdown


def test_what_is_the_same_to_the_last_letter_counts_as_if_it_were_compared(
    repository: Repository,
) -> None:
    text = SOUND + "button S9 normally open 13-14 60 V DC 4 A\n"
    repository.commit(a=text)
    (same,) = document("main:")["panels"]
    repository.write(a="# moved\n" + text)
    (moved,) = document("main:")["panels"]
    assert same == moved
    assert 1 == same["same_loads"]
    assert same["findings_kept"]


def test_another_project_file_alone_is_no_same_panel(repository: Repository) -> None:
    repository.commit(a=SOUND)
    (repository.folder / "netcheck.toml").write_text('drop-limit = "2 %"\n')
    (panel,) = document("main:")["panels"]
    assert [("panel", "changed")] == [(c["of"], c["kind"]) for c in panel["changes"]]


def test_a_text_that_describes_no_load_is_not_said_to_be_proved(repository: Repository) -> None:
    repository.commit(a="assembly ZONE\nconnections FEED\nend\n")
    told = compare("main:").stdout
    assert "proved" not in told
    assert "there is no load to compare" in told


def test_what_a_load_gets_says_its_verb_once(repository: Repository) -> None:
    repository.write(a=SOUND, b=SOUND.replace("3 W", "6 W").replace("18 AWG", "16 AWG"))
    told = compare("a.panel", "b.panel").stdout
    # 3 W / 12 V = 0.25 A, 6 W / 12 V = 0.5 A
    assert "`H1`: draws 0.5 A, was 0.25 A\n" in told
    assert "`H1`: fed over 16 AWG copper, was over 18 AWG copper\n" in told


def test_a_text_that_cannot_be_read_is_2_and_its_mistake_is_shown(repository: Repository) -> None:
    repository.write(a=SOUND, b=SOUND + "relai K1\n")
    result = compare("a.panel", "b.panel")
    assert 2 == result.exit_code
    assert "now: b.panel, line 7: `relai` begins no statement" in result.stdout
    assert "before: b.panel, line 7: `relai`" in compare("b.panel", "a.panel").stdout
    assert "same panel" not in result.stdout
    document("a.panel", "b.panel")


def test_markdown_is_fit_for_a_merge_request(repository: Repository) -> None:
    repository.write(a=SOUND, b=CLOSED.replace("H1 12", 'H1 "<b>@you</b>" 12'))
    result = compare("a.panel", "b.panel", "--output", "markdown=-")
    assert result.stdout.startswith("## netcheck compare\n")
    assert "- `H1` is on where it was off" in result.stdout
    assert "\n  1. B1 comes on\n" in result.stdout
    assert "<b>" not in result.stdout
    assert "@you" not in result.stdout


@pytest.mark.parametrize(
    "arguments",
    [["none.panel"], ["nowhere:"], ["a.panel", "empty"], ["main:a.panel", "none.panel"], []],
)
def test_what_is_not_there_is_wrong_use(repository: Repository, arguments: list[str]) -> None:
    repository.commit(a=SOUND)
    (repository.folder / "empty").mkdir()
    assert 2 == compare(*arguments).exit_code


def test_no_output_is_written_over_a_panel(repository: Repository) -> None:
    repository.write(a=SOUND, b=SOUND)
    assert 2 == compare("a.panel", "b.panel", "--output", "text=a.panel").exit_code


# ---- files that come, go and get another name ----------------------------------------------------


def test_a_file_under_another_name_is_one_renamed(repository: Repository) -> None:
    repository.commit(a=SOUND)
    repository.git("mv", "a.panel", "b.panel")
    (panel,) = document("main:")["panels"]
    assert [("file", "renamed", "a.panel", "b.panel")] == [
        (c["of"], c["kind"], c["before"], c["after"]) for c in panel["changes"]
    ]
    assert (1, [], "") == (panel["same_loads"], panel["findings"], panel["alone"])
    assert "`a.panel` is now called `b.panel`" in compare("main:").stdout


@pytest.mark.parametrize("now", [(), ("a.panel",), (".",)])
def test_a_panel_that_was_taken_away_is_removed(
    repository: Repository, now: tuple[str, ...]
) -> None:
    repository.commit(a=SHORT)
    (repository.folder / "a.panel").unlink()
    (panel,) = document("main:" if now else "main:a.panel", *now)["panels"]
    assert "removed" == panel["alone"]
    assert "gone" in {finding["kind"] for finding in panel["findings"]}


def test_a_file_whose_name_holds_a_colon_is_no_revision(repository: Repository) -> None:
    (repository.folder / "a:b.panel").write_text(SOUND)
    repository.commit()
    assert 0 == compare("main:", "a:b.panel").exit_code
    assert 0 == compare("a:b.panel", "main:").exit_code


# ---- accepted findings ---------------------------------------------------------------------------

ACCEPT = 'accept missing load on B1: "bench" until 2027-01-31\n'
DAY = ("--as-of", "2027-01-01")


def findings(*arguments: str) -> dict[str, str]:
    (panel,) = document(*arguments)["panels"]
    return {one["rule"]: one["kind"] for one in panel["findings"]}


def test_a_danger_that_is_accepted_now_is_not_gone(repository: Repository) -> None:
    repository.write(a=SHORT, b=SHORT + ACCEPT)
    assert "accepted" == findings("a.panel", "b.panel", *DAY)["missing load"]
    told = compare("a.panel", "b.panel", *DAY).stdout
    assert "accepted: danger, " in told
    assert "(bench (until 2027-01-31))" in told
    assert "1 accepted in all" in told


def test_a_danger_that_is_accepted_no_longer_is_told(repository: Repository) -> None:
    repository.write(a=SHORT, b=SHORT + ACCEPT)
    assert "no longer accepted" == findings("b.panel", "a.panel", *DAY)["missing load"]


def test_an_accepted_danger_is_told_first_and_counted_where_it_is_as_before(
    repository: Repository,
) -> None:
    idle = "button S9 normally open 13-14 60 V DC 4 A\n"
    repository.write(a=SOUND, b=SHORT + idle + ACCEPT, c="# moved\n" + SHORT + idle + ACCEPT)
    (panel,) = document("a.panel", "b.panel", *DAY)["panels"]
    assert ["accepted", "new"] == [one["kind"] for one in panel["findings"]][:2]
    (same,) = document("b.panel", "c.panel", *DAY)["panels"]
    assert (True, 1) == (same["same"], same["accepted"])


def test_an_acceptance_of_no_rule_is_as_wrong_as_in_a_review(repository: Repository) -> None:
    repository.write(a=SOUND, b=SOUND + 'accept misssing load on B1: "bench"\n')
    result = compare("a.panel", "b.panel")
    assert 2 == result.exit_code
    assert "no rule is called `misssing load`" in result.stdout
    assert "1 load is energised under the same conditions" in result.stdout


def test_a_finding_is_worse_or_milder_by_its_figures(repository: Repository) -> None:
    thin = SOUND.replace("18 AWG", "22 AWG").replace("3 W", "90 W").replace("4 A\nw", "40 A\nw")
    repository.write(a=thin, b=thin.replace("90 W", "120 W"))
    (panel,) = document("a.panel", "b.panel")["panels"]
    (told,) = [one for one in panel["findings"] if one["rule"] == "undersized conductor"]
    assert "worse" == told["kind"]
    (back,) = document("b.panel", "a.panel")["panels"]
    kinds = {one["rule"]: one["kind"] for one in back["findings"]}
    assert "milder" == kinds["undersized conductor"]
    # 120 W / 12 V = 10 A, 90 W / 12 V = 7.5 A
    assert "is 10, was 7.5" in told["why"]


def test_a_load_that_may_be_on_is_not_said_to_be_off(repository: Repository) -> None:
    repository.write(a=SOUND, b=SOUND.replace("B1 12 V", "B1 6 V"))
    (panel,) = document("a.panel", "b.panel")["panels"]
    (load,) = panel["loads"]
    assert ("on", "perhaps on") == (load["was"], load["is"])
    assert "`H1` is perhaps on where it was on" in compare("a.panel", "b.panel").stdout


def test_what_was_not_checked_of_a_device_is_not_so_anew_once_it_is_renamed(
    repository: Repository,
) -> None:
    text = SOUND.replace("lamp H1 12 V DC 3 W", "lamp H1 12 V DC")
    repository.write(a=text, b=re.sub(r"\bH1\b", "H7", text), c=SOUND)
    (panel,) = document("a.panel", "b.panel")["panels"]
    assert (["renamed"], []) == ([c["kind"] for c in panel["changes"]], panel["left_open"])
    (panel,) = document("c.panel", "a.panel")["panels"]
    assert any("H1" in words for words in panel["left_open"])
