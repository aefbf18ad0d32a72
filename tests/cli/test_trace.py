"""`netcheck trace` as its user meets it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from tests.bench.panels import ALL


@pytest.fixture(autouse=True)
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, text in ALL.items():
        (tmp_path / f"{name}.panel").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def trace(*arguments: str, given: str | None = None) -> Result:
    result = CliRunner().invoke(group, ["trace", *arguments], input=given)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_a_load_is_traced_with_what_it_wants_and_how_to_get_it() -> None:
    result = trace("valve.panel", "K1")
    assert 0 == result.exit_code
    assert "OPEN: K1 is off, as meant now: S2 13-14 (S2 is released)" in result.stdout
    assert "wants      pulls in when S2 is pressed" in result.stdout
    assert "to turn on from this state: press S2, hold" in result.stdout
    assert "every switch at rest" in result.stdout


@pytest.mark.parametrize(
    "command",
    [
        ["trace", "slip.panel", "Y1"],
        ["trace", "slip.panel", "K1", "--fault", "Y1 open"],
        ["meter", "slip.panel", "--with", "Y1 on"],
        ["diagnose", "slip.panel", "--saw", "Y1 is off"],
        ["isolate", "slip.panel", "Y1"],
    ],
)
def test_a_name_that_stands_on_a_line_that_could_not_be_read_is_told_with_that_line(
    command: list[str],
) -> None:
    """Else `did you mean` sends the reader after a name that is right."""
    Path("slip.panel").write_text(ALL["valve"].replace("valve Y1", "vlave Y1"), encoding="utf-8")
    result = CliRunner().invoke(group, command)
    assert 2 == result.exit_code
    assert "mistakes in the text, slip.panel, line 8: `vlave` begins no statement" in result.stderr


def test_what_is_supposed_is_said_first() -> None:
    result = trace("valve.panel", "K1", "--with", "S2 pressed", "--fault", "wire 204 open")
    assert result.stdout.startswith("SUPPOSED with S2 pressed: not as drawn\n")
    assert "OPEN: K1 is not reached: wire 204 is open" in result.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["valve.panel", "K11"], "there is no `K11` in 'valve.panel'; did you mean `K1`?"),
        (["valve.panel", "S1"], "`S1` is no load (button): nothing in it takes current"),
        (["valve.panel", "K1:A3"], "`K1` has no terminal `K1:A3`; did you mean `K1:A2`?"),
        (["valve.panel", "K1:13"], "no load of `K1` ends at `K1:13`"),
        (["valve.panel", "K1", "--fault", "wire 240 open"], "there is no wire 240"),
        (["valve.panel", "K1", "--with", "S2 pushed"], "S2 is never `pushed`"),
        (["valve.panel", "K1", "--as", "a.panel"], "give `-` as PANEL"),
        (["."], "Missing argument"),
    ],
)
def test_wrong_use_is_told_with_near_names(arguments: list[str], words: str) -> None:
    result = trace(*arguments)
    assert 2 == result.exit_code
    assert words in " ".join(result.stderr.split())


def test_standard_input_is_read_under_the_name_it_is_given() -> None:
    result = trace("-", "K1", "--as", "valve.panel", given=ALL["valve"])
    assert 0 == result.exit_code


def test_a_line_with_a_mistake_is_told_and_the_rest_traced() -> None:
    result = trace("-", "Y1", given=ALL["valve"] + "lamp H1 24 W\n")
    assert 2 == result.exit_code
    assert "CANNOT READ: H1 says no voltage" in result.stdout
    assert "PROBE SHEET for Y1 1-2" in result.stdout


def test_of_a_text_that_was_not_read_to_the_whole_nothing_is_proved() -> None:
    """The fuse stands on a line that cannot be read, and with it go the wires to it."""
    result = trace("-", "Y1", given=ALL["valve"].replace("fuse FU1 2 A", "fuse FU1 2 Amps"))
    assert 2 == result.exit_code
    assert "OPEN: nothing that was read feeds Y1" in result.stdout
    assert "nothing of what was read energises it: mend the text first" in result.stdout
    assert "proved" not in result.stdout
    assert "never" not in result.stdout.partition("to turn on")[0]
    assert "as drawn" not in result.stdout


def test_json_goes_to_a_file_and_text_to_the_screen(tmp_path: Path) -> None:
    result = trace("valve.panel", "Y2", "--output", "json=y2.json", "--output", "text=-")
    document = json.loads((tmp_path / "y2.json").read_text(encoding="utf-8"))
    assert 0 == result.exit_code
    assert ["Y2 1-2"] == [load["load"] for load in document["loads"]]
    assert "PROBE SHEET for Y2 1-2" in result.stdout


def test_a_relay_that_never_rests_leaves_the_trace_open() -> None:
    text = (
        'panel "Buzzer"\nsource MAINS 24 V DC\nrelay K1 coil 24 V DC 1 W; normally closed 11-12\n'
        'circuit "Buzzer"\n  MAINS:+ -- K1:11-12 -- K1:A1-A2 -- MAINS:0V\n'
    )
    result = trace("-", "K1", given=text)
    assert 3 == result.exit_code
    assert "relays do not come to rest" in result.stdout


def test_a_dead_short_leaves_the_readings_open() -> None:
    text = (
        'panel "Short"\nsource MAINS 24 V DC\nswitch SS1 normally open 1-2\nlamp H1 24 V DC 1 W\n'
        'circuit "Short"\n  MAINS:+ -- SS1 -- MAINS:0V\n  MAINS:+ -- H1 -- MAINS:0V\n'
    )
    result = trace("-", "H1", "--with", "SS1 on", given=text)
    assert 3 == result.exit_code
    assert "a dead short" in result.stdout


def test_what_can_never_be_on_as_the_panel_stands_is_said_in_a_sentence() -> None:
    result = trace("valve.panel", "K1", "--with", "E1 off")
    assert "wants      in this panel, as it stands, never" in result.stdout


def test_a_panel_without_a_load_says_so(tmp_path: Path) -> None:
    alone = tmp_path / "battery.panel"
    alone.write_text("battery BT1 12 V DC, 10 A available\n", encoding="utf-8")
    result = trace(str(alone), "H1")
    assert 2 == result.exit_code
    assert "nothing in it takes current" in " ".join(result.stderr.split())
