"""Which panels a user means."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from netcheck.cli.given import Given, given_panels, readable
from netcheck.cli.loader import FileLoader


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for path in ("b.panel", "a.panel", "house/2/c.panel", "house/d.panel", "house/notes.txt"):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text("relay K1\n")
    return tmp_path


def given(*arguments: str, as_path: str | None = None, root: str | None = None) -> Given:
    return given_panels(arguments, as_path, root)


def test_a_folder_stands_for_its_panels_in_the_order_of_their_paths(here: Path) -> None:
    assert ["a.panel", "b.panel", "house/2/c.panel", "house/d.panel"] == given(".").paths


def test_files_keep_the_order_and_the_spelling_they_were_given_in(here: Path) -> None:
    assert ["./b.panel", "a.panel"] == given("./b.panel", "a.panel").paths


def test_a_panel_named_twice_is_reviewed_once(here: Path) -> None:
    paths = given("house/d.panel", "house", "./house/d.panel").paths
    assert ["house/d.panel", "house/2/c.panel"] == paths


def test_dot_folders_and_environments_are_passed_over(here: Path) -> None:
    for folder in (".git", "env"):
        (here / folder).mkdir()
        (here / folder / "x.panel").write_text("")
    (here / "env" / "pyvenv.cfg").write_text("")
    assert not [path for path in given(".").paths if path.endswith("x.panel")]


def test_a_file_named_outright_is_reviewed_whatever_its_name(here: Path) -> None:
    assert ["house/notes.txt"] == given("house/notes.txt").paths


def test_a_folder_without_panels_is_said_to_be_so(here: Path) -> None:
    (here / "empty").mkdir()
    found = given("empty")
    assert [] == found.paths
    assert ["`empty`: no file in it ends in `.panel`"] == [m.message for m in found.mistakes]


def test_a_link_out_of_the_folder_is_said_and_not_followed(here: Path) -> None:
    (here / "house" / "link.panel").symlink_to(here / "a.panel")
    found = given("house")
    assert "house/link.panel" not in found.paths
    (mistake,) = found.mistakes
    assert "leads out of the project's folder `house` through a link" in mistake.message
    assert "house/link.panel" == mistake.place.span.path


def test_a_folder_that_cannot_be_read_is_said(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    walk = os.walk

    def failing(top: str, onerror: Callable[[OSError], None]) -> Iterator[Any]:
        onerror(PermissionError(errno.EACCES, "Permission denied", "house/2"))
        yield from walk(top)

    monkeypatch.setattr(os, "walk", failing)
    messages = [mistake.message for mistake in given("house").mistakes]
    assert ["`house/2`: this folder cannot be read: Permission denied"] == messages


def test_includes_stay_in_the_folder_named_or_the_file_s_own_or_the_root(here: Path) -> None:
    assert {"house/2/c.panel": "house", "house/d.panel": "house"} == given("house").roots
    assert {"house/2/c.panel": "house/2"} == given("house/2/c.panel").roots
    assert {"a.panel": "."} == given("a.panel").roots
    assert {"house/2/c.panel": "house"} == given("house/2/c.panel", root="house").roots


def test_standard_input_stands_for_the_path_it_is_given_as(here: Path) -> None:
    assert {"house/new.panel": "house"} == given("-", as_path="house/new.panel").roots
    assert {"-": "."} == given("-").roots


def test_what_cannot_be_loaded_is_a_mistake_and_the_rest_is_kept(here: Path) -> None:
    (here / "b.panel").write_bytes(b"relay K1\n\xff")
    found = given("a.panel", "b.panel", "none.panel")
    assert ["a.panel"] == readable(found, FileLoader(found.roots))
    places = [(m.place.span.path, m.place.span.line) for m in found.mistakes]
    assert [("b.panel", 2), ("none.panel", 1)] == places
