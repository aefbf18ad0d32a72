"""Results of earlier runs, used again only where everything they came from is the same.

That is: this very netcheck to the last byte of its code and tables, what was asked for, and
whatever was asked of the loader with whatever it answered, for the panel, for all it includes and
for the project's settings.  A file that was missing then and is there now answers otherwise.

They stand in the user's own folder for such things, not in the project's: what comes with a
project must not be able to bring its own verdict along.
"""

from __future__ import annotations

import json
import os
import re
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from netcheck.cli.asking import Asked, as_asked, digest
from netcheck.cli.packing import CannotPack, packed, unpacked
from netcheck.data import package_digest
from netcheck.finding import Review
from netcheck.loading import CannotLoad
from netcheck.text import Source

if TYPE_CHECKING:
    from netcheck.loading import Loader

MOST_KEPT = 20_000
DAYS_UNUSED = 30
DAY_S = 86_400
LARGEST_BYTES = 16 * 1024 * 1024
"""Of one result; none is written or read beyond."""

_PROGRAM = re.compile(r"[0-9a-f]{16}")
_ENTRY = re.compile(r"[0-9a-f]{64}\.json")


def usual_folder() -> str:
    """Where a user's programs keep what they can do without; empty where there is no such place."""
    if os.name == "nt":
        base = os.environ.get("LOCALAPPDATA", "")
    elif os.environ.get("XDG_CACHE_HOME"):
        base = os.environ["XDG_CACHE_HOME"]
    else:
        home = os.path.expanduser("~")
        caches = "Library/Caches" if sys.platform == "darwin" else ".cache"
        base = os.path.join(home, caches) if os.path.isabs(home) else ""
    return os.path.join(base, "netcheck") if os.path.isabs(base) else ""


class Kept:
    """The results kept in one folder.  A folder that cannot be used keeps none."""

    def __init__(self, folder: str, asked: Sequence[str], as_of: str = "") -> None:
        """`asked` is all that a result depends on beside the texts and the day `as_of`."""
        self.as_of = as_of
        self._asked = json.dumps([*asked, sys.version])
        self._top = folder
        self._folder = os.path.join(folder, package_digest()[:16]) if folder else ""
        self._wrote = False

    def find(self, path: str, loader: Loader) -> tuple[Review, Mapping[str, Source]] | None:
        """What was kept of this panel, with its texts; None if there is nothing, or anything is
        not as it was."""
        try:
            entry = self._read(self._file(path, loader.load(path)))
            if entry["day"] not in ("", self.as_of):
                return None
            sources = as_asked(loader, entry["asked"])
            review = unpacked(entry["review"])
        except (OSError, ValueError, TypeError, LookupError, CannotLoad, RecursionError):
            return None  # nothing there, or nothing that this netcheck wrote whole
        return (review, sources) if isinstance(review, Review) and sources else None

    def keep(
        self, path: str, review: Review, sources: Mapping[str, Source], asked: Sequence[Asked]
    ) -> None:
        """Keep what came of this panel.  What cannot be kept is worked out again next time."""
        # An acceptance may run out; nothing else in a text has to do with the day.
        dated = any("until" in source.text.lower() for source in sources.values())
        entry = {"asked": asked, "day": self.as_of if dated else "", "review": None}
        with suppress(OSError, CannotPack, RecursionError, LookupError):
            entry["review"] = packed(review)
            body = json.dumps(entry).encode()
            if len(body) < LARGEST_BYTES:
                self._write(self._file(path, sources[path]), digest(body).encode() + b"\n" + body)

    def prune(self) -> None:
        """Take away what nobody used for long, and the oldest where there is too much."""
        if self._wrote:
            with suppress(OSError):
                for name in os.listdir(self._top):
                    if _PROGRAM.fullmatch(name):
                        _prune(os.path.join(self._top, name))

    # ---- files -----------------------------------------------------------------------------------

    def _file(self, path: str, source: Source) -> str:
        name = digest(json.dumps([self._asked, path, source.text]).encode())
        return os.path.join(self._folder, f"{name}.json")

    def _read(self, file: str) -> dict[str, Any]:
        if not self._folder or os.path.islink(self._folder):
            raise FileNotFoundError(file)
        with open(file, "rb") as opened:
            said, _, body = opened.read(LARGEST_BYTES).partition(b"\n")
            if os.fstat(opened.fileno()).st_mtime < time.time() - DAY_S:
                os.utime(file)  # it is of use still
        if said.decode() != digest(body):
            raise ValueError("torn")
        entry: dict[str, Any] = json.loads(body)
        return entry

    def _write(self, file: str, data: bytes) -> None:
        """Whole or not at all, so that of several writers each leaves a result that is right."""
        if not self._folder or os.path.islink(self._folder):
            return
        os.makedirs(self._folder, mode=0o700, exist_ok=True)
        handle, part = tempfile.mkstemp(dir=self._folder, prefix=".part-")
        try:
            with open(handle, "wb") as opened:
                opened.write(data)
            os.replace(part, file)
        except BaseException:
            os.unlink(part)
            raise
        self._wrote = True


def _prune(folder: str) -> None:
    if os.path.islink(folder):
        return
    oldest = time.time() - DAYS_UNUSED * DAY_S
    with os.scandir(folder) as found:
        used = sorted(
            (one.stat(follow_symlinks=False).st_mtime, one.path)
            for one in found
            if _ENTRY.fullmatch(one.name) or one.name.startswith(".part-")
        )
    surplus = len(used) // 2 if len(used) > MOST_KEPT else 0
    for number, (mtime, path) in enumerate(used):
        if mtime < oldest or number < surplus:
            with suppress(OSError):
                os.unlink(path)
    with suppress(OSError):
        os.rmdir(folder)  # refused while anything is in it
