"""Hooks and ready-made jobs, each tried for real in a repository of its own."""

from __future__ import annotations

import json
import os
import re
import shutil
import stat
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from netcheck.revisions.outline import outline
from netcheck.text import Source
from tests.cli.repository import PLAIN, Repository
from tests.revisions.scheme import made_up, written

ROOT = Path(__file__).parents[1]
SOUND = """\
battery B1 12 V DC, ungrounded, fused 4 A, 2 kA available
wire kind default: 18 AWG copper MTW 90 degC, 600 V insulation, 1 m
switch S1 normally open 13-14 60 V DC 4 A
lamp H1 12 V DC 3 W
B1:+ --1-- S1 --2-- H1 --3-- B1:-
"""
OLD_FAULT = "button S9 normally open 13-14 60 V DC 4 A\n"
NEW_FAULT = "B1:+ --9-- B1:-\n"


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    """A repository, and `netcheck` as a program that the shell finds."""
    folder = tmp_path / "programs"
    folder.mkdir()
    program = folder / "netcheck"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m netcheck "$@"\n')
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    for name, value in PLAIN.items():
        monkeypatch.setenv(name, value)
    (tmp_path / "project").mkdir()
    return Repository(tmp_path / "project")


def shell(repository: Repository, line: str, **variables: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["sh", "-e", "-c", line],
        cwd=repository.folder,
        env={**os.environ, **variables},
        capture_output=True,
        text=True,
        check=False,
    )


# ---- ready-made jobs -----------------------------------------------------------------------------


def commands(sample: str) -> list[str]:
    """The lines of a job that start netcheck."""
    text = (ROOT / "samples" / "ci" / sample).read_text(encoding="utf-8")
    return re.findall(r"(?:run:|-) (netcheck .*)", text)


@pytest.mark.slow
def test_the_gitlab_job_lets_an_old_fault_pass_and_stops_on_a_new_one(
    repository: Repository,
) -> None:
    repository.commit(a=SOUND + OLD_FAULT)
    base = {"CI_MERGE_REQUEST_DIFF_BASE_SHA": repository.git("rev-parse", "HEAD").strip()}
    repository.commit(a=SOUND.replace("lamp H1", 'lamp H1 "Mist"') + OLD_FAULT)
    lines = commands("gitlab-ci.yml")
    assert ["compare", "review", "tidy"] == [line.split()[1] for line in lines]
    assert [0, 0, 0] == [shell(repository, line, **base).returncode for line in lines]
    repository.commit(a=SOUND + OLD_FAULT + NEW_FAULT)
    assert [0, 1, 0] == [shell(repository, line, **base).returncode for line in lines]
    findings = json.loads((repository.folder / "netcheck.json").read_text())
    assert {"missing load"} <= {entry["check_name"] for entry in findings}
    assert ElementTree.parse(repository.folder / "netcheck.xml").getroot().get("failures") != "0"
    assert "new: danger" in (repository.folder / "change.md").read_text()


@pytest.mark.slow
def test_the_github_workflow_annotates_what_is_new(repository: Repository) -> None:
    repository.commit(a=SOUND + OLD_FAULT)
    repository.git("update-ref", "refs/remotes/origin/main", "HEAD")
    repository.write(a=SOUND + OLD_FAULT + NEW_FAULT)
    summary = repository.folder.parent / "summary.md"
    summary.touch()
    told = {"GITHUB_BASE_REF": "main", "GITHUB_STEP_SUMMARY": str(summary)}
    lines = commands("github-workflow.yml")
    runs = [shell(repository, line, **told) for line in lines]
    assert [0, 1, 1, 0] == [run.returncode for run in runs]
    assert 1 == runs[1].stdout.count("::error file=a.panel,")
    assert summary.read_text().startswith("## netcheck compare")
    assert json.loads((repository.folder / "netcheck.sarif").read_text())["runs"]


@pytest.mark.slow
@pytest.mark.parametrize("sample", ["github-workflow.yml", "gitlab-ci.yml"])
def test_a_text_that_cannot_be_read_stops_every_job(repository: Repository, sample: str) -> None:
    repository.commit(a=SOUND)
    repository.git("update-ref", "refs/remotes/origin/main", "HEAD")
    repository.write(a=SOUND + "relai K1\n")
    told = {"GITHUB_BASE_REF": "main", "CI_MERGE_REQUEST_DIFF_BASE_SHA": "HEAD"}
    told["GITHUB_STEP_SUMMARY"] = str(repository.folder.parent / "summary.md")
    assert not [
        line for line in commands(sample) if shell(repository, line, **told).returncode == 0
    ]


# ---- pre-commit ----------------------------------------------------------------------------------


def hooks() -> dict[str, str]:
    """Of each hook of the definition its command."""
    text = (ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")
    return dict(re.findall(r"- id: (\S+)\n(?:  .*\n)*?  entry: (.*)\n", text))


def test_the_review_hook_keeps_a_commit_with_a_fault_from_being_made(
    repository: Repository,
) -> None:
    script = repository.folder / ".git" / "hooks" / "pre-commit"
    script.write_text(f"#!/bin/sh\n{hooks()['netcheck-review']}\n")
    script.chmod(0o755)
    repository.commit(a=SOUND)
    with pytest.raises(subprocess.CalledProcessError) as refused:
        repository.commit(a=SOUND + NEW_FAULT)
    assert "DANGER: " in refused.value.stdout + refused.value.stderr


def test_the_tidy_hook_changes_the_file_it_is_given_and_then_passes(
    repository: Repository,
) -> None:
    repository.write(a=SOUND.replace("lamp H1", "lamp   H1"))
    line = f"{hooks()['netcheck-tidy']} a.panel"
    assert 0 == shell(repository, line).returncode
    assert SOUND == (repository.folder / "a.panel").read_text()


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("pre-commit") is None, reason="pre-commit is not installed here")
def test_pre_commit_runs_the_hooks_from_a_clone(repository: Repository) -> None:
    """Builds an environment for the hooks, so that it needs a package registry."""
    clone = repository.folder.parent / "clone"
    repository.git("clone", "-q", str(ROOT), str(clone))
    revision = subprocess.check_output(["git", "-C", clone, "rev-parse", "HEAD"], text=True)
    settings = ["repos:", f"- repo: {clone}", f"  rev: {revision.strip()}", "  hooks:"]
    settings += ["  - id: netcheck-tidy", "  - id: netcheck-review"]
    (repository.folder / ".pre-commit-config.yaml").write_text("\n".join(settings) + "\n")
    repository.commit(a=SOUND)
    own = {"PRE_COMMIT_HOME": str(clone.parent / "hooks"), "HOME": str(clone.parent)}
    own |= {"XDG_CACHE_HOME": str(clone.parent / "cache"), "PYTHONPATH": ""}
    passed = shell(repository, "pre-commit run --all-files", **own)
    assert 0 == passed.returncode, passed.stdout
    assert 2 == passed.stdout.count("Passed")
    repository.commit(a=SOUND + NEW_FAULT)
    refused = shell(repository, "pre-commit run --all-files", **own)
    assert 1 == refused.returncode
    assert "DANGER: " in refused.stdout
    repository.commit(a=SOUND, b='include "parts.panel"\n', parts=SOUND)
    repository.git("rm", "-q", "parts.panel")
    refused = shell(repository, "pre-commit run", **own)
    assert 1 == refused.returncode
    assert "`parts.panel` cannot be included" in refused.stdout


# ---- git diff ------------------------------------------------------------------------------------


def test_git_diff_shows_meaning_once_the_driver_is_installed(repository: Repository) -> None:
    repository.commit(a=SOUND)
    assert 0 == shell(repository, "netcheck outline --install").returncode
    moved = "# moved\n" + "\n\n".join(reversed(SOUND.splitlines())) + "\n"
    repository.write(a=moved)
    assert "" == repository.git("diff", "a.panel")
    assert "# moved" in repository.git("diff", "--no-textconv", "a.panel")
    repository.write(a=moved.replace("3 W", "5 W"))
    lines = [x for x in repository.git("diff", "-U0", "a.panel").splitlines() if x[:1] in "+-"][2:]
    assert ["-lamp H1 12 V DC 3 W", "+lamp H1 12 V DC 5 W"] == lines


def test_git_diff_shows_a_text_whose_name_begins_with_a_dash(repository: Repository) -> None:
    (repository.folder / "-a.panel").write_text(SOUND)
    repository.commit()
    assert 0 == shell(repository, "netcheck outline --install").returncode
    (repository.folder / "-a.panel").write_text(SOUND.replace("3 W", "5 W"))
    assert "+lamp H1 12 V DC 5 W" in repository.git("diff")


def test_the_driver_can_be_taken_out_again_and_leaves_other_attributes(
    repository: Repository,
) -> None:
    repository.commit(a=SOUND)
    attributes = repository.folder / ".git" / "info" / "attributes"
    attributes.parent.mkdir(exist_ok=True)
    attributes.write_text("*.txt text\n")
    for _ in range(2):
        assert 0 == shell(repository, "netcheck outline --install").returncode
    assert "*.txt text\n*.panel diff=panel\n" == attributes.read_text()
    for _ in range(2):
        assert 0 == shell(repository, "netcheck outline --uninstall").returncode
    assert "*.txt text\n" == attributes.read_text()
    repository.write(a="# moved\n" + SOUND)
    assert "+# moved" in repository.git("diff", "a.panel")


def test_a_diff_of_a_text_with_mistakes_shows_its_lines(repository: Repository) -> None:
    repository.commit(a=SOUND)
    shell(repository, "netcheck outline --install")
    (repository.folder / "a.panel").write_bytes(SOUND.encode() + b"relai \xff K1\n")
    assert "+relai \\xff K1" in repository.git("diff", "a.panel")


def test_outside_a_repository_there_is_nothing_to_install(tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, "-m", "netcheck", "outline", "--install"],
        cwd=tmp_path,
        env={
            **os.environ,
            "PYTHONPATH": str(ROOT),
            "GIT_CEILING_DIRECTORIES": str(tmp_path.parent),
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert 2 == run.returncode
    assert "not a git repository" in run.stderr


@pytest.mark.parametrize("seed", range(20))
def test_an_outline_is_the_same_for_the_same_statements_in_any_order(seed: int) -> None:
    head, *lines = written(made_up(seed)).splitlines()
    circuit = next(index for index, line in enumerate(lines) if line.startswith("circuit"))
    devices, wires = lines[:circuit], lines[circuit + 1 :]
    moved = [*reversed(devices), head, lines[circuit], *reversed(wires)]
    texts = ("\n".join(x) + "\n" for x in ([head, *lines], moved))
    first, second = (outline(Source("a.panel", text)) for text in texts)
    assert first == second


def test_a_wire_traced_the_other_way_is_the_same_line_of_an_outline() -> None:
    one = "S1:13-14 --2-- H1:X1-X2\n"
    other = "H1:X2-X1 --2-- S1:14-13\n"
    assert outline(Source("a", one)) == outline(Source("a", other))


def test_an_outline_keeps_what_is_accepted() -> None:
    text = 'accept missing load on B1: "bench" until 2030-01-31  # by the foreman\n'
    assert '[accepted]\naccept missing load on B1: "bench" until 2030-01-31\n\n' == outline(
        Source("a", text)
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    "line",
    [
        "netcheck review . --output sarif=-",
        "netcheck review . --output csv=-",
        "netcheck compare main: . --output json=-",
        "netcheck outline a.panel",
    ],
)
def test_the_same_texts_give_the_same_bytes_whatever_the_hash_seed_and_locale(
    repository: Repository, line: str
) -> None:
    repository.commit(a=SOUND + OLD_FAULT, b=SOUND)
    repository.write(a=SOUND + NEW_FAULT, c=SOUND)
    seeds = [("1", "C"), ("2", "C.UTF-8"), ("3", "POSIX")]
    runs = [shell(repository, line, PYTHONHASHSEED=seed, LC_ALL=name) for seed, name in seeds]
    assert runs[0].stdout
    assert {runs[0].stdout} == {run.stdout for run in runs}
