"""The command `netcheck isolate`."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

import netcheck.bench
from netcheck.cli.main import group
from tests.bench.panels import HEATER, SAMPLES, VALVE

SCHEMA = json.loads(
    (Path(netcheck.bench.__path__[0]) / "isolate.schema.json").read_text(encoding="utf-8")
)


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
    assert "HTR1:1 to ground (HTR1:PE)" in result.stdout


def test_without_a_device_every_one_is_told() -> None:
    devices = json.loads(isolate("heater.panel", "--output", "json=-").stdout)["devices"]
    assert ["MAINS", "FU1", "FU2", "HTR1"] == [one["device"] for one in devices]


def test_what_is_still_live_with_a_breaker_open_is_told_by_its_volts() -> None:
    two_houses = str(SAMPLES / "two_houses.panel")
    arguments = ["--opened", "A.CB1", "--opened", "A.CB2"]
    shown = isolate(two_houses, *arguments).stdout
    assert shown.startswith("STILL LIVE with A.CB1 and A.CB2 open\n  240 V AC    from A.EA: A.EA,")
    assert "  24 V DC     from B.EB: A.K1 (at A.K1:13, A.K1:14)," in shown
    assert "dead       by the drawing, prove it: A.PS1, A.FU1, A.OL1, A.M1, A.S1" in shown
    assert "AC and DC" not in shown
    document = json.loads(isolate(two_houses, *arguments, "--output", "json=-").stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    assert ["A.CB1", "A.CB2"] == document["opened"]["handles"]
    assert "A.M1" in document["opened"]["dead"]


def test_at_a_battery_no_lock_is_told_that_is_elsewhere() -> None:
    """It is live wherever it stands: fact of the trade."""
    frost_guard = str(SAMPLES / "frost_guard.panel")
    shown = isolate(frost_guard, "BT1", "--points").stdout
    assert "no lock opens BT1: live as long as its links are on" in shown
    assert "lock BT1 where" not in shown
    document = json.loads(isolate(frost_guard, "--points", "--output", "json=-").stdout)
    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    feeds = [feed for point in document["points"] for feed in point["sources"]]
    assert {feed["source"] for feed in feeds if feed["battery"]} == {"BT1", "BT2"}


def test_a_fuse_is_no_handle_to_lock() -> None:
    (_, _, _, heater) = json.loads(isolate("heater.panel", "--output", "json=-").stdout)["devices"]
    assert [] == heater["lock"]


def test_what_is_still_live_with_a_fuse_out_is_told_and_that_it_is_no_lock() -> None:
    shown = isolate("heater.panel", "--opened", "FU1", "--opened", "FU2").stdout
    assert shown.startswith("STILL LIVE with FU1 and FU2 open\n")
    assert "dead       by the drawing, prove it: HTR1\n" in shown
    assert "no lock    FU1 and FU2 out: a fuse holder is seldom made to be locked" in shown


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["heater.panel", "HTR2"], "there is no `HTR2`"),
        (["heater.panel", "--with", "MAINS off"], "leave --with and --fault"),
        (["heater.panel", "--opened", "HTR1"], "`HTR1` (heater) is nothing to open by hand"),
        (["heater.panel", "--opened", "CB1"], "there is no `CB1`"),
        (["heater.panel", "HTR1", "--opened", "FU1"], "leave DEVICE and --points"),
        (["none.panel"], ""),
        (["bad.panel"], ""),
    ],
)
def test_wrong_use_and_texts_that_cannot_be_read_are_said(arguments: list[str], words: str) -> None:
    result = isolate(*arguments)
    assert 2 == result.exit_code
    assert words in result.stderr


def test_with_a_line_that_was_not_read_nothing_is_called_dead_or_complete(tmp_path: Path) -> None:
    slip = (
        'panel "Slip"\nsource MAINS 120 V AC 60 Hz, neutral bonded here\nbreaker CB1 15 A\n'
        "breaker CB2 15 amperes\nlamp H1 120 V AC 40 W\nlamp H2 120 V AC 40 W\n"
        'circuit "Light"\n  MAINS:L --1-- CB1 --2-- H1 --N-- MAINS:N\n'
        "  MAINS:L --1-- CB2 --3-- H2 --N-- MAINS:N\n"
    )
    (tmp_path / "slip.panel").write_text(slip)
    path = str(tmp_path / "slip.panel")
    for arguments in ([], ["H2"], ["H1"], ["--points"], ["--opened", "CB1"]):
        shown = isolate(path, *arguments).stdout
        assert "never live" not in shown
        assert "by the drawing, prove it" not in shown
        assert "NOTHING REACHES" not in shown
    assert "NOT TOLD: nothing that was read reaches H2: mend" in isolate(path, "H2").stdout
    assert "this list is not complete" in isolate(path, "H1").stdout
    assert "not told   nothing that was read reaches H1" in isolate(path, "--opened", "CB1").stdout


def test_what_could_not_be_read_is_no_ground_to_call_anything_dead(tmp_path: Path) -> None:
    """The fuse that feeds it all is left out, so that nothing reaches K1."""
    panel = tmp_path / "slip.panel"
    panel.write_text(VALVE.replace("fuse FU1 2 A", "fuse FU1 2 Amps"), encoding="utf-8")
    for arguments in (["K1"], ["--points"], []):
        result = CliRunner().invoke(group, ["isolate", str(panel), *arguments])
        assert 2 == result.exit_code
        first, _, rest = result.stdout.partition("left out below: it may be live")
        assert "CANNOT READ" in first
        assert "K1" in rest
