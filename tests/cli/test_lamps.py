"""The command `netcheck lamps`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from tests.bench.panels import CONTROLLER, HEATER


@pytest.fixture(autouse=True)
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "mist.panel").write_text(CONTROLLER, encoding="utf-8")
    (tmp_path / "heater.panel").write_text(HEATER, encoding="utf-8")
    (tmp_path / "bad.panel").write_text(f"{CONTROLLER}  what is this\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(group, ["lamps", *arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_steps_are_told_with_what_comes_on_and_where_to_meter() -> None:
    result = run("mist.panel", "--step", "FL1 operated", "--step", "PLC1:Q1 on")
    assert 0 == result.exit_code
    assert "STEP 1: FL1 operated" in result.stdout
    assert "if not, meter PLC1:I0 to PLC1:0V: 23.9 V DC, 6 mA into it: it sinks" in result.stdout
    assert "if not, meter PLC1:Q1 to PLC1:0V: 23.9 V DC" in result.stdout


def test_a_fault_is_seen_in_the_lamps() -> None:
    result = run(
        "mist.panel", "--step", "FL1 operated", "--fault", "wire 4 open", "--output", "json=-"
    )
    lamps = json.loads(result.stdout)["steps"][1]["controllers"][0]["lamps"]
    assert [False, False, False, False] == [lamp["lit"] for lamp in lamps]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["heater.panel"], "there is no controller"),
        (["mist.panel", "--step", "FL1 sideways"], "FL1 is never `sideways`"),
        (["mist.panel", "--step", "PLC1:I0 on"], "PLC1:I0 follows what it is wired to; put that"),
        (["mist.panel", "--step", "PLC1:Q77 on"], "PLC1 has no terminal PLC1:Q77; did you mean"),
        (["mist.panel", "--step", "FL1:99 operated"], "FL1 has no terminal FL1:99"),
        (["mist.panel", "--step", "FL1:13 operated"], "say where FL1 itself is put"),
        (
            ["mist.panel", "--step", "PLC1 on"],
            "PLC1 has outputs of its own; say which: `PLC1:Q0 on`",
        ),
        (["mist.panel", "--with", "FL1 operated", "--step", "FL1 at rest"], "for good"),
        (["mist.panel", *["--step", "FL1 operated"] * 101], "more than 100"),
        (["none.panel"], ""),
        (["bad.panel"], ""),
    ],
)
def test_wrong_use_and_texts_that_cannot_be_read_are_said(arguments: list[str], words: str) -> None:
    result = run(*arguments)
    assert 2 == result.exit_code
    assert words in " ".join(result.stderr.split())
