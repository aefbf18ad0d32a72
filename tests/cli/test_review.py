"""`netcheck review` as its user meets it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli import review as module
from netcheck.cli.main import group
from netcheck.report.closing import CAUTION
from tests.cli.fake import fake_review


@pytest.fixture(autouse=True)
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of panels that is the current one, a stand-in for the engine, no settings."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(module, "review", fake_review)
    for name in ("NO_COLOR", "NETCHECK_TRACEBACK", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm")
    for name in ("sound", "danger", "defect", "query", "open", "bug"):
        (tmp_path / f"{name}.panel").write_text(f"{name}\n")
    return tmp_path


def review(*arguments: str, text: str | bytes | None = None) -> Result:
    result = CliRunner().invoke(group, ["review", *arguments], input=text)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["sound.panel"], 0),
        (["danger.panel"], 1),
        (["query.panel"], 1),
        (["query.panel", "--fail-on", "defect"], 0),
        (["defect.panel", "--fail-on", "defect"], 1),
        (["query.panel", "--severity", "defect"], 0),
        (["open.panel"], 3),
        (["open.panel", "--allow-unchecked"], 0),
        (["open.panel", "danger.panel"], 1),
        (["danger.panel", "none.panel"], 2),
        (["sound.panel", "none.panel"], 2),
        (["bug.panel"], 3),
        (["bug.panel", "danger.panel", "none.panel"], 3),
        ([], 2),
        (["sound.panel", "--fail-on", "terrible"], 2),
        (["sound.panel", "--nonsense"], 2),
        (["sound.panel", "--as", "x.panel"], 2),
        (["sound.panel", "--root", "none"], 2),
        (["sound.panel", "--root", "."], 0),
        (["sound.panel", "--output", "json"], 2),
        (["sound.panel", "--output", "json="], 2),
        (["sound.panel", "--output", "xyz=-"], 2),
        (["sound.panel", "--output", "json=-", "--output", "text=-"], 2),
    ],
)
def test_the_exit_status_says_how_the_review_ended(arguments: list[str], status: int) -> None:
    assert status == review(*arguments).exit_code


def test_without_output_the_text_goes_to_standard_output() -> None:
    result = review("danger.panel")
    assert "DANGER: `danger` is written here" in result.stdout
    assert "" == result.stderr
    assert result.stdout.endswith("\n".join(CAUTION) + "\n")


def test_what_can_be_read_is_reviewed_though_something_cannot() -> None:
    result = review("none.panel", "danger.panel")
    assert "CANNOT READ: `none.panel`: there is no such file" in result.stdout
    assert "DANGER: " in result.stdout


def test_a_panel_that_is_no_utf_8_shows_its_place(project: Path) -> None:
    (project / "sound.panel").write_bytes(b"relay K1\nrelay \xff\n")
    result = review("sound.panel")
    assert 2 == result.exit_code
    assert "byte 15, in line 2, is not UTF-8 text" in result.stdout
    assert "sound.panel, line 2, column 7" in result.stdout


def test_an_empty_folder_is_wrong_use_with_a_sentence(project: Path) -> None:
    (project / "empty").mkdir()
    result = review("empty")
    assert 2 == result.exit_code
    assert "`empty`: no file in it ends in `.panel`" in result.stdout


def test_standard_input_stands_in_for_a_file(project: Path) -> None:
    result = review("-", "--as", "sound.panel", text="danger\n")
    assert 1 == result.exit_code
    assert "sound.panel, line 1, column 1" in result.stdout
    assert "sound\n" == (project / "sound.panel").read_text()


def test_standard_input_stands_in_for_a_file_of_a_folder_too() -> None:
    result = review(
        "-", "sound.panel", "--as", "sound.panel", "--output", "json=-", text="danger\n"
    )
    document = json.loads(result.stdout)
    assert ["sound.panel"] == document["panels"]
    assert 1 == document["counts"]["danger"]


def test_standard_input_needs_no_name() -> None:
    assert "-, line 1, column 1" in review("-", text="query\n").stdout


def test_standard_input_that_is_no_text_is_a_mistake() -> None:
    result = review("-", text=b"\xff\n")
    assert 2 == result.exit_code
    assert "`-`: byte 0, in line 1, is not UTF-8 text" in result.stdout


def test_several_outputs_are_written_in_one_run(project: Path) -> None:
    result = review("danger.panel", "--output", "json=out.json", "--output", "text=-")
    assert "DANGER: " in result.stdout
    assert 1 == json.loads((project / "out.json").read_text())["counts"]["danger"]


def test_json_on_standard_output_is_nothing_but_json() -> None:
    result = review("danger.panel", "none.panel", "bug.panel", "--output", "json=-")
    document = json.loads(result.stdout)
    assert ["`none.panel`: there is no such file"] == [m["message"] for m in document["mistakes"]]
    assert 1 == document["counts"]["danger"]


def test_a_report_in_a_file_leaves_its_counts_on_standard_error() -> None:
    result = review("danger.panel", "--output", "json=out.json")
    assert "" == result.stdout
    assert (
        "1 danger, 0 defects, 0 queries; 0 not checked, 0 not decided, 0 accepted\n"
        == result.stderr
    )
    assert "" == review("danger.panel", "--output", "json=out.json", "--quiet").stderr


def test_quiet_shows_findings_and_the_counts_of_the_rest() -> None:
    result = review("open.panel", "danger.panel", "--quiet")
    assert "DANGER: " in result.stdout
    assert "NOT CHECKED" not in result.stdout
    assert "1 not checked" in result.stdout


@pytest.mark.parametrize("target", ["sound.panel", "SOUND.PANEL", "new.panel", "link", "."])
def test_no_output_is_written_over_a_panel_or_a_folder(project: Path, target: str) -> None:
    (project / "link").symlink_to("sound.panel")
    result = review("danger.panel", "--output", f"json={target}")
    assert 2 == result.exit_code
    assert "" == result.stdout
    assert "sound\n" == (project / "sound.panel").read_text()
    assert not (project / "new.panel").exists()


def test_no_output_is_written_over_an_input_of_another_name(project: Path) -> None:
    (project / "pump.txt").write_text("danger\n")
    assert 2 == review("pump.txt", "--output", "text=./pump.txt").exit_code
    assert "danger\n" == (project / "pump.txt").read_text()


def test_no_output_takes_the_place_of_a_device() -> None:
    assert 2 == review("sound.panel", "--output", "json=/dev/null").exit_code
    assert Path("/dev/null").is_char_device()


def test_an_output_that_cannot_be_written_is_2_and_the_others_are_still_written() -> None:
    result = review("danger.panel", "--output", "json=none/out.json", "--output", "text=-")
    assert 2 == result.exit_code
    assert "cannot write 'none/out.json': No such file or directory" in result.stderr
    assert "DANGER: " in result.stdout


def test_colour_is_used_when_asked_for_by_either_spelling() -> None:
    for option in ("--colour", "--color"):
        assert "\x1b[" in review("danger.panel", option, "always").stdout
        assert "\x1b[" not in review("danger.panel", option, "never").stdout


def test_no_colour_reaches_a_pipe_or_a_file(project: Path) -> None:
    result = review(
        "danger.panel", "--colour", "always", "--output", "text=out", "--output", "text=-"
    )
    assert "\x1b[" in result.stdout
    assert "\x1b[" not in (project / "out").read_text()
    assert "\x1b[" not in review("danger.panel").stdout


def test_a_fault_in_netcheck_keeps_what_other_panels_drew_and_says_which_input() -> None:
    result = review("query.panel", "bug.panel", "danger.panel")
    assert 3 == result.exit_code
    assert result.stdout.index("DANGER: ") < result.stdout.index("QUERY: ")
    assert "NOT DECIDED: a fault in netcheck itself ended this review" in result.stdout
    assert "while reviewing `bug.panel` (KeyError: " in result.stderr
    assert "report" in result.stderr


def test_a_fault_in_netcheck_shows_no_traceback_unless_asked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    result = review("bug.panel")
    assert "Traceback" not in result.output
    assert "\x1b" not in result.output
    monkeypatch.setenv("NETCHECK_TRACEBACK", "1")
    assert "Traceback" in review("bug.panel").stderr


def test_the_help_says_what_the_exit_statuses_mean() -> None:
    text = review("-h").stdout
    for line in ("0  nothing found", "1  findings", "2  wrong use", "3  no such finding"):
        assert line in text
