"""How the text of a file is asked for, without opening any file here.

Whoever runs a review passes a `Loader`: the command line reads files, an editor
gives its unsaved text, a test a dictionary.
"""

from __future__ import annotations

from typing import Protocol

from netcheck.text import Source


class CannotLoad(Exception):
    """A file that cannot be had, and why.

    `message` is a sentence part without the file's name; `line` and `column` (from 1)
    point at the spot inside the file where there is one.
    """

    def __init__(self, message: str, line: int = 1, column: int = 1) -> None:
        super().__init__(message)
        self.message = message
        self.line = line
        self.column = column


class Loader(Protocol):
    """Gives the text of the files of one project, and of no others."""

    def load(self, path: str) -> Source:
        """The text of `path`, a path as the user gave it or as `resolve` returned it.

        Raises CannotLoad.
        """
        ...

    def resolve(self, included: str, from_path: str) -> str:
        """The path of the file that the text of `from_path` calls `included`.

        Raises CannotLoad if that is an absolute path, or leads out of the project's
        folder, be it by its words or through a link.
        """
        ...

    def project_file(self, path: str) -> Source | None:
        """The project file that holds for the text of `path`, or None where there is none.

        Raises CannotLoad for one that is there and cannot be had.
        """
        ...
