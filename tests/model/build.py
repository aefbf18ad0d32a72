"""Texts to panels, for the tests of the model."""

from __future__ import annotations

from netcheck.finding import Mistake
from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from tests.annotated import Texts


def read(text: str, **files: str) -> tuple[Panel, list[Mistake]]:
    gathered = gather("x.panel", Texts({"x.panel": text, **files}))
    panel, mistakes = build_panel("x.panel", gathered)
    return panel, [*gathered.mistakes, *mistakes]


def panel_of(text: str, **files: str) -> Panel:
    panel, mistakes = read(text, **files)
    assert [] == [f"{m.place.span.line}: {m.message}" for m in mistakes]
    return panel


def messages(text: str, **files: str) -> list[str]:
    return [mistake.message for mistake in read(text, **files)[1]]
