"""Finds the project file of a panel: the nearest one upwards from the panel's folder.

In each folder `netcheck.toml` is looked for first, then a `pyproject.toml` with a table
`[tool.netcheck]`; the first that is there holds, and nothing is merged.  The search never leaves
the repository that the panel lies in; outside of any, it ends at the user's home, and elsewhere
at the folder that was named or that holds the panel.  So no file that somebody left above
can switch off a rule.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Sequence

from netcheck.loading import CannotLoad
from netcheck.model.project_settings import OWN, SHARED

REPOSITORY = ".git"

_MAY_HAVE_TABLE = re.compile(rb"tool.*netcheck|\[\W*tool\W*\]|\\")
"""The table has both words in its heading or, under `[tool]`, a key; an escape may spell either."""


def folders_up(folder: str, root: str) -> Sequence[str]:
    """The folders to look in, nearest first; `root` bounds the search where nothing else does."""
    up = list(_upwards(os.path.abspath(folder)))
    home = os.path.expanduser("~")
    for place, one in enumerate(up):
        if one == home or os.path.exists(os.path.join(one, REPOSITORY)):
            return up[: place + 1]
    root = os.path.abspath(root)
    return up[: up.index(root) + 1] if root in up else up[:1]


def _upwards(folder: str) -> Iterator[str]:
    while True:
        yield folder
        above = os.path.dirname(folder)
        if above == folder:
            return
        folder = above


def nearest(
    folders: Sequence[str], read: Callable[[str], bytes | None]
) -> tuple[str, bytes] | None:
    """The path and the bytes of the first project file in `folders`.

    `read` gives what a path holds, None where nothing is there, and raises CannotLoad.
    """
    for folder in folders:
        for name in (OWN, SHARED):
            path = os.path.join(folder, name)
            data = read(path)
            if data is not None and (name == OWN or _has_table(data)):
                return path, data
    return None


def _has_table(data: bytes) -> bool:
    """Whether a file that other tools share speaks of netcheck.  TOML is read only then."""
    if not _MAY_HAVE_TABLE.search(data):
        return False
    import tomllib

    try:
        document = tomllib.loads(data.decode())
    except (ValueError, RecursionError):
        raise CannotLoad(f"`{SHARED}` is no TOML") from None
    tools = document.get("tool")
    return isinstance(tools, dict) and "netcheck" in tools


def refuse_link_out(path: str, top: str) -> None:
    """Raise CannotLoad for a project file that is a link to somewhere above `top`."""
    real = os.path.realpath(path)
    if os.path.commonpath((real, os.path.realpath(top))) != os.path.realpath(top):
        raise CannotLoad(f"`{os.path.basename(path)}` is a link that leads out of the project")
