"""The one place that reads what the package brings along, such as its grammar.

An installed netcheck has these folders inside the package.  In a source tree they
stand beside it, and there they win: an editable install leaves a copy of them
elsewhere that no later edit reaches.
"""

from __future__ import annotations

import os

PACKAGE = os.path.dirname(os.path.abspath(__file__))
# Not pathlib: with what it imports in turn it would cost a review 9 ms of every start.


def package_text(folder: str, *names: str) -> str:
    """Return the text of a file in the package's `folder`; `names` lead to it.

    Raises ValueError if any is more than a plain name, and FileNotFoundError
    if there is no such file.
    """
    with open(_path(folder, *names), encoding="utf-8") as file:
        return file.read()


def own_text(*names: str) -> str:
    """Return the text of a file that lies among the package's modules; `names` lead to it."""
    assert all(name.isprintable() and not set(name) & set("/\\:") for name in names)
    with open(os.path.join(PACKAGE, *names), encoding="utf-8") as file:
        return file.read()


def package_names(folder: str, *names: str) -> list[str]:
    """Return what is in a folder of the package, in the order of the names; nothing if it is none.

    Raises ValueError if any name is more than a plain one.
    """
    path = _path(folder, *names)
    return sorted(os.listdir(path)) if os.path.isdir(path) else []


def package_digest() -> str:
    """A digest of all that netcheck is: code, tables, grammar.  One byte more is another one."""
    import hashlib

    found = hashlib.sha256()
    for folder in (PACKAGE, data_folder(PACKAGE, "grammar")):
        for here, folders, files in os.walk(folder):
            folders[:] = sorted(set(folders) - {"__pycache__", "samples"})
            for name in sorted(files):
                with open(path := os.path.join(here, name), "rb") as file:
                    data = file.read()
                found.update(f"{os.path.relpath(path, folder)}\0{len(data)}\0".encode())
                found.update(data)
    return found.hexdigest()


def _path(folder: str, *names: str) -> str:
    for part in (folder, *names):
        if part in ("", ".", "..") or not part.isprintable() or set(part) & set("/\\:"):
            raise ValueError(f"{part!r} is not a plain file name")
    return os.path.join(data_folder(PACKAGE, folder), *names)


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
