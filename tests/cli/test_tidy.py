"""`netcheck tidy` as its user meets it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group

UNTIDY = "lamp  H1   24 V DC 2 W\n"
TIDY = "lamp H1 24 V DC 2 W\n"


@pytest.fixture(autouse=True)
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.panel").write_text(UNTIDY)
    (tmp_path / "b.panel").write_text(TIDY)
    return tmp_path


def tidy(*arguments: str, text: str | None = None) -> Result:
    result = CliRunner().invoke(group, ["tidy", *arguments], input=text)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_texts_are_written_tidy_and_only_those_that_are_not(project: Path) -> None:
    before = (project / "b.panel").stat().st_mtime_ns
    result = tidy(".")
    assert (0, "a.panel is tidy now\n") == (result.exit_code, result.stderr)
    assert TIDY == (project / "a.panel").read_text()
    assert before == (project / "b.panel").stat().st_mtime_ns
    assert (0, "") == (tidy(".").exit_code, tidy(".").stderr)


@pytest.mark.parametrize("option", ["--check", "--diff"])
def test_check_and_diff_write_nothing_and_say_1(project: Path, option: str) -> None:
    assert 1 == tidy(".", option).exit_code
    assert UNTIDY == (project / "a.panel").read_text()
    assert 0 == tidy("b.panel", option).exit_code


def test_diff_shows_what_would_change() -> None:
    assert "-lamp  H1   24 V DC 2 W\n+lamp H1 24 V DC 2 W\n" in tidy("a.panel", "--diff").stdout


def test_standard_input_goes_to_standard_output() -> None:
    assert TIDY == tidy("-", text=UNTIDY).stdout


def test_a_text_with_a_mistake_is_left_and_the_others_are_tidied(project: Path) -> None:
    (project / "c.panel").write_text("relai   K1\n")
    result = tidy(".")
    assert 2 == result.exit_code
    assert "c.panel, line 1, column 1: `relai` begins no statement" in result.stderr
    assert "relai   K1\n" == (project / "c.panel").read_text()
    assert TIDY == (project / "a.panel").read_text()


def test_what_is_not_there_is_2() -> None:
    assert 2 == tidy("none.panel").exit_code


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_line_ends_and_a_byte_order_mark_stay_as_the_repository_has_them(
    project: Path, mark: str, end: str
) -> None:
    text = f"{mark}{TIDY}{UNTIDY}".replace("\n", end)
    (project / "c.panel").write_text(text, encoding="utf-8", newline="")
    assert 0 == tidy("c.panel").exit_code
    assert f"{mark}{TIDY}{TIDY}".replace("\n", end).encode() == (project / "c.panel").read_bytes()
    assert 0 == tidy("c.panel", "--check").exit_code


def test_several_sorts_of_line_ends_become_the_first_and_the_difference_is_seen(
    project: Path,
) -> None:
    (project / "c.panel").write_bytes(b"lamp H1 24 V DC 2 W\nlamp H2 24 V DC 2 W\r\n")
    assert "-lamp H2 24 V DC 2 W\\r\n+lamp H2 24 V DC 2 W\n" in tidy("c.panel", "--diff").stdout
    tidy("c.panel")
    assert b"lamp H1 24 V DC 2 W\nlamp H2 24 V DC 2 W\n" == (project / "c.panel").read_bytes()


def test_a_file_that_may_not_be_written_is_left(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: False)  # nobody is root everywhere
    result = tidy("a.panel")
    assert (2, UNTIDY) == (result.exit_code, (project / "a.panel").read_text())
    assert "cannot write 'a.panel': Permission denied" in result.stderr
