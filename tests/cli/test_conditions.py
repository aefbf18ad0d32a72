"""`netcheck conditions` as its user meets it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from netcheck.report.closing import CAUTION
from tests.report.condition_panels import HEAD, PANELS

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, text in PANELS.items():
        (tmp_path / f"{name.replace(' ', '-')}.panel").write_text(HEAD + text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def conditions(*arguments: str, given: str | None = None) -> Result:
    result = CliRunner().invoke(group, ["conditions", *arguments], input=given)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_every_load_is_told_and_the_run_ends_with_nothing_left_open() -> None:
    result = conditions("held.panel")
    assert 0 == result.exit_code
    assert 'M1 "Pump", motor\n  runs            while K1 is in\n' in result.stdout
    assert result.stdout.endswith("\n".join(CAUTION) + "\n")


def test_only_the_load_asked_for_and_its_relays_are_told() -> None:
    result = conditions("held.panel", "M1")
    assert "K1, contactor" in result.stdout
    assert "H1" not in result.stdout


def test_a_terminal_names_one_load_of_a_device() -> None:
    result = conditions("latching.panel", "K1:A3")
    assert "K1:A3-A4, latching relay, coil" in result.stdout
    assert "K1:A1-A2" not in result.stdout


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("M2", "there is no `M2` in 'held.panel'; did you mean `M1`?"),
        ("S1", "`S1` is no load (button): nothing in it takes current"),
        ("M1:T3", "`M1` has no terminal `M1:T3`; did you mean `M1:T2`?"),
    ],
)
def test_a_name_that_is_no_load_is_wrong_use(name: str, words: str) -> None:
    result = conditions("held.panel", name)
    assert 2 == result.exit_code
    assert words in result.stderr


@pytest.mark.parametrize("name", ["chattering.panel", "in-series.panel"])
def test_what_is_not_decided_leaves_the_run_open(name: str) -> None:
    assert 3 == conditions(name).exit_code


def test_what_cannot_be_read_is_shown_with_what_can() -> None:
    result = conditions("-", "--as", "a.panel", given=HEAD + PANELS["held"] + "lampe H9\n")
    assert 2 == result.exit_code
    assert "CANNOT READ" in result.stdout
    assert "runs            while K1 is in" in result.stdout


def test_a_text_without_devices_is_wrong() -> None:
    result = conditions("-", given='panel "Nothing"\n')
    assert 2 == result.exit_code
    assert "this text describes no device" in result.stdout


def test_a_file_that_is_not_there_is_wrong() -> None:
    result = conditions("missing.panel")
    assert 2 == result.exit_code
    assert "there is no such file" in result.stdout


def test_a_folder_is_no_panel() -> None:
    result = conditions(".")
    assert 2 == result.exit_code
    assert "is a folder; name one panel" in result.stderr


def test_the_name_of_a_text_needs_the_text_from_standard_input() -> None:
    assert "give `-` as PANEL" in conditions("held.panel", "--as", "x.panel").stderr


def test_json_goes_to_a_file_and_text_to_the_screen() -> None:
    result = conditions("held.panel", "--output", "json=out.json", "--output", "text=-")
    assert 0 == result.exit_code
    read = json.loads(Path("out.json").read_text(encoding="utf-8"))
    assert "held.panel" == read["panel"]
    assert 4 == read["counts"]["loads"]
    assert "while K1 is in" in result.stdout


def test_no_panel_is_written_over() -> None:
    before = Path("held.panel").read_bytes()
    result = conditions("held.panel", "--output", "text=held.panel")
    assert 2 == result.exit_code
    assert before == Path("held.panel").read_bytes()


def test_an_output_that_cannot_be_written_is_said() -> None:
    result = conditions("held.panel", "--output", "json=nowhere/out.json")
    assert 2 == result.exit_code
    assert "cannot write 'nowhere/out.json'" in result.stderr


def test_names_that_steer_a_terminal_are_shown_as_escapes() -> None:
    text = HEAD + 'lamp H1 "a\x9b31mb" 120 V AC\ncircuit\n  MAINS:L -- H1 -- MAINS:N\n'
    assert "\x9b" not in conditions("-", given=text).stdout


def test_a_review_does_not_load_what_only_conditions_need() -> None:
    code = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r});"
        "from netcheck.cli.main import run; run(['review', 'held.panel']);"
        "own = ('netcheck.report.condition', 'netcheck.states.conditions');"
        "print([name for name in sys.modules if name.startswith(own)])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "[]" == done.stdout.splitlines()[-1]
