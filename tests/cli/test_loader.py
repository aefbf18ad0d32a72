"""Which files are read, and what is said about those that are not."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netcheck.cli import loader as module
from netcheck.cli.loader import FileLoader, decoded
from netcheck.loading import CannotLoad, Loader


@pytest.fixture
def bay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A project folder `bay`, something outside it, and the folder above as the current one."""
    (tmp_path / "bay" / "parts").mkdir(parents=True)
    (tmp_path / "bay" / "pump.panel").write_text("relay K1\n")
    (tmp_path / "bay" / "parts" / "common.panel").write_text("relay K2\n")
    (tmp_path / "outside.panel").write_text("secret\n")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "bay"


def loading(path: str, **more: Any) -> FileLoader:
    return FileLoader({path: os.path.dirname(path) or "."}, **more)


def refusal(path: str) -> CannotLoad:
    with pytest.raises(CannotLoad) as caught:
        loading(path).load(path)
    return caught.value


def refused(call: Callable[..., object], *arguments: object) -> CannotLoad | None:
    try:
        call(*arguments)
    except CannotLoad as error:
        return error
    return None


def refused_include(included: str, from_path: str = "bay/pump.panel") -> str:
    with pytest.raises(CannotLoad) as caught:
        loading(from_path).resolve(included, from_path)
    return caught.value.message


def test_a_file_is_read_and_keeps_the_path_it_was_given(bay: Path) -> None:
    source = loading("bay/pump.panel").load("bay/pump.panel")
    assert ("bay/pump.panel", ("relay K1", "")) == (source.path, source.lines)


def test_the_file_loader_is_a_loader() -> None:
    loader: Loader = FileLoader({})
    assert loader


def test_a_byte_order_mark_and_other_line_ends_are_no_trouble(bay: Path) -> None:
    (bay / "pump.panel").write_bytes(b"\xef\xbb\xbfrelay K1\r\nrelay K2\r\n")
    assert ("relay K1", "relay K2", "") == loading("bay/pump.panel").load("bay/pump.panel").lines


def test_an_include_is_found_from_the_folder_of_the_text_that_names_it(bay: Path) -> None:
    loader = loading("bay/pump.panel")
    path = loader.resolve("parts/common.panel", "bay/pump.panel")
    assert "bay/parts/common.panel" == path
    assert "relay K2" == loader.load(path).line(1)
    assert "bay/pump.panel" == loader.resolve("../pump.panel", path)


@pytest.mark.parametrize(
    "included", ["../outside.panel", "parts/../../outside.panel", "../../x.panel"]
)
def test_an_include_that_leaves_the_folder_is_refused(bay: Path, included: str) -> None:
    assert "this leads out of the project's folder `bay`" == refused_include(included)


def test_an_include_that_leaves_through_a_link_is_refused(bay: Path) -> None:
    (bay / "link.panel").symlink_to(bay.parent / "outside.panel")
    (bay / "folder").symlink_to(bay.parent)
    expected = "this leads out of the project's folder `bay` through a link"
    assert expected == refused_include("link.panel")
    assert expected == refused_include("folder/outside.panel")


def test_a_link_inside_the_folder_is_followed(bay: Path) -> None:
    (bay / "link.panel").symlink_to("parts/common.panel")
    loader = loading("bay/pump.panel")
    assert "relay K2" == loader.load(loader.resolve("link.panel", "bay/pump.panel")).line(1)


def test_a_folder_with_the_same_beginning_is_another_folder(bay: Path) -> None:
    (bay.parent / "bay2").mkdir()
    (bay.parent / "bay2" / "x.panel").write_text("secret\n")
    assert "out of the project's folder" in refused_include("../bay2/x.panel")


@pytest.mark.parametrize("included", ["/etc/passwd", "C:/x.panel", "C:x.panel", "//host/x.panel"])
def test_an_absolute_include_is_refused(bay: Path, included: str) -> None:
    expected = "a file is named from the folder of the text that includes it"
    assert expected == refused_include(included)


@pytest.mark.parametrize("included", ["", "a\0.panel", "a\n.panel", "\x1b[2J.panel"])
def test_an_include_that_is_no_file_name_is_refused(bay: Path, included: str) -> None:
    assert "this is no file name" == refused_include(included)


def test_an_include_with_backslashes_is_told_how_to_write_it(bay: Path) -> None:
    assert "write `/` between folders, not `\\`" == refused_include("parts\\common.panel")


def test_only_panels_can_be_included_so_that_no_secret_is_quoted(bay: Path) -> None:
    (bay / "token").write_text("secret\n")
    (bay / "link.panel").symlink_to("token")
    for included in ("token", "link.panel"):
        assert "only files that end in `.panel` can be included" == refused_include(included)


def test_a_path_that_nobody_named_is_not_opened(bay: Path) -> None:
    with pytest.raises(CannotLoad, match="does not belong to the project"):
        loading("bay/pump.panel").load("outside.panel")
    with pytest.raises(CannotLoad, match="does not belong to the project"):
        loading("bay/pump.panel").resolve("x.panel", "outside.panel")


def test_unsaved_text_stands_in_for_its_file_however_the_path_is_written(bay: Path) -> None:
    loader = loading("bay/pump.panel", unsaved={"bay/../bay/parts/common.panel": b"relay K9"})
    path = loader.resolve("parts/common.panel", "bay/pump.panel")
    assert "relay K9" == loader.load(path).text


def test_a_missing_file_a_folder_and_a_file_taken_for_a_folder(bay: Path) -> None:
    assert "there is no such file" == refusal("bay/none.panel").message
    assert "this is a folder, not a file" == refusal("bay/parts").message
    assert "there is no such file" == refusal("bay/pump.panel/x.panel").message


def test_a_link_to_itself_and_a_name_too_long_are_no_crash(bay: Path) -> None:
    (bay / "loop.panel").symlink_to("loop.panel")
    assert "this file cannot be read: " in refusal("bay/loop.panel").message
    assert "this file cannot be read: " in refusal("bay/" + "x" * 5000).message


def test_a_pipe_is_refused_without_waiting_for_a_writer(bay: Path) -> None:
    os.mkfifo(bay / "pipe.panel")
    expected = "this is a pipe or a device, not a file; `-` reads standard input"
    assert expected == refusal("bay/pipe.panel").message
    assert expected == refusal("/dev/zero").message


def test_a_file_without_permission_is_said_to_be_so(
    bay: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(module, "open", refuse, raising=False)
    assert "there is no permission to read this file" == refusal("bay/pump.panel").message


def test_a_file_that_is_too_large_is_not_read_on(bay: Path) -> None:
    with (bay / "pump.panel").open("wb") as file:
        file.truncate(module.LARGEST_BYTES + 2)
    assert "this file is larger than 64 MB" == refusal("bay/pump.panel").message


def test_bytes_that_are_no_text_are_said_with_their_offset_line_and_column(bay: Path) -> None:
    (bay / "pump.panel").write_bytes("relay K1\r\nrelay Grün ".encode() + b"\xfc\n")
    error = refusal("bay/pump.panel")
    assert "byte 22, in line 2, is not UTF-8 text; save the file as UTF-8" == error.message
    assert (2, 12) == (error.line, error.column)


def test_binary_content_and_utf_16_are_told_apart_from_text(bay: Path) -> None:
    (bay / "pump.panel").write_bytes(b"\x7fELF\0\0")
    assert "this is no text: byte 4 is zero" == refusal("bay/pump.panel").message
    (bay / "pump.panel").write_bytes("relay K1".encode("utf-16"))
    assert "this text is saved as UTF-16; save it as UTF-8" == refusal("bay/pump.panel").message


@given(st.binary() | st.text().map(str.encode))
def test_any_bytes_are_text_or_refused_with_a_place_inside_them(data: bytes) -> None:
    error = refused(decoded, data)
    if error is None:
        assert data == decoded(data).encode()
        return
    assert error.message
    assert 1 <= error.line <= 1 + data.count(b"\n") + data.count(b"\r")
    assert 1 <= error.column <= 1 + len(data)


PARTS = st.sampled_from(["..", ".", "", "bay", "x.panel", "~", "a b", "C:", "\\", "\u202e"])


@given(st.text() | st.lists(PARTS).map("/".join))
def test_any_include_is_refused_or_stays_in_the_folder(included: str) -> None:
    """The folder need not exist: the words alone must not lead out of it."""
    resolve = loading("no/bay/a.panel").resolve
    if refused(resolve, included, "no/bay/a.panel") is None:
        path = resolve(included, "no/bay/a.panel")
        assert path.startswith("no/bay/")
        assert ".." not in path.split("/")
