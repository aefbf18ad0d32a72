"""The one place that reads what the package brings along, such as its grammar.

An installed netcheck has these folders inside the package.  In a source tree they
stand beside it, and there they win: an editable install leaves a copy of them
elsewhere that no later edit reaches.
"""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).parent


def package_text(folder: str, name: str) -> str:
    """Return the text of the file `name` in the package's `folder`.

    Raises ValueError if either is more than a plain name, and FileNotFoundError
    if there is no such file.
    """
    for part in (folder, name):
        if part in ("", ".", "..") or not part.isprintable() or set(part) & set("/\\:"):
            raise ValueError(f"{part!r} is not a plain file name")
    return (data_folder(PACKAGE, folder) / name).read_text(encoding="utf-8")


def data_folder(package: Path, folder: str) -> Path:
    """Return where `folder` lies: beside `package` in a source tree, else inside it.

    What stands beside an installed package belongs to somebody else, so only a
    folder next to netcheck's own project file counts as its source tree.
    """
    root = package.parent
    beside = root / folder
    if (root / "pyproject.toml").is_file() and beside.is_dir():
        return beside
    return package / folder
