"""Many panels at once: the same review whatever the number of processes, and a fault costs one."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

from netcheck.cli.loader import FileLoader
from netcheck.cli.many import ENDED, Done, Task, each
from netcheck.cli.screen import share_done
from netcheck.finding import Review
from netcheck.loading import Loader
from netcheck.text import Source
from tests.cli.fake import fake_review
from tests.revisions.scheme import made_up, written

ROOT = Path(__file__).parents[2]


def netcheck(folder: Path, *arguments: str) -> tuple[int, bytes]:
    done = subprocess.run(
        [sys.executable, "-m", "netcheck", "review", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        check=False,
    )
    return done.returncode, done.stdout


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Some panels, sound ones and others; two say what they share in one file."""
    for number in range(6):
        (tmp_path / f"made_{number}.panel").write_text(written(made_up(number)))
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "one.panel").write_text("lamp H1 12 V DC 3 W\nlamp H2 12 V DC 3 W\n")
    for name in "xy":
        (tmp_path / f"{name}.panel").write_text('include "parts/one.panel"\n')
    (tmp_path / "broken.panel").write_text("relai K1\n")
    return tmp_path


@pytest.mark.slow
@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit", "csv"])
def test_the_bytes_are_the_same_whatever_the_number_of_processes(folder: Path, form: str) -> None:
    output = ("--output", f"{form}=-", "--as-of", "2027-01-01")
    cached = ("--cache", str(folder.parent / "kept"))
    one = netcheck(folder, ".", *output, "--no-cache")
    assert one[1]
    for how in (
        ["--workers", "2"],
        ["--workers", "3", *cached],
        cached,
        ["--workers", "2", *cached],
    ):
        assert one == netcheck(
            folder, ".", *output, *([] if cached[0] in how else ["--no-cache"]), *how
        )


def done_of(texts: Mapping[str, str], folder: Path, workers: int) -> list[Done]:
    for name, text in texts.items():
        (folder / name).write_text(text)
    roots = {str(folder / name): str(folder) for name in texts}
    return list(each(Task(fails_or_reviews, FileLoader(roots), {}), list(roots), workers))


def fails_or_reviews(paths: Sequence[str], loader: Loader) -> tuple[Review, Mapping[str, Source]]:
    """Ends the whole process on `the end`, as running out of memory does."""
    if loader.load(paths[0]).text == "the end":
        os._exit(9)
    return fake_review(paths, loader)


@pytest.mark.parametrize("workers", [1, 2])
def test_a_fault_of_netcheck_leaves_one_panel_open_and_no_other(
    tmp_path: Path, workers: int
) -> None:
    texts = {"a.panel": "danger\n", "b.panel": "bug\n", "c.panel": "defect\n"}
    first, second, third = done_of(texts, tmp_path, workers)
    assert ["danger", "defect"] == [d.review.findings[0].severity for d in (first, third)]
    assert second.fault is not None
    assert second.fault.what.startswith("KeyError: ")
    assert second.review.not_decided
    assert [None, None] == [first.fault, third.fault]


def test_a_process_that_ends_leaves_open_what_it_had_not_told(tmp_path: Path) -> None:
    texts = {f"{name}.panel": "the end" for name in "abc"}
    found = done_of(texts, tmp_path, 2)
    assert [ENDED] * 3 == [done.fault for done in found]
    assert all(done.review.not_decided for done in found)


# Reviews that do not end, begun by a process each; what is written says that both have begun.
ENDLESS = """
import os, sys, time
from netcheck.cli.loader import FileLoader
from netcheck.cli.many import Task, each
def endless(paths, loader):
    os.write(1, b"begun\\n")
    time.sleep(600)
if __name__ == "__main__":
    try:
        list(each(Task(endless, FileLoader(dict.fromkeys(sys.argv[1:], ".")), {}), sys.argv[1:], 2))
    except KeyboardInterrupt:
        print("interrupted")
"""


@pytest.mark.skipif(os.name == "nt", reason="no process groups")
def test_an_interrupt_ends_every_process_at_once_without_a_word_of_theirs(tmp_path: Path) -> None:
    (tmp_path / "endless.py").write_text(ENDLESS)
    for name in "ab":
        (tmp_path / f"{name}.panel").write_text("danger\n")
    process = subprocess.Popen(
        [sys.executable, "endless.py", "a.panel", "b.panel"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert process.stdout is not None
    assert ["begun\n"] * 2 == [process.stdout.readline() for _ in range(2)]
    os.killpg(process.pid, signal.SIGINT)
    assert ("interrupted\n", "") == process.communicate(timeout=300)


def test_a_fault_of_many_panels_is_told_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from click.testing import CliRunner

    from netcheck.cli import review as module
    from netcheck.cli.main import group

    for name in "abc":
        (tmp_path / f"{name}.panel").write_text("bug\n")
    monkeypatch.setattr(module, "review", fake_review)
    result = CliRunner().invoke(group, ["review", str(tmp_path), "--no-cache"])
    assert 3 == result.exit_code
    assert 1 == result.stderr.count("Please report it")
    assert "a.panel` and 2 more" in result.stderr


@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit", "github", "gitlab", "csv"])
def test_the_bytes_are_the_same_in_whatever_order_panels_are_named(folder: Path, form: str) -> None:
    names = sorted(path.name for path in folder.glob("*.panel"))
    options = ("--output", f"{form}=-", "--no-cache", "--as-of", "2027-01-01")
    one = netcheck(folder, *names, *options)
    assert one[1]
    assert one == netcheck(folder, *reversed(names), *options)


def test_the_bar_says_how_many_are_done() -> None:
    assert "[#####---------------] 5 of 20, reviewing a" == share_done(5, 20, "reviewing a")
    assert "[--------------------] 0 of 0, reviewing" == share_done(0, 0, "reviewing")


@pytest.mark.parametrize(
    "arguments",
    [("--workers", "0"), ("--workers", "65"), ("--workers", "x"), ("--no-cache", "--cache", "x")],
)
def test_options_that_make_no_sense_are_wrong_use(tmp_path: Path, arguments: Sequence[str]) -> None:
    (tmp_path / "a.panel").write_text("danger\n")
    assert 2 == netcheck(tmp_path, "a.panel", *arguments)[0]


def test_one_panel_alone_keeps_nothing(tmp_path: Path) -> None:
    (tmp_path / "a.panel").write_text(written(made_up(1)))
    netcheck(tmp_path, "a.panel", "--cache", "kept")
    assert not (tmp_path / "kept").exists()
