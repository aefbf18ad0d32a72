"""`netcheck diagnose` as its user meets it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from tests.bench.panels import ALL

SEEN = """\
# seen this morning
Y1 does not open with S2 pressed
K1:A1 to K1:A2 0 V with S2 pressed     # black lead on A2
"""


@pytest.fixture(autouse=True)
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "valve.panel").write_text(ALL["valve"], encoding="utf-8")
    (tmp_path / "seen.txt").write_text(SEEN, encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def diagnose(*arguments: str, given: str | None = None) -> Result:
    result = CliRunner().invoke(group, ["diagnose", *arguments], input=given)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_a_file_of_symptoms_gives_suspects_and_the_next_reading() -> None:
    result = diagnose("valve.panel", "seen.txt")
    assert 0 == result.exit_code
    assert "9 SUSPECTS: single faults that explain all, of 24 tried" in result.stdout
    assert "METER NEXT: FU1:2 to E1:0V (panel), with S2 pressed" in result.stdout
    assert "  FU1 blown\n" in result.stdout


def test_symptoms_may_be_said_in_the_command_and_no_fault_be_needed() -> None:
    result = diagnose("valve.panel", "--saw", "Y1 is off")
    assert 0 == result.exit_code
    assert "NO FAULT NEEDED: as drawn" in result.stdout
    assert "METER NEXT" not in result.stdout


def test_a_line_that_could_not_be_read_may_be_why_no_fault_is_needed() -> None:
    text = ALL["valve"].replace("button S2", "buton S2")
    Path("misread.panel").write_text(text, encoding="utf-8")
    result = diagnose("misread.panel", "--saw", "Y1 is off")
    assert 2 == result.exit_code
    assert "NO FAULT NEEDED IN WHAT WAS READ: mend the text first" in result.stdout
    assert "as drawn" not in result.stdout


def test_what_is_told_below_a_line_that_was_not_read_is_told_of_what_was() -> None:
    text = ALL["valve"].replace('valve Y2 "Drip"', 'valv Y2 "Drip"')
    Path("misread.panel").write_text(text, encoding="utf-8")
    some = diagnose("misread.panel", "--saw", "K1 is off with S2 pressed").stdout
    assert " tried in what was read\n" in some
    seen = ("--saw", "K1 is off with S2 pressed", "--saw", "FU1:2 to E1:0V 12 V with S2 pressed")
    none = diagnose("misread.panel", *seen, "--saw", "K1:A1 to E1:0V 24 V with S2 pressed").stdout
    assert "tried in what was read explains all of it: mend the text first" in none


def test_what_no_single_fault_explains_leaves_the_diagnosis_open() -> None:
    result = diagnose(
        "valve.panel", "--saw", "Y1 is off with S2 pressed",
        "--saw", "K1:A1 to K1:A2 120 V AC with S2 pressed",
    )  # fmt: skip
    assert 3 == result.exit_code
    assert "READINGS THAT CANNOT BE" in result.stdout
    assert "nothing drawn gives so many volts AC" in " ".join(result.stdout.split())


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["valve.panel"], "nothing was seen"),
        (["valve.panel", "--saw", "Y11 is off"], "there is no device Y11; did you mean `Y1`?"),
        (["valve.panel", "none.txt"], "cannot read 'none.txt'"),
        (["valve.panel", "."], "'.' is a folder"),
        (["valve.panel", "seen.txt", "--fault", "K1 welded"], "leave --fault away"),
        (["valve.panel", "--saw", "K1:A1 to K1:A2 24 bananas"], "`24 bananas` is no voltage"),
        (["valve.panel", "--saw", "K1:A1 to K1:A2 192 ohm"], "`192 ohm` is no voltage"),
        (["valve.panel", "--saw", "K1:A1 to K1:A2 with S2 pressed"], "write one like `24 V DC`"),
        (["valve.panel", "everything is off"], "write --saw 'everything is off'"),
        (["valve.panel", "--saw", "K1:A1 to K1:A1 0 V"], "both leads are on K1:A1"),
        (["valve.panel", "--saw", "FU1 is blown"], "write `FU1 blows` or `FU1 blows when"),
        (["valve.panel", "--saw", "wire 204 seen"], "say what is wrong as well"),
        (["valve.panel", "--saw", "wire 204 sene"], "did you mean `seen`?"),
        (["-", "-"], "only one of them can be read from standard input"),
    ],
)
def test_wrong_use_is_told(arguments: list[str], words: str) -> None:
    result = diagnose(*arguments)
    assert 2 == result.exit_code
    assert words in " ".join(result.stderr.split())


def test_a_line_that_says_nothing_is_named_by_its_place(tmp_path: Path) -> None:
    (tmp_path / "bad.txt").write_bytes(b"\n# fine\nY1 sings\x1b[2J\n")
    result = diagnose("valve.panel", "bad.txt")
    assert 2 == result.exit_code
    assert "bad.txt, line 3: `Y1 sings" in result.stderr
    assert "\x1b" not in result.stderr


@pytest.mark.parametrize("change", [("\n", "\r\n"), ("# seen", "\ufeff# seen")])
def test_line_ends_and_marks_of_other_systems_change_nothing(change: tuple[str, str]) -> None:
    before = diagnose("valve.panel", "seen.txt").stdout
    Path("seen.txt").write_bytes(SEEN.replace(*change).encode())
    assert before == diagnose("valve.panel", "seen.txt").stdout


def test_a_byte_order_mark_before_the_first_symptom_is_no_part_of_its_name() -> None:
    Path("seen.txt").write_bytes(("\ufeff" + SEEN.split("\n", 1)[1]).encode())
    assert 0 == diagnose("valve.panel", "seen.txt").exit_code


def test_symptoms_are_read_from_standard_input_too() -> None:
    from_file = diagnose("valve.panel", "seen.txt").stdout
    assert from_file == diagnose("valve.panel", "-", given=SEEN).stdout
    nothing = diagnose("valve.panel", "-", "--ask", given="")
    assert 2 == nothing.exit_code
    assert "--ask needs standard input" in nothing.stderr


def test_json_lists_every_suspect() -> None:
    result = diagnose("valve.panel", "seen.txt", "--output", "json=-")
    document = json.loads(result.stdout)
    assert 9 == len(document["diagnosis"]["suspects"])
    assert "FU1:2" == document["diagnosis"]["next"]["red"]  # S1 is on the door


def test_of_a_text_that_cannot_be_read_no_state_is_told() -> None:
    result = diagnose("-", "--saw", "K1 is out", given="nothing")
    assert 2 == result.exit_code
    assert "CANNOT READ" in result.stdout
    assert "\nstate " not in result.stdout


def test_a_wire_found_different_is_the_verdict_where_nothing_else_was_told() -> None:
    result = diagnose("valve.panel", "--saw", "wire 204 different")
    assert "THE TEXT IS WRONG" in result.stdout.splitlines()[0]
    assert "text wrong wire 204 different" in result.stdout
    assert "LIVE up to 0 V" not in result.stdout
    assert "does just that" not in result.stdout


def test_of_an_input_s_lamp_it_is_taken_that_its_controller_works() -> None:
    Path("controller.panel").write_text(ALL["controller"], encoding="utf-8")
    result = diagnose("controller.panel", "--saw", "PLC1:I0 is dark with FL1 operated")
    assert 0 == result.exit_code
    assert "METER NEXT: " in result.stdout
    assert "assumed    PLC1 itself works: if not, say `PLC1 is off` instead" in result.stdout


def test_of_a_fuse_that_blows_it_is_taken_that_it_does_as_power_comes() -> None:
    result = diagnose("valve.panel", "--saw", "FU1 blows")
    assert "assumed    `FU1 blows` as soon as there is power: if only later, add" in result.stdout
    later = diagnose("valve.panel", "--saw", "FU1 blows when K1 pulls in")
    assert "as soon as there is power" not in later.stdout
