"""Which project file holds for a panel, and that nothing above the project ever does."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from tests.cli.repository import Repository

PANEL = """panel "Vent"
source MAINS 120 V AC 60 Hz, two-wire, 10 kA available, neutral bonded here
breaker CB1 15 A, 120 V AC, 10 kA interrupting
lamp H1 120 V AC 20 W
wire kind power: 14 AWG copper MTW 90 degC blue, 0.5 m
circuit "Lamp" in power
  MAINS:L --1-- CB1 --2-- H1 --N-- (14 AWG copper MTW 90 degC white, 0.5 m) MAINS:N
"""
OFF = '[rules]\n"colour against its duty" = "off"\n'
FOUND, QUIET = 1, 0


@pytest.fixture
def bay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of a repository that holds one panel, with the colour of one wire wrong."""
    monkeypatch.setenv("HOME", str(tmp_path / "nobody"))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "plant" / ".git").mkdir(parents=True)
    folder = tmp_path / "plant" / "houses" / "bay"
    folder.mkdir(parents=True)
    (folder / "vent.panel").write_text(PANEL)
    return folder


def review(folder: Path, *options: str) -> Result:
    return CliRunner().invoke(group, ["review", str(folder / "vent.panel"), *options])


def test_without_a_project_file_every_rule_is_asked(bay: Path) -> None:
    result = review(bay)
    assert FOUND == result.exit_code
    assert "switched off" not in result.stdout.lower()


def test_a_project_file_beside_the_panel_holds(bay: Path) -> None:
    (bay / "netcheck.toml").write_text(OFF)
    result = review(bay)
    assert QUIET == result.exit_code
    assert "1 rule is switched off by " in result.stdout


def test_the_top_of_the_repository_is_the_last_place_looked_at(bay: Path, tmp_path: Path) -> None:
    (tmp_path / "netcheck.toml").write_text(OFF)
    assert FOUND == review(bay).exit_code
    (tmp_path / "plant" / "netcheck.toml").write_text(OFF)
    assert QUIET == review(bay).exit_code


def test_outside_a_repository_the_home_is_the_last_place(
    bay: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "plant" / ".git").rmdir()
    (tmp_path / "netcheck.toml").write_text(OFF)
    monkeypatch.setenv("HOME", str(tmp_path / "plant"))
    assert FOUND == review(bay).exit_code
    monkeypatch.setenv("HOME", str(tmp_path))
    assert QUIET == review(bay).exit_code


def test_elsewhere_the_folder_that_was_named_is_the_last_place(bay: Path, tmp_path: Path) -> None:
    (tmp_path / "plant" / ".git").rmdir()
    (tmp_path / "plant" / "netcheck.toml").write_text(OFF)
    assert FOUND == review(bay).exit_code
    plant = CliRunner().invoke(group, ["review", str(tmp_path / "plant")])
    assert QUIET == plant.exit_code


def test_the_nearest_holds_alone(bay: Path, tmp_path: Path) -> None:
    (tmp_path / "plant" / "netcheck.toml").write_text(OFF)
    (bay / "netcheck.toml").write_text('drop-limit = "3 %"\n')
    assert FOUND == review(bay).exit_code


def test_a_pyproject_counts_only_with_a_table_of_ours(bay: Path, tmp_path: Path) -> None:
    (tmp_path / "plant" / "netcheck.toml").write_text(OFF)
    (bay / "pyproject.toml").write_text('[project]\nname = "netcheck-panels"\n')
    assert QUIET == review(bay).exit_code
    (bay / "pyproject.toml").write_text('[tool.netcheck]\ndrop-limit = "3 %"\n')
    assert FOUND == review(bay).exit_code
    (bay / "pyproject.toml").write_text(
        '[tool.netcheck.rules]\n"colour against its duty" = "off"\n'
    )
    assert QUIET == review(bay).exit_code


def test_a_mistake_in_a_pyproject_is_told_at_its_line(bay: Path) -> None:
    (bay / "pyproject.toml").write_text('[tool.other]\nduty = 1\n[tool.netcheck]\nduti = "x"\n')
    result = review(bay, "--output", "json=-")
    (mistake,) = json.loads(result.stdout)["mistakes"]
    assert 2 == result.exit_code
    assert ("pyproject.toml", 4) == (
        os.path.basename(mistake["place"]["file"]),
        mistake["place"]["line"],
    )


def test_a_link_out_of_the_project_is_refused(bay: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere.toml").write_text(OFF)
    (bay / "netcheck.toml").symlink_to(tmp_path / "elsewhere.toml")
    result = review(bay)
    assert 2 == result.exit_code
    assert "is a link that leads out of the project" in result.stdout


def test_a_pipe_in_its_place_is_not_opened(bay: Path) -> None:
    os.mkfifo(bay / "netcheck.toml")
    result = review(bay)
    assert 2 == result.exit_code
    assert "this is a pipe or a device" in result.stdout


def test_bytes_that_are_no_text_are_told_and_nothing_is_raised(bay: Path) -> None:
    (bay / "netcheck.toml").write_bytes(b"\xff\xfe\x00")
    assert 2 == review(bay).exit_code
    (bay / "netcheck.toml").write_text("[" * 50_000)
    assert 2 == review(bay).exit_code


@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit", "github", "gitlab", "csv"])
def test_every_form_says_what_is_switched_off(bay: Path, form: str) -> None:
    (bay / "netcheck.toml").write_text(OFF)
    told = review(bay, "--output", f"{form}=-").stdout
    assert "colour against its duty" in told
    assert "switched off" in told or '"switched_off": 1' in told


def test_a_change_of_the_project_file_is_a_change_of_the_panel(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    repository = Repository(tmp_path)
    (tmp_path / "netcheck.toml").write_text('drop-limit = "3 %"\n')
    repository.commit(vent=PANEL)
    (tmp_path / "netcheck.toml").write_text(OFF)
    told = CliRunner().invoke(group, ["compare", "HEAD:vent.panel"])
    assert 1 == told.exit_code
    assert "rule colour against its duty" in told.stdout
    changed = CliRunner().invoke(group, ["review", "vent.panel", "--changed-only", "HEAD"])
    assert "1 rule is switched off" in changed.stdout
    (tmp_path / "netcheck.toml").unlink()
    gone = CliRunner().invoke(group, ["review", "vent.panel", "--changed-only", "HEAD"])
    assert FOUND == gone.exit_code
