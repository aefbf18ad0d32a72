"""Reads the files of a project from disk, and nothing outside its folder."""

from __future__ import annotations

import ntpath
import os
import stat
from collections.abc import Mapping

from netcheck.cli.project_files import folders_up, nearest, refuse_link_out
from netcheck.loading import CannotLoad
from netcheck.text import Source

SUFFIX = ".panel"

LARGEST_MB = 64
LARGEST_BYTES = LARGEST_MB * 1024 * 1024

UTF_16_MARKS = (b"\xff\xfe", b"\xfe\xff")


class FileLoader:
    """The loader of the command line.

    `roots` gives for each path named by the user the folder that its includes may not
    leave; an included file has the folder of the file that includes it.  No other path
    is ever opened.  `unsaved` holds texts that stand in for the files of these paths.
    """

    def __init__(
        self, roots: Mapping[str, str], unsaved: Mapping[str, bytes] | None = None
    ) -> None:
        self._roots = dict(roots)
        self._unsaved = {os.path.abspath(path): data for path, data in (unsaved or {}).items()}
        self._sources: dict[str, Source] = {}
        self._project_files: dict[tuple[str, str], Source | None] = {}
        self.latest = ""
        """The path asked for last, for whoever reports progress."""

    def load(self, path: str) -> Source:
        self.latest = path
        if path not in self._roots:
            raise CannotLoad("this file does not belong to the project")
        if path not in self._sources:
            self._sources[path] = self.read(path)
        return self._sources[path]

    def read(self, path: str) -> Source:
        """The text of a path that may be read.  Raises CannotLoad."""
        data = self._unsaved.get(os.path.abspath(path))
        return Source(path, decoded(read_file(path) if data is None else data))

    def refuse(self, path: str, root: str) -> None:
        """Raise CannotLoad for a path that may not be included from within `root`."""
        refuse_outside(path, root)

    def project_file(self, path: str) -> Source | None:
        """The nearest upwards, named as the user names the panel: from here, or in full."""
        key = os.path.dirname(path) or os.curdir, self._roots.get(path) or os.curdir
        if key not in self._project_files:
            folders = folders_up(*key)
            found = nearest(folders, lambda at: self.read_project_file(at, folders[-1]))
            self._project_files[key] = None
            if found is not None:
                at, data = found
                shown = at if os.path.isabs(path) else os.path.relpath(at)
                self._project_files[key] = Source(shown.replace(os.sep, "/"), decoded(data))
        return self._project_files[key]

    def read_project_file(self, path: str, top: str) -> bytes | None:
        """The bytes of a project file, None where there is none.  Raises CannotLoad."""
        if not os.path.lexists(path):
            return None
        refuse_link_out(path, top)
        return read_file(path)

    def resolve(self, included: str, from_path: str) -> str:
        if not included or not included.isprintable():
            raise CannotLoad("this is no file name")
        if "\\" in included:
            raise CannotLoad("write `/` between folders, not `\\`")
        if included.startswith("/") or ntpath.splitdrive(included)[0]:
            raise CannotLoad("a file is named from the folder of the text that includes it")
        root = self._roots.get(from_path)
        if root is None:
            raise CannotLoad("the text that includes it does not belong to the project")
        path = os.path.normpath(os.path.join(os.path.dirname(from_path), included))
        self.refuse(path, root)
        path = path.replace(os.sep, "/")
        self._roots.setdefault(path, root)
        return path


def refuse_outside(path: str, root: str) -> None:
    """Raise CannotLoad unless `path` is a `.panel` file in the folder `root`, links followed.

    The suffix keeps other files of the folder, which may hold secrets, from being quoted
    in an error message.
    """
    named, real = (_inside(of(path), of(root)) for of in (os.path.abspath, os.path.realpath))
    if not real:
        through = " through a link" if named else ""
        raise CannotLoad(f"this leads out of the project's folder `{root}`{through}")
    if not os.path.realpath(path).endswith(SUFFIX):
        raise CannotLoad(f"only files that end in `{SUFFIX}` can be included")


def _inside(path: str, folder: str) -> bool:
    try:
        return os.path.commonpath((path, folder)) == folder
    except ValueError:  # two drives
        return False


def read_file(path: str) -> bytes:
    """Return the bytes of an ordinary file.  Raises CannotLoad; opens no pipe and no device."""
    try:
        _refuse_other_than_file(os.stat(path).st_mode)
        with open(path, "rb") as file:
            return file.read(LARGEST_BYTES + 1)
    except (FileNotFoundError, NotADirectoryError):
        raise CannotLoad("there is no such file") from None
    except PermissionError:
        raise CannotLoad("there is no permission to read this file") from None
    except OSError as error:
        raise CannotLoad(f"this file cannot be read: {error.strerror or error}") from None


def _refuse_other_than_file(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise CannotLoad("this is a folder, not a file")
    if not stat.S_ISREG(mode):
        raise CannotLoad("this is a pipe or a device, not a file; `-` reads standard input")


def decoded(data: bytes) -> str:
    """Return UTF-8 `data` as text.  Raises CannotLoad at the spot that is no such text."""
    if len(data) > LARGEST_BYTES:
        raise CannotLoad(f"this file is larger than {LARGEST_MB} MB")
    if data.startswith(UTF_16_MARKS):
        raise CannotLoad("this text is saved as UTF-16; save it as UTF-8")
    if b"\0" in data:
        offset = data.index(b"\0")
        raise CannotLoad(f"this is no text: byte {offset} is zero", *_spot(data, offset))
    try:
        return data.decode()
    except UnicodeDecodeError as error:
        line, column = _spot(data, error.start)
        message = f"byte {error.start}, in line {line}, is not UTF-8 text; save the file as UTF-8"
        raise CannotLoad(message, line, column) from None


def _spot(data: bytes, offset: int) -> tuple[int, int]:
    """Line and column of the byte at `offset`, where all before it is UTF-8 text."""
    before = Source("", data[:offset].decode(errors="replace")).lines
    return len(before), len(before[-1]) + 1
