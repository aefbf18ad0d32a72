"""The command `netcheck isolate`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from tests.bench.panels import HEATER


@pytest.fixture(autouse=True)
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "heater.panel").write_text(HEATER, encoding="utf-8")
    (tmp_path / "bad.panel").write_text(f"{HEATER}  what is this\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def isolate(*arguments: str) -> Result:
    result = CliRunner().invoke(group, ["isolate", *arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_a_device_is_told_with_what_to_lock() -> None:
    result = isolate("heater.panel", "HTR1")
    assert 0 == result.exit_code
    assert "LOCK OUT MAINS where it comes from to work on HTR1" in result.stdout
    assert "HTR1:1 to ground (MAINS:N)" in result.stdout


def test_without_a_device_every_one_is_told() -> None:
    devices = json.loads(isolate("heater.panel", "--output", "json=-").stdout)["devices"]
    assert ["MAINS", "FU1", "FU2", "HTR1"] == [one["device"] for one in devices]


def test_a_fuse_is_no_handle_to_lock() -> None:
    (_, _, _, heater) = json.loads(isolate("heater.panel", "--output", "json=-").stdout)["devices"]
    assert [] == heater["lock"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["heater.panel", "HTR2"], "there is no `HTR2`"),
        (["heater.panel", "--with", "MAINS off"], "leave --with and --fault"),
        (["none.panel"], ""),
        (["bad.panel"], ""),
    ],
)
def test_wrong_use_and_texts_that_cannot_be_read_are_said(arguments: list[str], words: str) -> None:
    result = isolate(*arguments)
    assert 2 == result.exit_code
    assert words in result.stderr
