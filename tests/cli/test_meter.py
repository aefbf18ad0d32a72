"""`netcheck meter` as its user meets it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from tests.bench.panels import ALL, SAMPLES


@pytest.fixture(autouse=True)
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, text in ALL.items():
        (tmp_path / f"{name}.panel").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def meter(*arguments: str, given: str | None = None) -> Result:
    result = CliRunner().invoke(group, ["meter", *arguments], input=given)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_every_terminal_is_read_against_the_grounded_pole() -> None:
    result = meter("valve.panel")
    assert 0 == result.exit_code
    assert "black lead on E1:0V throughout" in result.stdout
    assert "24 V DC     LIVE E1:+, FU1:1  (wire 201)" in result.stdout


def test_two_points_are_read_with_each_to_ground() -> None:
    result = meter("heater.panel", "--between", "HTR1:1", "HTR1:2", "--fault", "FU1 blown")
    assert 0 == result.exit_code
    assert "HTR1:1 to HTR1:2: 0 V" in result.stdout
    assert "0 V between them, and yet both are LIVE" in result.stdout


def test_0_v_across_a_fuse_is_told_to_prove_nothing() -> None:
    result = meter("valve.panel", "--between", "FU1:1", "FU1:2")
    assert "FU1 1-2 is closed here" in result.stdout
    assert "this reading proves nothing" in result.stdout


def test_only_what_is_named_is_read_against_what_is_named() -> None:
    result = meter("valve.panel", "K1:A1", "--against", "E1:+", "--with", "S2 pressed")
    assert "black lead on E1:+ throughout" in result.stdout
    assert "0 V         LIVE K1:A1  (wire 204, 206)" in result.stdout
    assert "Y1" not in result.stdout


def test_a_wire_is_a_point_too() -> None:
    result = meter("valve.panel", "wire 204", "--with", "S2 pressed")
    assert "S2:14, K1:A1" in result.stdout


def test_power_off_reads_ohms_and_says_what_to_lock_out() -> None:
    result = meter("valve.panel", "--off", "Y1")
    assert 0 == result.exit_code
    assert "Y1:1 to Y1:2, in circuit: 36 ohm" in result.stdout
    assert "rings too  through Y2 1-2" in result.stdout
    assert "lock out   E1 where it comes from: tag, prove dead" in result.stdout
    assert "LIVE" not in result.stdout


def test_power_off_a_switch_a_fuse_and_a_wire_are_rung_out_and_nothing_else() -> None:
    """What has no load in it was passed over, and every load of the panel told instead."""
    stop = meter("valve.panel", "--off", "S1")
    assert "S1:11 to S1:12, in circuit: less than 1 ohm\n" in stop.stdout
    assert "Y1" not in stop.stdout
    start = meter("valve.panel", "--off", "S2").stdout
    assert "S2:13 to S2:14, in circuit: open circuit" in start
    wire = meter("valve.panel", "--off", "wire 203").stdout
    assert "S1:12 to S2:13, in circuit: less than 1 ohm" in wire
    assert "S2:14" not in wire
    relay = meter("valve.panel", "--off", "K1").stdout
    assert "K1:A1 to K1:A2, in circuit: 192 ohm" in relay  # 24 V squared by 3 W
    assert "K1:23 to K1:24, in circuit: open circuit" in relay
    broken = meter("valve.panel", "--off", "wire 203", "--fault", "wire 203 open")
    assert "S1:12 to S2:13, in circuit: open circuit" in broken.stdout
    nothing = meter("valve.panel", "--off", "E1:PE")
    assert 3 == nothing.exit_code
    assert "nothing to read there: name two terminals" in nothing.stdout


def test_ungrounded_poles_are_both_live() -> None:
    text = ALL["valve"].replace("0V grounded", "0V floating")
    result = meter("-", "E1", given=text)
    assert "24 V DC     LIVE E1:+" in result.stdout
    assert "0 V         LIVE E1:0V" in result.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["valve.panel", "K11"], "there is no `K11` in 'valve.panel'; did you mean `K1`?"),
        (["valve.panel", "K1:A3"], "did you mean `K1:A2`?"),
        (["valve.panel", "wire 240"], "there is no wire 240"),
        (["valve.panel", "--between", "K1", "Y1"], "`K1` has several terminals; say which"),
        (["valve.panel", "--off", "--clamp"], "--off reads ohms"),
        (
            ["valve.panel", "--clamp", "--between", "K1:A1", "K1:A2"],
            "--clamp goes round a conductor",
        ),
        (["valve.panel", "--clamp", "--against", "K1:A1"], "--clamp goes round a conductor"),
        (["valve.panel", "--between", "K1:A1", "K1:A1"], "both leads are on K1:A1"),
        (["valve.panel", "wire \x1b[2J"], "there is no wire \\x1b[2J"),
        (["valve.panel", "--against", "K1:A1", "--between", "K1:A1", "K1:A2"], "names both leads"),
    ],
)
def test_wrong_use_is_told_with_near_names(arguments: list[str], words: str) -> None:
    result = meter(*arguments)
    assert 2 == result.exit_code
    assert words in " ".join(result.stderr.split())


def test_json_tells_amperes_of_each_conductor() -> None:
    result = meter("heater.panel", "--clamp", "--output", "json=-")
    document = json.loads(result.stdout)
    grounding = [one for one in document["conductors"] if one["grounding"]]
    assert [0.0] == [one["current_a"] for one in grounding]


def test_points_without_volts_are_not_called_live_up_to_nothing() -> None:
    """0 V proves nothing: the line says so, instead of a highest voltage of 0 V."""
    greenhouse = str(SAMPLES / "greenhouse.panel")
    result = meter(greenhouse, "K1:A1", "K1:A2")
    assert "up to 0 V" not in result.stdout
    assert "nothing reads volts here in this state; that proves no point dead" in result.stdout


def test_points_that_only_float_are_told_as_not_proved_dead() -> None:
    greenhouse = str(SAMPLES / "greenhouse.panel")
    result = meter(greenhouse, "HTR1", "--with", "S0 pressed")
    assert "floats: nothing joins it to MAINS:N; a 10 Mohm meter may show ghost" in result.stdout
    assert "low impedance: 0 V" in result.stdout
    assert "nothing reads volts here in this state; that proves no point dead" in result.stdout


def test_a_panel_in_which_no_wire_carries_amperes_says_so_of_all() -> None:
    result = meter("valve.panel", "K1", "--clamp")
    (row,) = [line for line in result.stdout.splitlines() if line.startswith("0 A")]
    assert row.split(maxsplit=2)[2].startswith("in all ")
    some = meter("valve.panel", "--clamp", "--with", "S2 pressed")
    assert "in all" not in some.stdout


def test_of_a_text_that_cannot_be_read_no_state_is_told() -> None:
    for off in ([], ["--off"]):
        result = meter("-", *off, given="nothing")
        assert 2 == result.exit_code
        assert "\nstate " not in result.stdout
        assert "POWER OFF" not in result.stdout
