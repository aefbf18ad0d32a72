"""Questions and answers at the panel, and the table of likelihoods."""

from __future__ import annotations

import os
import re
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from netcheck.cli.main import group
from tests.bench.panels import ALL, SAMPLES

SYMPTOM = "Y1 does not open with S2 pressed"


@pytest.fixture(autouse=True)
def texts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "valve.panel").write_text(ALL["valve"], encoding="utf-8")
    monkeypatch.chdir(tmp_path)


def diagnose(*arguments: str, answers: str = "") -> Result:
    result = CliRunner().invoke(group, ["diagnose", "valve.panel", *arguments], input=answers)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def verdicts(result: Result) -> list[str]:
    return [line.split(":")[0] for line in result.stdout.splitlines() if " SUSPECT" in line]


def test_an_answer_is_a_reading_of_the_pair_asked_for() -> None:
    asked = diagnose("--saw", SYMPTOM, "--ask", answers="0\nquit\n")
    pair = asked.stdout.partition("METER NEXT: ")[2].partition(" (")[0]
    said = diagnose("--saw", SYMPTOM, "--saw", f"{pair} 0 V with S2 pressed")
    assert 0 == asked.exit_code
    assert verdicts(said)[-1] == verdicts(asked)[-1]


def test_the_cautions_of_a_live_test_come_before_the_first_reading_that_is_asked_for() -> None:
    shown = diagnose("--saw", SYMPTOM, "--ask", answers="quit\n").stdout
    before = " ".join(shown.partition("METER NEXT")[0].split())
    assert "50 V or more: shock and arc-flash assessment first." in before
    assert "Never jump a safety contact" in before


@pytest.mark.parametrize("word", ["q", "exit", "Q", "quit"])
def test_a_dialogue_is_left_in_the_words_that_people_try(word: str) -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", answers=f"{word}\n0\n")
    assert "not taken" not in result.stdout
    assert 2 == len(verdicts(result))  # as it began, and as it ends


def test_undo_takes_the_last_line_back_and_the_first_one_stays() -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", answers="0\nundo\nundo\nquit\n")
    before, after_answer, after_undo, *_ = verdicts(result)
    assert before != after_answer
    assert before == after_undo
    assert "the first line stays" in result.stdout


def test_what_was_saved_is_resumed() -> None:
    left = diagnose("--saw", SYMPTOM, "--ask", answers="0\nsave r.txt\nquit\n")
    resumed = diagnose("r.txt", "--ask", answers="quit\n")
    assert SYMPTOM in Path("r.txt").read_text(encoding="utf-8")
    assert verdicts(left)[-1] == verdicts(resumed)[-1]


def test_what_was_skipped_is_saved_and_not_asked_for_when_resumed() -> None:
    """A remark: whoever reads the file, or gives it without a dialogue, gets no line more."""
    left = diagnose("--saw", SYMPTOM, "--ask", answers="skip\n0\nskip\nsave r.txt\nquit\n")
    told = Path("r.txt").read_text(encoding="utf-8").splitlines()
    assert ["# skipped", "# skipped"] == [line[:9] for line in told if line.startswith("# sk")]
    assert next_pairs(left)[-1] == next_pairs(diagnose("r.txt"))[-1]
    resumed = diagnose("r.txt", "--ask", answers="undo\nquit\n")
    assert next_pairs(left)[-1] == next_pairs(resumed)[0]
    assert next_pairs(left)[-1] != next_pairs(resumed)[1]
    assert "asked again" in resumed.stdout


def next_pairs(result: Result) -> list[str]:
    lines = result.stdout.splitlines()
    return [line.partition(" (")[0] for line in lines if line.startswith("METER NEXT")]


def test_an_interrupt_stops_an_answer_and_loses_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    import netcheck.cli.diagnose as command

    whole = command.diagnosed
    count = 0

    def stopped_at_the_third(*arguments: Any) -> Any:
        nonlocal count
        count += 1
        if count == 3:
            raise KeyboardInterrupt
        return whole(*arguments)

    monkeypatch.setattr(command, "diagnosed", stopped_at_the_third)
    result = diagnose("--saw", SYMPTOM, "--ask", answers="24 V DC\nsave r.txt\n24 V DC\nquit\n")
    assert "stopped; all that was said before stands; not taken: 24 V DC" in result.stdout
    assert SYMPTOM in Path("r.txt").read_text(encoding="utf-8")
    assert f"asked for still: {next_pairs(result)[0].removeprefix('METER NEXT: ')}" in result.stdout
    assert 1 == Path("r.txt").read_text(encoding="utf-8").count("24 V DC"), "of the second"
    assert 0 == result.exit_code
    assert verdicts(result)[0] != verdicts(result)[-1]


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="there are no such terminals")
def test_keys_of_a_terminal_that_interrupt_leave_what_was_said_to_be_saved() -> None:
    import fcntl
    import pty
    import select
    import subprocess
    import sys
    import termios

    own, theirs = pty.openpty()
    panel = str(SAMPLES / "greenhouse.panel")
    saw = "H0 glows dim with S0 pressed"
    command = [sys.executable, "-m", "netcheck", "diagnose", panel, "--saw", saw, "--ask"]
    process = subprocess.Popen(
        command, stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
        preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
        env={**os.environ, "PYTHONPATH": str(SAMPLES.parents[1])},
    )  # fmt: skip
    os.close(theirs)

    def until(words: str) -> str:
        seen = ""
        while not re.search(words, seen):
            assert select.select([own], [], [], 60)[0], seen
            seen += os.read(own, 4096).decode(errors="replace")
        return seen

    until("reads> ")
    os.write(own, b"K0 is in with S0 pressed\n")
    time.sleep(0.2)
    os.write(own, b"\x03")
    until("(?s)(stopped|once more).*reads> $")  # the latter if the answer was there already
    os.write(own, b"save kept.txt\n")
    until("saved: kept.txt")
    os.write(own, b"quit\n")
    with suppress(OSError):  # a terminal that nobody has open any more
        while os.read(own, 4096):
            pass
    assert 0 == process.wait()
    os.close(own)
    assert saw in Path("kept.txt").read_text(encoding="utf-8")


def test_saving_overwrites_nothing_but_what_it_wrote_itself() -> None:
    before = Path("valve.panel").read_text(encoding="utf-8")
    answers = "save valve.panel\nsave\nsave a.txt\n0\nsave a.txt\nsave no/such.txt\n"
    result = diagnose("--saw", SYMPTOM, "--ask", answers=answers)
    assert "'valve.panel' is there already" in result.stdout
    assert "say where" in result.stdout
    assert "cannot write 'no/such.txt'" in result.stdout
    assert before == Path("valve.panel").read_text(encoding="utf-8")
    assert 3 == len(Path("a.txt").read_text(encoding="utf-8").splitlines())


def test_once_saved_each_later_answer_is_written_too_and_what_is_undone_is_not() -> None:
    left = diagnose("--saw", SYMPTOM, "--ask", answers="save r.txt\n0\n24 V\nundo\nskip\n")
    again = diagnose("r.txt", "--ask", answers="")
    assert "no longer saved" not in left.stdout
    assert 4 == len(Path("r.txt").read_text(encoding="utf-8").splitlines())
    assert verdicts(left)[-1] == verdicts(again)[0]
    assert next_pairs(left)[-1] == next_pairs(again)[0]


def test_an_answer_stands_where_it_can_be_written_down_no_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from netcheck.cli import asking_readings

    written: list[str] = []

    def full_at_the_second(path: str, text: str) -> None:
        written.append(text)
        if len(written) > 1:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(asking_readings, "write_whole", full_at_the_second)
    result = diagnose("--saw", SYMPTOM, "--ask", answers="save r.txt\n0\n24 V\nlist\n")
    assert 1 == result.stdout.count("no longer saved: cannot write 'r.txt': No space left")
    assert 2 == len(written)
    assert verdicts(diagnose("--saw", SYMPTOM, "--ask", answers="0\n24 V\n")) == verdicts(result)


def test_a_reading_that_is_skipped_is_not_asked_for_again() -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", answers="skip\nskip\nskip\nquit\n")
    asked = [line for line in result.stdout.splitlines() if line.startswith("METER NEXT")]
    assert 4 == len(set(asked[:4]))


def test_a_reading_that_was_skipped_comes_back_with_undo() -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", answers="skip\nundo\nquit\n")
    asked = [line for line in result.stdout.splitlines() if line.startswith("METER NEXT")]
    assert asked[0] == asked[2] != asked[1]
    assert "asked again: " in result.stdout


@pytest.mark.parametrize("answer", ["24V", "24 v", "24v dc", "24VDC", "+24.0 V DC", "24,0 V"])
def test_a_reading_may_be_written_as_thumbs_write_it(answer: str) -> None:
    plain = diagnose("--saw", SYMPTOM, "--ask", answers="24 V\nquit\n")
    other = diagnose("--saw", SYMPTOM, "--ask", answers=f"{answer}\nquit\n")
    assert "not taken" not in other.stdout
    assert verdicts(plain) == verdicts(other)


def test_words_of_the_dialogue_may_begin_with_a_capital_as_telephones_write_them() -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", answers="0\nUndo\nSkip\nList\nHelp\nQuit\n")
    assert "not taken" not in result.stdout
    assert "taken back" in result.stdout
    assert result.stdout.endswith("decide.\n")


@pytest.mark.parametrize("answer", ["5 bananas", "24 A", "192 ohm", "1e3 V", "OL"])
def test_an_answer_that_is_no_voltage_is_refused_with_what_is_one(answer: str) -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", answers=f"{answer}\nquit\n")
    (refused,) = [line for line in result.stdout.splitlines() if line.startswith("not taken")]
    assert "`24 V DC`" in refused
    assert "this answer" not in refused


def test_a_bare_reading_where_none_is_asked_for_must_name_its_points() -> None:
    answers = "999 V\n24 V\nquit\n"  # nothing drawn gives so much, so nothing is asked for
    result = diagnose("--saw", SYMPTOM, "--ask", answers=answers)
    (refused,) = [line for line in result.stdout.splitlines() if line.startswith("not taken")]
    assert "no two points are asked for" in refused


def test_with_nothing_told_what_was_seen_is_asked_for_first() -> None:
    result = diagnose("--ask", answers=f"\nthe valve is sad\n{SYMPTOM}\n0\nundo\nquit\n")
    told = diagnose("--saw", SYMPTOM, "--ask", answers="0\nundo\nquit\n")
    assert 0 == result.exit_code
    assert "What is wrong?" in result.stdout
    assert 1 == result.stdout.count("not taken: ")
    assert verdicts(told) == verdicts(result)


def test_who_says_nothing_at_all_is_told_what_to_say() -> None:
    result = diagnose("--ask", answers="")
    assert 2 == result.exit_code
    assert "nothing was seen" in result.stderr


def test_a_dialogue_and_json_do_not_share_standard_output(tmp_path: Path) -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", "--output", "json=-", answers="quit\n")
    assert 2 == result.exit_code
    assert "json=FILE" in result.stderr
    to_file = diagnose("--saw", SYMPTOM, "--ask", "--output", "json=r.json", answers="quit\n")
    assert 0 == to_file.exit_code
    assert Path("r.json").read_text(encoding="utf-8").startswith("{")


def test_what_was_saved_at_another_panel_is_told_when_it_is_resumed() -> None:
    diagnose("--saw", SYMPTOM, "--ask", answers="save r.txt\nquit\n")
    Path("other.panel").write_text(ALL["valve"], encoding="utf-8")
    again = diagnose("r.txt")
    other = CliRunner().invoke(group, ["diagnose", "other.panel", "r.txt"])
    assert "" == again.stderr
    assert "r.txt was saved at valve.panel, not at other.panel" in other.stderr
    assert 0 == other.exit_code


def test_what_is_not_understood_changes_nothing_and_the_end_of_input_is_the_end() -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", answers="\x1b[2J is out\nlist\n\n")
    assert 0 == result.exit_code
    (refused,) = [line for line in result.stdout.splitlines() if line.startswith("not taken")]
    assert refused.isprintable()
    assert result.stdout.count(f"{SYMPTOM}\n") >= 2


def test_any_other_line_may_be_an_answer() -> None:
    result = diagnose("--saw", SYMPTOM, "--ask", answers="K1 is in with S2 pressed\nquit\n")
    assert verdicts(result)[0] != verdicts(result)[-1]


def test_a_panel_from_standard_input_leaves_no_room_for_answers() -> None:
    result = CliRunner().invoke(group, ["diagnose", "-", "--saw", SYMPTOM, "--ask"], input="")
    assert 2 == result.exit_code
    assert "--ask needs standard input" in result.stderr


def test_a_table_of_likelihoods_changes_the_order() -> None:
    usual = diagnose("--saw", SYMPTOM)
    assert "as such things fail (common practice, no source)" in usual.stdout
    Path("table.toml").write_text('"coil, lamp or other load" = 50\n', encoding="utf-8")
    result = diagnose("--saw", SYMPTOM, "--likelihoods", "table.toml")
    _, _, told = result.stdout.partition("likeliest first")
    assert told.startswith(
        ", as such things fail (common practice, no source, but for what table.toml says)"
    )
    assert told.splitlines()[1].strip() in (
        "Y1:1-2 open  (coil, lamp or other load, benches)",
        "K1:A1-A2 open  (coil, lamp or other load)",
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('"rust" = 2', "is no sort of fault"),
        ("rust", "no TOML"),
        ('"ground fault" = nan', "not above"),
    ],
)
def test_a_table_that_is_none_is_wrong_use(text: str, words: str) -> None:
    Path("table.toml").write_text(text, encoding="utf-8")
    result = diagnose("--saw", SYMPTOM, "--likelihoods", "table.toml")
    assert 2 == result.exit_code
    assert words in result.stderr


def test_the_last_round_tells_what_would_look_just_the_same() -> None:
    seen = ["K1:A1 to K1:A2 24 V DC with S2 pressed", "K1:24 to E1:0V 24 V DC with S2 pressed",
            "Y1:1 to E1:0V 0 V with S2 pressed"]  # fmt: skip
    asked = [word for line in seen for word in ("--saw", line)]
    result = diagnose("--saw", SYMPTOM, *asked, "--ask", answers="quit\n")
    last_round = result.stdout.partition("reads> ")[0]
    assert "1 SUSPECT: the single fault that explains all" in last_round
    assert "wire 208 open" in last_round
    assert "or as well" in last_round
    assert "high resistance at an end of wire 208" in last_round
