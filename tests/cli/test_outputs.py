"""Files are written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from netcheck.cli.outputs import write_whole


def test_a_file_is_written_with_line_ends_as_they_are(tmp_path: Path) -> None:
    write_whole(str(tmp_path / "out"), "a\nb Ω\n")
    assert b"a\nb \xce\xa9\n" == (tmp_path / "out").read_bytes()
    assert ["out"] == os.listdir(tmp_path)


def test_a_new_file_has_the_usual_permissions_and_an_old_one_keeps_its_own(tmp_path: Path) -> None:
    mask = os.umask(0o022)
    try:
        write_whole(str(tmp_path / "new"), "")
    finally:
        os.umask(mask)
    assert 0o644 == (tmp_path / "new").stat().st_mode & 0o777
    (tmp_path / "new").chmod(0o600)
    write_whole(str(tmp_path / "new"), "")
    assert 0o600 == (tmp_path / "new").stat().st_mode & 0o777


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").write_text("old")
    (tmp_path / "link").symlink_to("real")
    write_whole(str(tmp_path / "link"), "new")
    assert (tmp_path / "link").is_symlink()
    assert "new" == (tmp_path / "real").read_text()


@pytest.mark.parametrize("failing", ["replace", "chmod"])
def test_a_write_that_fails_leaves_the_old_file_and_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str
) -> None:
    (tmp_path / "out").write_text("old")

    def fail(*_: object) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(os, failing, fail)
    with pytest.raises(OSError, match="no space left"):
        write_whole(str(tmp_path / "out"), "new")
    assert "old" == (tmp_path / "out").read_text()
    assert ["out"] == os.listdir(tmp_path)


def test_a_name_that_is_no_unicode_does_not_stop_a_report(tmp_path: Path) -> None:
    write_whole(str(tmp_path / "out"), "\udcff")
    assert b"\\udcff" == (tmp_path / "out").read_bytes()
