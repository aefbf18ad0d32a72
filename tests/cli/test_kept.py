"""Results are used again only where nothing they came from has changed."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from netcheck.cli.kept import Kept, usual_folder
from netcheck.cli.loader import FileLoader
from netcheck.cli.many import Task, each
from netcheck.cli.packing import CannotPack, packed, unpacked
from netcheck.cli.review import review
from netcheck.finding import Review
from netcheck.text import Source
from tests.report.example import MISTAKE, REVIEW

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "samples"
PARTS = """\
battery B1 12 V DC, ungrounded, fused 4 A, 2 kA available
wire kind default: 18 AWG copper MTW 90 degC, 600 V insulation, 1 m
switch S1 normally open 13-14 60 V DC 4 A
lamp H1 12 V DC 3 W
"""
WIRED = "B1:+ --1-- S1 --2-- H1 --3-- B1:-\n"
IDLE = "button S9 normally open 13-14 60 V DC 4 A\n"


# ---- a review as JSON ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path",
    [
        path.relative_to(SAMPLES).as_posix()
        for folder in ("panels", "malformed", "faults/undersized-conductor", "faults/missing-load")
        for path in sorted((SAMPLES / folder).rglob("*.panel"))
    ],
)
def test_what_a_review_says_of_a_sample_comes_back_the_same(path: str) -> None:
    full = str(SAMPLES / path)
    found, _ = review([full], FileLoader({full: str(SAMPLES)}), working=True)
    assert found == unpacked(json.loads(json.dumps(packed(found))))


def test_every_field_of_a_review_comes_back_the_same() -> None:
    from netcheck.record import replace

    full = replace(REVIEW, mistakes=(MISTAKE,), supposed=("x",), failures=("y",))
    assert full == unpacked(json.loads(json.dumps(packed(full))))


@pytest.mark.parametrize("value", [{1: 2}, [1], {1}, b"x", object(), FileLoader({})])
def test_what_json_could_not_give_back_is_not_packed(value: object) -> None:
    with pytest.raises(CannotPack):
        packed(value)


@pytest.mark.parametrize("text", ['["FileLoader", {}]', '["Review", 1, 2]', "[]", '["eval", "1"]'])
def test_nothing_but_what_a_review_is_made_of_is_made(text: str) -> None:
    try:
        found = unpacked(json.loads(text))
    except (TypeError, ValueError, LookupError):
        return
    assert isinstance(found, Review)


# ---- a project, reviewed twice -------------------------------------------------------------------


class Project:
    """Two panels, one of them with two files to include; counts what is really reviewed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.reviewed: list[str] = []
        self.write("lib/parts", PARTS)
        self.write("lib/wires", WIRED)
        self.write("a", 'include "lib/parts.panel"\ninclude "lib/wires.panel"\n')
        self.write("b", PARTS + WIRED)

    def write(self, name: str, text: str) -> None:
        path = self.folder / "panels" / f"{name}.panel"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def review(self, day: str = "2027-01-01", asked: tuple[str, ...] = ()) -> list[Review]:
        os.chdir(self.folder / "panels")
        self.reviewed = []

        def counted(paths: list[str], *others: object, **named: object) -> object:
            self.reviewed += paths
            return review(paths, *others, **named)  # type: ignore[arg-type]

        kept = Kept(str(self.folder / "cache"), asked, day)
        roots = dict.fromkeys(("a.panel", "b.panel"), ".")
        task = Task(counted, FileLoader(roots), {"as_of": day}, kept)  # type: ignore[arg-type]
        return [done.review for done in each(task, list(roots), 1)]

    def entries(self) -> list[Path]:
        return sorted((self.folder / "cache").rglob("*.json"))


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Project:
    monkeypatch.chdir(tmp_path)
    return Project(tmp_path)


def test_a_second_review_with_nothing_changed_works_nothing_out(project: Project) -> None:
    first = project.review()
    assert ["a.panel", "b.panel"] == project.reviewed
    assert first == project.review()
    assert [] == project.reviewed


def settings(project: Project) -> None:
    (project.folder / "panels" / "netcheck.toml").write_text('drop-limit = "2 %"\n')


CHANGES: dict[str, tuple[Callable[[Project], None], list[str]]] = {
    "the panel itself": (lambda p: p.write("b", PARTS + WIRED + IDLE), ["b.panel"]),
    "one remark of it": (lambda p: p.write("b", PARTS + WIRED + "# x\n"), ["b.panel"]),
    "the first file included": (lambda p: p.write("lib/parts", PARTS + IDLE), ["a.panel"]),
    "the last file included": (lambda p: p.write("lib/wires", WIRED + IDLE), ["a.panel"]),
    "a file included is gone": (
        lambda p: (p.folder / "panels/lib/wires.panel").unlink(),
        ["a.panel"],
    ),
    "a project file came": (settings, ["a.panel", "b.panel"]),
}


@pytest.mark.parametrize("what", CHANGES)
def test_what_has_changed_is_reviewed_again_and_nothing_else(project: Project, what: str) -> None:
    project.review()
    change, expected = CHANGES[what]
    change(project)
    now = project.review()
    assert expected == project.reviewed
    shutil.rmtree(project.folder / "cache")
    assert now == project.review()


def test_a_file_that_was_missing_and_is_there_now_is_noticed(project: Project) -> None:
    (project.folder / "panels/lib/wires.panel").unlink()
    assert project.review()[0].mistakes
    project.write("lib/wires", WIRED)
    assert not project.review()[0].mistakes
    assert ["a.panel"] == project.reviewed


def test_a_setting_that_has_changed_is_noticed(project: Project) -> None:
    settings(project)
    project.review()
    project.review()
    assert [] == project.reviewed
    path = project.folder / "panels" / "netcheck.toml"
    path.write_text(path.read_text().replace("2 %", "3 %"))
    project.review()
    assert ["a.panel", "b.panel"] == project.reviewed


def test_an_include_that_may_no_longer_be_followed_is_noticed(project: Project) -> None:
    project.review()
    outside = project.folder / "outside.panel"
    outside.write_text(WIRED)
    inside = project.folder / "panels/lib/wires.panel"
    inside.unlink()
    inside.symlink_to(outside)
    assert project.review()[0].mistakes


def test_another_option_is_another_result(project: Project) -> None:
    project.review()
    project.review(asked=("working",))
    assert ["a.panel", "b.panel"] == project.reviewed


def test_another_day_counts_only_where_something_may_run_out(project: Project) -> None:
    dated = 'accept device in no circuit on S9: "bench" until 2027-01-31\n'
    project.write("b", PARTS + WIRED + IDLE + dated)
    assert not project.review("2027-01-31")[1].findings
    assert project.review("2027-02-01")[1].findings
    assert ["b.panel"] == project.reviewed


@pytest.mark.slow
@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("netcheck/__init__.py", '__version__ = "', '__version__ = "9'),
        ("netcheck/tables/ampacity.py", "\n", "\n# one table more\n"),
        ("grammar/panel.lark", "\n", "\n// one word more\n"),
    ],
)
def test_another_netcheck_uses_nothing_of_this_one(
    project: Project, file: str, old: str, new: str
) -> None:
    """A copy of the program in which one file is another one."""
    program = project.folder / "program"
    for part in ("netcheck", "grammar"):
        shutil.copytree(ROOT / part, program / part, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", program)
    path = program / file

    def kept() -> set[str]:
        subprocess.run(
            [sys.executable, "-m", "netcheck", "review", "panels", "--cache", "cache", "--quiet"],
            cwd=project.folder,
            env={**os.environ, "PYTHONPATH": str(program)},
            capture_output=True,
            check=False,
        )
        return {one.as_posix() for one in project.entries()}

    first = kept()
    assert first
    assert first == kept()
    path.write_text(path.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    assert len(first) * 2 == len(kept())


# ---- what may be wrong with the files ------------------------------------------------------------


@pytest.mark.parametrize(
    "spoilt",
    [b"", b"\n", b"\0" * 100, b"x" * 64 + b"\n{}", None],
    ids=["empty", "a line end", "nulls", "another digest", "cut short"],
)
def test_a_spoilt_result_is_worked_out_again_and_replaced(
    project: Project, spoilt: bytes | None
) -> None:
    first = project.review()
    for path in project.entries():
        path.write_bytes(path.read_bytes()[:-7] if spoilt is None else spoilt)
    assert first == project.review()
    assert ["a.panel", "b.panel"] == project.reviewed
    project.review()
    assert [] == project.reviewed


def test_a_result_of_another_shape_is_not_used(project: Project) -> None:
    from netcheck.cli.asking import digest

    project.review()
    for body in (b"[]", b"{}", b'{"day": "", "asked": [], "review": ["Review"]}', b"1", b'"x"'):
        for path in project.entries():
            path.write_bytes(digest(body).encode() + b"\n" + body)
        project.review()
        assert ["a.panel", "b.panel"] == project.reviewed


def test_a_folder_that_cannot_be_used_keeps_nothing_and_harms_nothing(project: Project) -> None:
    (project.folder / "cache").write_text("a file")
    assert project.review() == project.review()
    assert ["a.panel", "b.panel"] == project.reviewed


def test_nothing_is_written_through_a_link(project: Project) -> None:
    project.review()
    (folder,) = {path.parent for path in project.entries()}
    shutil.rmtree(folder)
    elsewhere = project.folder / "elsewhere"
    elsewhere.mkdir()
    folder.symlink_to(elsewhere)
    project.review()
    assert [] == list(elsewhere.iterdir())


def test_results_that_nobody_used_for_long_are_taken_away(project: Project) -> None:
    project.review()
    old = project.entries()
    for path in old:
        os.utime(path, (0, 0))
    stranger = project.folder / "cache" / "letters.json"
    stranger.write_text("{}")
    project.write("b", PARTS + WIRED + IDLE)
    project.review()  # uses that of the one, and makes another for the other
    left = [path for path in project.entries() if path != stranger]
    assert 2 == len(left)
    assert 1 == len(set(old) & set(left))
    assert stranger.exists()


def test_results_are_kept_in_the_users_own_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """The XDG base directory specification: an absolute path, else ~/.cache; never the project."""
    if os.name == "nt" or sys.platform == "darwin":
        pytest.skip("other systems have other folders")
    monkeypatch.setenv("XDG_CACHE_HOME", "/x")
    assert "/x/netcheck" == usual_folder()
    monkeypatch.setenv("XDG_CACHE_HOME", "relative")
    assert "" == usual_folder()
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setenv("HOME", "/home/x")
    assert "/home/x/.cache/netcheck" == usual_folder()


def test_texts_come_back_with_the_result(project: Project) -> None:
    project.review()
    kept = Kept(str(project.folder / "cache"), (), "2027-01-01")
    found = kept.find("a.panel", FileLoader({"a.panel": "."}))
    assert found is not None
    assert Source("lib/wires.panel", WIRED) == found[1]["lib/wires.panel"]
