"""Texts as they stood in a revision of the git repository around the current folder.

The only program netcheck ever starts.  It gets fixed arguments; a revision's name is made a
commit's number first, and no hook, filter, pager or server of the repository's settings is used.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import cached_property

from netcheck.cli.loader import LARGEST_BYTES, SUFFIX, FileLoader, decoded
from netcheck.loading import CannotLoad
from netcheck.text import Source

ORDINARY_FILES = ("100644", "100755")
LINK, SUBMODULE = "120000", "160000"
MOST_LINKS = 8
"""That one after the other is followed."""

QUIET = {
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_ATTR_NOSYSTEM": "1",
    "LC_ALL": "C",
}
FIXED = (
    *("git", "--no-pager", "--literal-pathspecs"),
    *("-c", "core.fsmonitor=false", "-c", "core.hooksPath=/dev/null", "-c", "protocol.allow=never"),
)


class NoRevision(Exception):
    """A revision that cannot be had, and why."""


def git(*arguments: str, folder: str = os.curdir) -> bytes:
    """What git prints.  Raises NoRevision where it is not there or refuses."""
    import subprocess

    try:
        done = subprocess.run(
            [*FIXED, *arguments],
            cwd=folder,
            env={**os.environ, **QUIET},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=False,
        )
    except OSError as error:
        raise NoRevision(f"git cannot be started: {error.strerror or error}") from None
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().splitlines()
        raise NoRevision(f"git says: {said[-1].removeprefix('fatal: ')}" if said else "git refused")
    return done.stdout


def _if_shallow(folder: str) -> str:
    if git("rev-parse", "--is-shallow-repository", folder=folder).strip() != b"true":
        return ""
    return "; this clone is shallow and has no earlier ones: fetch them first"


class _Blobs:
    """Files' texts by their numbers, all from one git that is started once."""

    def __init__(self, folder: str) -> None:
        """Raises NoRevision."""
        import subprocess

        try:
            self._git = subprocess.Popen(
                [*FIXED, "cat-file", "--batch"],
                cwd=folder,
                env={**os.environ, **QUIET},
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
            )
        except OSError as error:
            raise NoRevision(f"git cannot be started: {error.strerror or error}") from None

    def read(self, number: str) -> bytes:
        """Raises NoRevision where it is not there, and for anything but a file's text."""
        asked, told = self._git.stdin, self._git.stdout
        assert asked is not None
        assert told is not None
        try:
            asked.write(f"{number}\n".encode())
            asked.flush()
            _, kind, size = told.readline().split()
            data = told.read(int(size) + 1)
        except (OSError, ValueError):
            raise NoRevision("it has no such object, or ended") from None
        if kind != b"blob" or len(data) != int(size) + 1:
            raise NoRevision("this is no whole file")
        return data[:-1]

    def end(self) -> None:
        self._git.communicate()


class Revision:
    """One commit: the files in it, by path from the top folder of the repository."""

    def __init__(self, name: str, folder: str = os.curdir) -> None:
        """Raises NoRevision where `folder` is in no repository, or it has no such commit."""
        self.name = name
        self._folder = folder
        top = git("rev-parse", "--show-toplevel", folder=folder)
        self.top = os.path.realpath(os.fsdecode(top.removesuffix(b"\n")))
        try:
            wanted = f"{name}^{{commit}}"
            found = git(
                "rev-parse", "--verify", "--quiet", "--end-of-options", wanted, folder=folder
            )
        except NoRevision:
            raise NoRevision(f"git knows no revision `{name}`{_if_shallow(folder)}") from None
        self.commit = found.decode().split()[-1]

    def __getstate__(self) -> dict[str, object]:
        """For another process, which starts a git of its own."""
        return {name: value for name, value in vars(self).items() if name != "_blobs"}

    @cached_property
    def _blobs(self) -> _Blobs:
        import weakref

        blobs = _Blobs(self._folder)
        weakref.finalize(self, blobs.end)
        return blobs

    @cached_property
    def files(self) -> Mapping[str, tuple[str, int]]:
        """The number of each ordinary file's text and its size in bytes, by its path."""
        found = {
            path: (number, int(size))
            for mode, number, size, path in self._rows
            if mode in ORDINARY_FILES
        }
        for folder, inside in self._submodules.items():
            found |= {f"{folder}/{path}": stored for path, stored in inside.files.items()}
        return found

    @cached_property
    def _rows(self) -> Sequence[tuple[str, str, str, str]]:
        """Mode, number, size and path of everything in it."""
        listed = git("ls-tree", "-r", "-l", "-z", "--full-tree", self.commit, folder=self._folder)
        rows = []
        for row in listed.split(b"\0"):
            head, tab, path = row.partition(b"\t")
            if tab:
                mode, _, number, size = head.decode().split()
                rows.append((mode, number, size, os.fsdecode(path)))
        return rows

    @cached_property
    def _submodules(self) -> Mapping[str, Revision]:
        """By its folder, each repository in this one that is there, as it was then."""
        found = {}
        for mode, number, _, path in self._rows:
            folder = os.path.join(self.top, path)
            if mode == SUBMODULE and os.path.exists(os.path.join(folder, ".git")):
                with suppress(NoRevision):
                    found[path] = Revision(number, folder)
        return found

    @cached_property
    def links(self) -> Mapping[str, str]:
        """Where panels lead that are links to panels in the same revision."""
        to = {}
        for mode, number, _, path in self._rows:
            if mode == LINK and path.endswith(SUFFIX):
                with suppress(NoRevision):
                    words = os.fsdecode(self._blobs.read(number))
                    to[path] = os.path.normpath(os.path.join(os.path.dirname(path), words))
        found = {}
        for path in to:
            at = path
            for _ in range(MOST_LINKS):
                at = to.get(at, at)
            if at in self.files and at.endswith(SUFFIX):
                found[path] = at
        return found

    def place(self, path: str) -> str:
        """Where a path of the working tree lies in the repository.  Raises CannotLoad outside."""
        whole = os.path.join(
            os.path.realpath(os.path.dirname(path) or os.curdir), os.path.basename(path)
        )
        whole = os.path.normpath(whole)
        if os.path.commonpath((whole, self.top)) != self.top:
            raise CannotLoad("this lies outside the repository")
        at = os.path.relpath(whole, self.top).replace(os.sep, "/")
        return self.links.get(at, at)

    def has(self, path: str) -> bool:
        """Whether there is such a file, by its path in the working tree."""
        try:
            return self.place(path) in self.files
        except CannotLoad:
            return False

    def read(self, path: str) -> bytes:
        """The bytes of a file, by its path in the working tree.  Raises CannotLoad."""
        at = self.place(path)
        number, size = self.files.get(at, ("", 0))
        if not number:
            raise CannotLoad(f"there is no such file in {self.name}")
        if size > LARGEST_BYTES:
            return bytes(LARGEST_BYTES + 1)
        try:
            return self._blobs_of(at).read(number)
        except NoRevision as error:
            raise CannotLoad(f"git cannot read this file: {error}") from None

    def _blobs_of(self, at: str) -> _Blobs:
        for folder, inside in self._submodules.items():
            if at.startswith(f"{folder}/"):
                return inside._blobs_of(at.removeprefix(f"{folder}/"))
        return self._blobs

    def panels(self, path: str) -> list[str]:
        """The panels that a file or folder of the working tree named in this revision."""
        at = self.place(path)
        if at in self.files:
            return [path]
        below = f"{at}/" if at not in ("", ".") else ""
        inside = sorted(
            name
            for name in (*self.files, *self.links)
            if name.startswith(below) and name.endswith(SUFFIX) and "/." not in f"/{name}"
            if self.links.get(name, name).startswith(below)
        )
        return [os.path.normpath(os.path.join(path, name[len(below) :])) for name in inside]


class RevisionLoader(FileLoader):
    """The loader of the command line, of files as they stood in a revision."""

    def __init__(self, roots: Mapping[str, str], revision: Revision) -> None:
        super().__init__(roots)
        self._revision = revision

    def read(self, path: str) -> Source:
        return Source(path, decoded(self._revision.read(path)))

    def read_project_file(self, path: str, top: str) -> bytes | None:
        """As it stood in the revision; that is also how far up it is looked for."""
        return self._revision.read(path) if self._revision.has(path) else None

    def refuse(self, path: str, root: str) -> None:
        """As its words say where it leads, and links in the revision."""
        place, folder = self._revision.place(path), self._revision.place(root)
        if folder not in (os.curdir, "") and not place.startswith(f"{folder}/"):
            raise CannotLoad(f"this leads out of the project's folder `{root}`")
        if not path.endswith(SUFFIX):
            raise CannotLoad(f"only files that end in `{SUFFIX}` can be included")
