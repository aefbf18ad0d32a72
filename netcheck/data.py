"""The one place that reads what the package brings along, such as its grammar.

An installed netcheck has these folders inside the package.  In a source tree they
stand beside it, and there they win: an editable install leaves a copy of them
elsewhere that no later edit reaches.
"""

from __future__ import annotations

import os

PACKAGE = os.path.dirname(os.path.abspath(__file__))
# Not pathlib: with what it imports in turn it would cost a review 9 ms of every start.


def package_text(folder: str, name: str) -> str:
    """Return the text of the file `name` in the package's `folder`.

    Raises ValueError if either is more than a plain name, and FileNotFoundError
    if there is no such file.
    """
    for part in (folder, name):
        if part in ("", ".", "..") or not part.isprintable() or set(part) & set("/\\:"):
            raise ValueError(f"{part!r} is not a plain file name")
    with open(os.path.join(data_folder(PACKAGE, folder), name), encoding="utf-8") as file:
        return file.read()


def data_folder(package: str, folder: str) -> str:
    """Return where `folder` lies: beside `package` in a source tree, else inside it.

    What stands beside an installed package belongs to somebody else, so only a
    folder next to netcheck's own project file counts as its source tree.
    """
    root = os.path.dirname(package)
    beside = os.path.join(root, folder)
    if os.path.isfile(os.path.join(root, "pyproject.toml")) and os.path.isdir(beside):
        return beside
    return os.path.join(package, folder)
