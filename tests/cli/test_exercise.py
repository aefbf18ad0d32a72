"""`netcheck exercise` as its user meets it: a dialogue, line by line."""

from __future__ import annotations

import re
from pathlib import Path

from click.testing import CliRunner, Result

from netcheck.cli.main import group
from tests.bench.panels import SAMPLES, VALVE

SHED = SAMPLES / "potting_shed.panel"


def exercise(*arguments: str, answers: str = "", panel: Path = SHED) -> Result:
    result = CliRunner().invoke(group, ["exercise", str(panel), *arguments], input=answers)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def lines(result: Result) -> list[str]:
    return [line.removeprefix("do> ") for line in result.stdout.splitlines()]


def fault_of(*arguments: str) -> str:
    (told,) = [line for line in lines(exercise(*arguments)) if line.startswith("given up: ")]
    return told.removeprefix("given up: ")


def test_the_fault_is_named_by_its_words_and_the_run_ends_well() -> None:
    given = ("--difficulty", "hard", "--seed", "4")
    fault = fault_of(*given)
    result = exercise(*given, answers=f"meter MAINS:L1 MAINS:N\nname {fault}\nlook\n")
    assert 0 == result.exit_code
    told = lines(result)
    assert f"found: {fault}" in told
    assert "safe work: nothing missed" in told
    assert any(
        line.startswith("readings taken: 1; of the 40 faults that it may be, the best ")
        for line in told
    )
    assert not any(line.startswith("switches: ") for line in told)


def test_a_fault_has_a_number_in_the_list_and_a_wrong_one_is_told() -> None:
    given = ("--seed", "1")
    fault = fault_of(*given)
    listed = [line.strip() for line in lines(exercise(*given, answers="faults\nquit\n"))]
    numbered = dict(line.split("  ", 1) for line in listed if line[:1].isdigit() and "  " in line)
    (right,) = [number for number, words in numbered.items() if words == fault]
    wrong = next(number for number, words in numbered.items() if "burned out" in words)
    result = exercise(*given, answers=f"name {wrong}\nname {right}\n")
    assert 0 == result.exit_code
    assert any(line.startswith("not ") for line in lines(result))
    assert "hints: 0; named wrongly: 1" in lines(result)


def test_giving_up_tells_the_fault_and_is_not_found() -> None:
    result = exercise("--seed", "1", answers="hint\nquit\n")
    assert 3 == result.exit_code
    assert any(line.startswith("hint 1: do what should make it work") for line in lines(result))
    assert any(line.startswith("given up: ") for line in lines(result))


def test_switches_are_operated_in_words_and_what_follows_is_told() -> None:
    answers = "press S0\nES1 pushed\nES1 reset\nMAINS off\nlook\n"
    told = lines(exercise("--seed", "1", answers=answers))
    assert "press S0; K0 pulls in" in told
    assert any(line.startswith("push ES1; K0 drops out") for line in told)
    assert "on: nothing" in told
    assert any(line.startswith("switches: MAINS off") for line in told)


def test_ohms_are_refused_on_what_is_live_and_told_at_the_end() -> None:
    told = lines(exercise("--seed", "1", answers="ohms MAINS:L1 MAINS:N\nquit\n"))
    assert any(re.match(r"refused: MAINS:L1 stands \d+ V AC against ", line) for line in told)
    assert "  asked for ohms on a live circuit" in told


REFUSED = {
    "K0 in": "K0 follows its coil",
    "K0 runs out": "K0 does not run",
    "S9 runs out": "there is no timer S9",
    "S1 sideways": "S1 is never `sideways`",
    "Q77 off": "there is no device Q77",
    "meter M1:U": "name two terminals",
    "meter M1:U M1:Q": "`M1` has no terminal `M1:Q`",
    "meter M1 PS1:0V": "`M1` has several terminals",
    "name 999": "none of the `faults`",
    "name \x1b[2J": "none of the `faults`",
    "\x1b[2J off": "there is no device \\x1b[2J",
    "press": "says no position",
}


def test_what_is_not_understood_is_said_and_changes_nothing() -> None:
    result = exercise("--seed", "1", answers="\n".join([*REFUSED, "quit\n"]))
    refused = [line for line in lines(result) if line.startswith("not taken: ")]
    assert len(REFUSED) == len(refused)
    for line, words in zip(refused, REFUSED.values(), strict=True):
        assert words in line
        assert line.isprintable()


def test_without_a_number_one_is_drawn_and_told() -> None:
    first = lines(exercise(answers="quit\n"))[0]
    seed = first.partition("number ")[2].partition(")")[0]
    assert first == lines(exercise("--seed", seed, answers="quit\n"))[0]


def test_a_panel_that_cannot_be_read_whole_is_no_panel_to_practise_on(tmp_path: Path) -> None:
    bad = tmp_path / "bad.panel"
    bad.write_text(VALVE + "nonsense\n", encoding="utf-8")
    result = exercise(panel=bad)
    assert 2 == result.exit_code
    assert "cannot be read whole" in result.stderr
    assert 2 == exercise(panel=tmp_path / "none.panel").exit_code
    assert 2 == CliRunner().invoke(group, ["exercise", "-"]).exit_code


def test_a_panel_without_a_load_that_is_missed_has_nothing_to_practise_on(tmp_path: Path) -> None:
    bare = tmp_path / "bare.panel"
    bare.write_text('panel "Bare"\nedge E1 24 V DC, fused 4 A, from "panel A"\nfuse FU1 2 A\n'
                    'circuit "Bare"\n  E1:+ --1-- FU1:1\n', encoding="utf-8")  # fmt: skip
    result = exercise(panel=bare)
    assert 3 == result.exit_code
    assert "no load for which faults are prepared" in result.stderr
