"""Keeps README's output true: every `$ netcheck ...` in a console block is run again.

    python tests/readme.py      rewrites README.md with what the commands print now

A block may end its command with `| head -N`, as a reader would.
"""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
BLOCK = re.compile(r"```console\n\$ (?P<command>netcheck [^\n]*)\n(?P<shown>.*?)```", re.DOTALL)


def printed(command: str) -> str:
    """What a netcheck command of the README prints, and its exit status as a last line."""
    words = shlex.split(command)
    lines = None
    if "|" in words:
        at = words.index("|")
        lines = int(words[-1].removeprefix("-"))
        words = words[:at]
    run = subprocess.run(
        [sys.executable, "-m", *words], cwd=ROOT, capture_output=True, text=True, check=False
    )
    shown = run.stdout.splitlines()
    if lines is not None:
        return "\n".join(shown[:lines]) + "\n"
    return "\n".join([*shown, f"(exit status {run.returncode})"]) + "\n"


def refreshed(text: str) -> str:
    """The README's text with every console block's output as it is now."""

    def again(block: re.Match[str]) -> str:
        return f"```console\n$ {block['command']}\n{printed(block['command'])}```"

    return BLOCK.sub(again, text)


if __name__ == "__main__":
    README.write_text(refreshed(README.read_text(encoding="utf-8")), encoding="utf-8")
