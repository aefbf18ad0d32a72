"""What a project file chooses for every panel beside or below it.

It is TOML: `netcheck.toml`, or the table `[tool.netcheck]` of a `pyproject.toml`.  A setting
is written as in a panel's text, and read by the same words:

    practice = "IEC 60204-1"
    drop-limit = "3 %"

    [rules]
    "node with two numbers" = "off"      # or "on", "danger", "defect", "query"

    [families]
    drawing = "query"

    [colours]
    "ungrounded DC" = ["blue"]

Whether a rule is called so is looked at where rules are known (netcheck/chosen.py).
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from netcheck.finding import Mistake
from netcheck.model.panel import Settings
from netcheck.reading.told import Told
from netcheck.record import fresh, record
from netcheck.text import Source, Span

OWN, SHARED = "netcheck.toml", "pyproject.toml"
"""Names of project files: our own, and one that other tools share."""

DUTIES = (
    "ungrounded AC",
    "ungrounded DC",
    "grounded AC",
    "grounded DC",
    "grounding",
    "live with the main off",
)
"""What a conductor does, as far as a scheme of colours tells it apart."""


@record
class Written:
    """A setting as the project file writes it, and where."""

    text: str
    span: Span


@record
class ProjectSettings:
    """What a panel's settings begin with, and the settings that the file says, by their word."""

    settings: Settings = Settings()
    said: Mapping[str, Written] = fresh(factory=dict)
    mistakes: tuple[Mistake, ...] = ()


NOTHING_CHOSEN = ProjectSettings()


def project_settings(source: Source | None, told: Told) -> ProjectSettings:
    """The settings of a project file, its mistakes told; none where there is no such file."""
    if source is None:
        return NOTHING_CHOSEN
    found = _read(source)
    for mistake in found.mistakes:
        told.add(mistake)
    return found


@lru_cache(maxsize=8)
def _read(source: Source) -> ProjectSettings:
    """Read once for all panels of a folder; nothing of it is loaded where no such file is."""
    from netcheck.model.project_file import read

    return read(source)
