"""How every run ends, in a process of its own."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from netcheck import __version__
from netcheck.cli import main as module
from netcheck.cli.main import COMMANDS, run

ROOT = Path(__file__).parents[2]

# The command with the stand-in for the engine, as a program of its own.
WITH_FAKE = """
import sys
from netcheck.cli import review
from netcheck.cli.main import main
from tests.cli.fake import fake_review
review.review = fake_review
main()
"""


def netcheck(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "netcheck", *arguments],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        text=True,
        check=False,
    )


def piped(*arguments: str, text: str, folder: Path) -> subprocess.Popen[str]:
    """The command with the stand-in, whose standard output nobody has read yet."""
    (folder / "a.panel").write_text(text)
    return subprocess.Popen(
        [sys.executable, "-c", WITH_FAKE, "review", str(folder / "a.panel"), *arguments],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_the_version_is_printed() -> None:
    result = netcheck("--version")
    assert (f"netcheck {__version__}\n", 0) == (result.stdout, result.returncode)


@pytest.mark.parametrize("option", ["-h", "--help"])
def test_the_help_lists_every_command(option: str) -> None:
    result = netcheck(option)
    assert 0 == result.returncode
    for name, summary in COMMANDS.items():
        assert any(line.split()[:1] == [name] for line in result.stdout.splitlines())
        assert summary.split()[0] in result.stdout


@pytest.mark.parametrize("name", COMMANDS)
@pytest.mark.parametrize("option", ["-h", "--help"])
def test_every_command_has_help(name: str, option: str) -> None:
    result = netcheck(name, option)
    assert 0 == result.returncode
    assert result.stdout.startswith(f"Usage: netcheck {name} ")


def test_a_misspelled_command_is_2_with_a_near_name() -> None:
    result = netcheck("rewiew", "a.panel")
    assert 2 == result.returncode
    assert "there is no command 'rewiew'; did you mean 'review'?" in result.stderr


def test_a_panel_in_the_place_of_a_command_is_2_with_the_command_for_it() -> None:
    result = netcheck("a.panel")
    assert 2 == result.returncode
    assert "there is no command 'a.panel': `netcheck review FILE` reviews a panel" in result.stderr


def test_no_command_is_2_with_help() -> None:
    assert 2 == netcheck().returncode


def test_the_help_of_the_whole_loads_no_command() -> None:
    program = (
        "import sys; from netcheck.cli.main import run; run(['-h'])\n"
        "print(*[n for n in sys.modules if n in ('netcheck.cli.review', 'netcheck.cli.explain')])"
    )
    result = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert "" == result.stdout.splitlines()[-1]


def test_a_reader_that_leaves_early_does_not_change_the_status(tmp_path: Path) -> None:
    process = piped(text="danger\n" * 20_000, folder=tmp_path)
    assert process.stdout
    assert process.stderr
    assert process.stdout.readline().startswith("DANGER: ")
    process.stdout.close()
    errors = process.stderr.read()
    process.stderr.close()
    assert ("", 1) == (errors, process.wait())


def test_a_reader_that_leaves_before_the_help_is_no_finding() -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    result = subprocess.run(
        [sys.executable, "-m", "netcheck", "-h"],
        cwd=ROOT,
        stdout=write_end,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    os.close(write_end)
    assert ("", 0) == (result.stderr, result.returncode)


def test_a_terminal_that_lacks_a_letter_is_no_crash(tmp_path: Path) -> None:
    (tmp_path / "ポンプ.panel").mkdir()
    result = netcheck("review", str(tmp_path / "ポンプ.panel"), PYTHONIOENCODING="latin-1")
    assert 2 == result.returncode
    assert "\\u30dd" in result.stdout
    assert "" == result.stderr


def test_an_interrupted_run_is_left_open_not_passed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupt(*_: object, **__: object) -> None:
        signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr("netcheck.cli.review.given_panels", interrupt)
    assert 3 == run(["review", "a.panel"])
    assert "interrupted; nothing was decided" in capsys.readouterr().err


def test_a_fault_anywhere_is_3_and_no_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise RecursionError("deep\x1b[2J")

    monkeypatch.setattr(module.group, "main", fail)
    monkeypatch.delenv("NETCHECK_TRACEBACK", raising=False)
    assert 3 == run(["review", "a.panel"])
    said = capsys.readouterr().err
    assert "in `netcheck review a.panel` (RecursionError: deep\\x1b[2J)" in said
    assert "Traceback" not in said


def test_a_full_disk_behind_standard_output_is_2_and_says_so(tmp_path: Path) -> None:
    (tmp_path / "a.panel").write_text("query\n")
    with open("/dev/full", "w") as full:
        result = subprocess.run(
            [sys.executable, "-c", WITH_FAKE, "review", str(tmp_path / "a.panel")],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert 2 == result.returncode
    assert "netcheck: cannot write to standard output: No space left on device\n" == result.stderr


def test_an_interrupt_while_netcheck_is_loaded_is_no_traceback() -> None:
    program = (
        "import sys\n"
        "class Interrupting:\n"
        "    def find_spec(self, name, path, target=None):\n"
        "        if name == 'netcheck.cli.screen': raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Interrupting())\n"
        "from netcheck.__main__ import main\n"
        "main()"
    )
    result = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (3, "netcheck: interrupted; nothing was decided\n") == (
        result.returncode,
        result.stderr,
    )


@pytest.mark.parametrize("arguments", [["-h"], ["tidy", "-"], ["outline", "a.panel"]])
def test_every_command_says_that_the_disk_is_full(tmp_path: Path, arguments: list[str]) -> None:
    (tmp_path / "a.panel").write_text("lamp H1 24 V DC 2 W\n")
    with open("/dev/full", "w") as full:
        result = subprocess.run(
            [sys.executable, "-m", "netcheck", *arguments],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            input="lamp H1 24 V DC 2 W\n",
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert 2 == result.returncode
    assert "netcheck: cannot write to standard output: No space left on device\n" == result.stderr


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", ">&- 2>&-"])
def test_closed_streams_do_not_change_the_status(tmp_path: Path, closed: str) -> None:
    (tmp_path / "a.panel").write_text("query\n")
    result = subprocess.run(
        ["sh", "-c", f'"$0" -c "$1" review "$2" {closed}', sys.executable, WITH_FAKE, "a.panel"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (1, "") == (result.returncode, result.stderr)


def test_standard_input_that_is_closed_is_wrong_use(tmp_path: Path) -> None:
    result = subprocess.run(
        ["sh", "-c", '"$0" -m netcheck review - <&-', sys.executable],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert 2 == result.returncode
    assert "there is no standard input to read" in result.stderr
