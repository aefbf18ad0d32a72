"""A repository of its own for a test, with git as it is installed."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

PLAIN = {
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_SYSTEM": os.devnull,
    "GIT_AUTHOR_NAME": "A",
    "GIT_AUTHOR_EMAIL": "a@example.org",
    "GIT_COMMITTER_NAME": "A",
    "GIT_COMMITTER_EMAIL": "a@example.org",
}


class Repository:
    """Files in a folder, and what git makes of them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.git("init", "-q", "-b", "main")

    def git(self, *arguments: str) -> str:
        return subprocess.run(
            ["git", *arguments],
            cwd=self.folder,
            env={**os.environ, **PLAIN},
            check=True,
            capture_output=True,
            text=True,
        ).stdout

    def write(self, **texts: str) -> None:
        for name, text in texts.items():
            (self.folder / f"{name}.panel").write_text(text, encoding="utf-8")

    def commit(self, **texts: str) -> None:
        self.write(**texts)
        self.git("add", "-A")
        self.git("commit", "-q", "-m", "a change")
