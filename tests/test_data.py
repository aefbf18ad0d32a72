"""Package data is found in every way of installing, and nothing else is."""

from pathlib import Path

import pytest

from netcheck import data


def put(path: Path, text: str = "") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_an_installed_package_reads_the_folder_inside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = put(tmp_path / "netcheck/grammar/panel.lark", "installed").parents[1]
    monkeypatch.setattr(data, "PACKAGE", str(package))
    assert "installed" == data.package_text("grammar", "panel.lark")


def test_a_source_tree_wins_over_a_stale_copy_inside_the_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(tmp_path / "pyproject.toml")
    put(tmp_path / "grammar/panel.lark", "current")
    package = put(tmp_path / "netcheck/grammar/panel.lark", "stale").parents[1]
    monkeypatch.setattr(data, "PACKAGE", str(package))
    assert "current" == data.package_text("grammar", "panel.lark")


def test_a_stranger_s_folder_beside_an_installed_package_is_not_read(tmp_path: Path) -> None:
    put(tmp_path / "grammar/panel.lark", "somebody else's")
    package = put(tmp_path / "netcheck/grammar/panel.lark", "installed").parents[1]
    assert str(package / "grammar") == data.data_folder(str(package), "grammar")


@pytest.mark.parametrize(
    ("folder", "name"),
    [
        ("grammar", "../pyproject.toml"),
        ("grammar", ".."),
        ("..", "pyproject.toml"),
        ("grammar", "/etc/hostname"),
        ("grammar", "C:\\hidden"),
        ("grammar", ""),
        ("grammar", "a\0b"),
    ],
)
def test_no_name_leads_out_of_the_package_s_folder(folder: str, name: str) -> None:
    with pytest.raises(ValueError, match="not a plain file name"):
        data.package_text(folder, name)


def test_a_folder_s_names_are_listed_in_order_and_those_of_no_folder_are_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = put(tmp_path / "netcheck/samples/faults/b.panel").parents[2]
    put(package / "samples/faults/a.panel")
    monkeypatch.setattr(data, "PACKAGE", str(package))
    assert ["a.panel", "b.panel"] == data.package_names("samples", "faults")
    assert [] == data.package_names("samples", "sound")
    with pytest.raises(ValueError, match="not a plain file name"):
        data.package_names("samples", "..")


def test_a_missing_file_is_said_to_be_missing() -> None:
    with pytest.raises(FileNotFoundError):
        data.package_text("grammar", "no such grammar.lark")
