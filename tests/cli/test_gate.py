"""What stops a change: against a register, a revision, a day.  Tried with git itself."""

from __future__ import annotations

import json
import pickle
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli import git as module
from netcheck.cli.git import NoRevision, Revision, RevisionLoader
from netcheck.cli.main import group
from netcheck.loading import CannotLoad
from tests.cli.repository import PLAIN, Repository

SOUND = """
battery B1 12 V DC, ungrounded, fused 4 A
wire kind default: 18 AWG copper MTW 90 degC, 600 V insulation, 1 m
button S1 normally open 13-14 60 V DC 4 A
lamp H1 12 V DC 3 W
B1:+ --1-- S1 --2-- H1 --3-- B1:-
"""
IDLE = "button S9 normally open 13-14 60 V DC 4 A\n"
SHORT = "B1:+ --9-- B1:-\n"


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    monkeypatch.chdir(tmp_path)
    for name, value in PLAIN.items():
        monkeypatch.setenv(name, value)
    return Repository(tmp_path)


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(group, arguments)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def found(*arguments: str) -> set[str]:
    result = run("review", *arguments, "--output", "json=-")
    return {one["rule"] for one in json.loads(result.stdout)["findings"]}


def accepted(*arguments: str) -> set[str]:
    result = run("review", *arguments, "--output", "json=-")
    return {one["finding"]["rule"] for one in json.loads(result.stdout)["accepted"]}


def test_only_what_is_new_since_a_revision_stops_a_change(repository: Repository) -> None:
    repository.commit(a=SOUND + IDLE)
    assert "device in no circuit" in found("a.panel")
    assert set() == found("a.panel", "--new-only", "main")
    assert "device in no circuit" in accepted("a.panel", "--new-only", "main")
    repository.write(a="\n\n# moved\n" + SOUND + IDLE + SHORT)
    assert {"missing load"} <= found("a.panel", "--new-only", "main")
    assert "device in no circuit" not in found("a.panel", "--new-only", "main")
    assert 1 == run("review", "a.panel", "--new-only", "main").exit_code


def test_all_of_a_panel_the_revision_has_not_is_new(repository: Repository) -> None:
    repository.commit(a=SOUND)
    repository.write(b=SOUND + IDLE)
    assert "device in no circuit" in found("b.panel", "--new-only", "HEAD")


def test_a_panel_that_includes_a_changed_file_is_changed(repository: Repository) -> None:
    repository.commit(a='include "parts.panel"\n', b=SOUND, parts=SOUND)
    repository.write(parts=SOUND + IDLE)
    result = run("review", ".", "--changed-only", "main", "--output", "json=-")
    document = json.loads(result.stdout)
    assert ["a.panel", "parts.panel"] == document["panels"]
    assert ["b.panel"] == document["passed_over"]


@pytest.mark.parametrize("before", ["", '[rules]\n"device in no circuit" = "off"\n'])
def test_a_panel_whose_project_file_came_or_went_is_changed(
    repository: Repository, before: str
) -> None:
    settings = repository.folder / "netcheck.toml"
    if before:
        settings.write_text(before)
    repository.commit(a=SOUND)
    assert [] == json.loads(changed().stdout)["panels"]
    settings.unlink() if before else settings.write_text('drop-limit = "2 %"\n')
    assert ["a.panel"] == json.loads(changed().stdout)["panels"]


def changed() -> Result:
    return run("review", ".", "--changed-only", "main", "--output", "json=-")


def test_another_process_reads_a_revision_as_this_one_does(repository: Repository) -> None:
    repository.commit(a=SOUND)
    here = Revision("main")
    assert SOUND.encode() == here.read("a.panel")
    there = pickle.loads(pickle.dumps(here))
    repository.commit(a=SOUND + IDLE)
    assert SOUND.encode() == there.read("a.panel")


def test_nothing_changed_is_nothing_found_and_says_so(repository: Repository) -> None:
    repository.commit(a=SOUND, b=SOUND)
    result = run("review", ".", "--changed-only", "main", "--output", "junit=out.xml")
    assert 0 == result.exit_code
    assert "2 panels unchanged and not reviewed" in result.stderr
    assert 'errors="0" skipped="2"' in (repository.folder / "out.xml").read_text()


def test_what_cannot_be_read_is_never_passed_over(repository: Repository) -> None:
    repository.commit(a="relai K1\n")
    assert 2 == run("review", "a.panel", "--changed-only", "main").exit_code


@pytest.mark.parametrize("name", ["nowhere", "--output=x", "-h", "main..main", "", "main:a.panel"])
def test_a_revision_that_git_does_not_know_is_wrong_use(repository: Repository, name: str) -> None:
    repository.commit(a=SOUND)
    result = run("review", "a.panel", f"--new-only={name}")
    assert 2 == result.exit_code
    assert "git knows no revision" in result.stderr


def test_outside_a_repository_the_reason_is_git_s(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    (tmp_path / "a.panel").write_text(SOUND)
    result = run("review", "a.panel", "--new-only", "main")
    assert 2 == result.exit_code
    assert "not a git repository" in result.stderr


def test_without_git_the_reason_is_that(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "FIXED", ("no-such-program",))
    with pytest.raises(NoRevision, match="git cannot be started"):
        Revision("main")


def test_a_revision_gives_no_links_and_nothing_outside(repository: Repository) -> None:
    (repository.folder / "link.panel").symlink_to("/etc/passwd")
    repository.commit(a=SOUND)
    revision = Revision("main")
    assert ["a.panel"] == list(revision.files)
    for path in ("link.panel", "../x.panel", "/etc/passwd"):
        with pytest.raises(CannotLoad):
            revision.read(path)


def test_hooks_and_filters_of_a_repository_are_not_run(repository: Repository) -> None:
    mark = repository.folder / "ran"
    hook = f"touch {mark}"
    repository.commit(a=SOUND)
    for setting in ("core.fsmonitor", "diff.panel.textconv", "filter.f.smudge", "core.pager"):
        repository.git("config", setting, hook)
    (repository.folder / ".gitattributes").write_text("*.panel diff=panel filter=f\n")
    assert SOUND.encode() == Revision("main").read("a.panel")
    run("review", ".", "--changed-only", "main")
    assert not mark.exists()


# ---- the register --------------------------------------------------------------------------------


def test_a_registered_panel_passes_until_something_new_comes(repository: Repository) -> None:
    repository.write(a=SOUND + IDLE)
    assert 0 == run("register", "a.panel", "--to", "known.json").exit_code
    assert set() == found("a.panel", "--register", "known.json")
    repository.write(a=SOUND + IDLE + SHORT)
    assert "missing load" in found("a.panel", "--register", "known.json")


def test_a_register_is_the_same_from_any_folder(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    (repository.folder / "sub").mkdir()
    repository.write(a=SOUND + IDLE)
    run("register", "a.panel", "--to", "known.json")
    first = (repository.folder / "known.json").read_text()
    monkeypatch.chdir(repository.folder / "sub")
    run("register", "../a.panel", "--to", "../known.json")
    assert first == (repository.folder / "known.json").read_text()
    assert set() == found("../a.panel", "--register", "../known.json")


def test_a_danger_is_registered_only_until_a_day(repository: Repository) -> None:
    repository.write(a=SOUND + SHORT)
    refused = run("register", "a.panel", "--to", "known.json")
    assert 2 == refused.exit_code
    assert "a danger is accepted only until a date" in refused.stderr
    assert not (repository.folder / "known.json").exists()
    dated = ("--until", "2027-01-31", "--to", "known.json")
    assert 0 == run("register", "a.panel", *dated).exit_code
    today = ("a.panel", "--register", "known.json", "--as-of")
    assert "missing load" not in found(*today, "2027-01-31")
    assert "missing load" in found(*today, "2027-02-01")


def test_a_day_that_is_past_already_is_none_to_register_until(repository: Repository) -> None:
    repository.write(a=SOUND + IDLE)
    past = ("--until", "2026-12-31", "--as-of", "2027-01-01", "--to", "known.json")
    refused = run("register", "a.panel", *past)
    assert 2 == refused.exit_code
    assert "2026-12-31 is past on 2027-01-01" in refused.stderr
    assert not (repository.folder / "known.json").exists()


def test_an_accepted_danger_is_printed_before_anything_else(repository: Repository) -> None:
    repository.write(a=SOUND + SHORT + IDLE)
    run("register", "a.panel", "--to", "known.json", "--until", "2027-01-31")
    repository.write(a=SOUND + SHORT + IDLE + IDLE.replace("S9", "S8"))
    options = ("a.panel", "--register", "known.json", "--as-of", "2027-01-01", "--quiet")
    assert run("review", *options).stdout.startswith("ACCEPTED: danger, ")


def test_dropping_never_adds(repository: Repository) -> None:
    repository.write(a=SOUND + IDLE + IDLE.replace("S9", "S8"))
    run("register", "a.panel", "--to", "known.json")
    repository.write(a=SOUND + IDLE + IDLE.replace("S9", "S7"))
    assert 0 == run("register", "a.panel", "--to", "known.json", "--drop-only").exit_code
    entries = json.loads((repository.folder / "known.json").read_text())["entries"]
    assert ["device in no circuit | S9"] == [entry["identity"] for entry in entries]


def test_nothing_is_registered_of_a_text_that_cannot_be_read(repository: Repository) -> None:
    repository.write(a=SOUND + "relai K1\n")
    assert 2 == run("register", "a.panel", "--to", "known.json").exit_code
    assert not (repository.folder / "known.json").exists()


def test_a_register_is_not_written_over_a_panel_nor_over_by_a_report(
    repository: Repository,
) -> None:
    repository.write(a=SOUND)
    assert 2 == run("register", "a.panel", "--to", "b.panel").exit_code
    run("register", "a.panel", "--to", "known.json")
    clash = ("--register", "known.json", "--output", "json=known.json")
    assert 2 == run("review", "a.panel", *clash).exit_code


@pytest.mark.parametrize("text", ["", "[]", '{"netcheck_register": 2, "entries": []}'])
def test_a_register_that_is_none_is_a_mistake_at_its_place(
    repository: Repository, text: str
) -> None:
    repository.write(a=SOUND)
    (repository.folder / "known.json").write_text(text)
    for path in ("known.json", "none.json"):
        result = run("review", "a.panel", "--register", path)
        assert 2 == result.exit_code
        assert f"{path}" in result.stdout


@pytest.mark.parametrize("day", ["tomorrow", "2027-02-30", "20270131", "2027-1-31", ""])
def test_a_day_that_is_none_is_wrong_use(repository: Repository, day: str) -> None:
    repository.write(a=SOUND)
    assert 2 == run("review", "a.panel", "--as-of", day).exit_code


def test_faults_of_a_file_under_another_name_are_not_new(repository: Repository) -> None:
    repository.commit(a=SOUND + IDLE)
    repository.git("mv", "a.panel", "b.panel")
    for path in ("b.panel", "."):
        assert set() == found(path, "--new-only", "main")
        assert "device in no circuit" in accepted(path, "--new-only", "main")
    repository.write(b=SOUND + IDLE + SHORT)
    assert {"missing load"} <= found("b.panel", "--new-only", "main")


def test_a_copy_of_a_file_that_is_there_still_is_new(repository: Repository) -> None:
    repository.commit(a=SOUND + IDLE)
    repository.write(b=SOUND + IDLE)
    assert "device in no circuit" in found("b.panel", "--new-only", "main")


def test_a_shallow_clone_says_that_it_is_one(
    repository: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.commit(a=SOUND)
    repository.commit(a=SOUND + IDLE)
    repository.git("clone", "-q", "--depth", "1", tmp_path.as_uri(), "clone")
    monkeypatch.chdir(tmp_path / "clone")
    refused = run("review", "a.panel", "--new-only", "HEAD~1")
    assert 2 == refused.exit_code
    assert "git knows no revision `HEAD~1`; this clone is shallow" in refused.stderr


def test_a_panel_that_is_a_link_to_another_is_the_same_as_before(repository: Repository) -> None:
    (repository.folder / "one").mkdir()
    (repository.folder / "link.panel").symlink_to("one/a.panel")
    (repository.folder / "twice.panel").symlink_to("link.panel")
    (repository.folder / "one" / "a.panel").write_text(SOUND + IDLE)
    repository.commit()
    assert SOUND + IDLE == Revision("main").read("twice.panel").decode()
    assert set() == found(".", "--new-only", "main")
    assert [] == json.loads(changed().stdout)["panels"]
    (repository.folder / "one" / "a.panel").write_text(SOUND)
    assert 3 == len(json.loads(changed().stdout)["panels"])


def test_a_link_that_leads_out_of_the_folder_is_followed_in_no_revision(
    repository: Repository,
) -> None:
    (repository.folder / "in").mkdir()
    (repository.folder / "in" / "link.panel").symlink_to("../a.panel")
    (repository.folder / "loop.panel").symlink_to("loop.panel")
    repository.commit(a=SOUND, b='include "in/link.panel"\n')
    revision = Revision("main")
    assert [] == revision.panels("in")
    loader = RevisionLoader({"in/b.panel": "in"}, revision)
    with pytest.raises(CannotLoad, match="leads out of the project's folder `in`"):
        loader.resolve("link.panel", "in/b.panel")
    with pytest.raises(CannotLoad):
        revision.read("loop.panel")


def test_panels_of_a_repository_in_this_one_are_compared_with_what_they_were(
    repository: Repository, tmp_path: Path
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    Repository(other).commit(a=SOUND + IDLE)
    add = ("-c", "protocol.file.allow=always", "submodule", "add", "-q")
    repository.git(*add, other.as_uri(), "sub")
    shutil.rmtree(other)
    repository.commit()
    assert set() == found("sub", "--new-only", "main")
    assert "device in no circuit" in accepted("sub", "--new-only", "main")
    assert [] == json.loads(changed().stdout)["panels"]
    (repository.folder / "sub" / "a.panel").write_text(SOUND + IDLE + SHORT)
    assert {"missing load"} <= found("sub", "--new-only", "main")
