"""Which settings move a rule: those that it, or a fact it asks, is seen to read.

A declaration would have to be kept true by hand; this is looked at, on the rule's own samples.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from netcheck.case import Case
from netcheck.loading import CannotLoad
from netcheck.model.build import build_panel
from netcheck.model.panel import Settings
from netcheck.reading.project import gather
from netcheck.record import replace
from netcheck.rule import Rule
from netcheck.text import Source

WORDS = {
    "practice": "practice",
    "ambient_c": "ambient",
    "outside_c": "ambient",
    "numbers": "numbers",
    "terminals_c": "terminals",
    "bundled": "bundling",
    "drop_limit": "drop limit",
    "duty": "duty",
    "colours": "[colours]",
    "nameplate": "nameplate",
}
"""Fields of the settings, and how each is written."""

PANELS_OWN = ("nameplate",)
"""Settings that no project file may say."""


def settings_read(rule: Rule, texts: Iterable[str]) -> tuple[str, ...]:
    """The settings that are read while the rule looks at the panels of `texts`."""
    read: set[str] = set()
    for text in texts:
        panel, _ = build_panel("sample.panel", gather("sample.panel", _Alone(text)))
        watched = cast(Settings, _Watched(panel.settings, read))
        for _ in rule.outcomes(Case(replace(panel, settings=watched))):
            pass
    return tuple(dict.fromkeys(word for name, word in WORDS.items() if name in read))


class _Watched:
    """Settings that note what is asked of them."""

    def __init__(self, settings: Settings, read: set[str]) -> None:
        self._settings = settings
        self._read = read

    def __getattr__(self, name: str) -> Any:
        self._read.add(name)
        return getattr(self._settings, name)


class _Alone:
    def __init__(self, text: str) -> None:
        self._text = text

    def load(self, path: str) -> Source:
        return Source(path, self._text)

    def resolve(self, included: str, from_path: str) -> str:
        raise CannotLoad("a sample stands alone")

    def project_file(self, path: str) -> Source | None:
        return None
