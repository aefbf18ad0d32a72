"""Small panels for tests of facts, built from their text."""

from netcheck.model.build import build_panel
from netcheck.model.panel import Panel
from netcheck.reading.project import gather
from tests.annotated import Texts


def panel_of(text: str) -> Panel:
    """The panel that a text describes, which must be without a mistake."""
    path = "bench.panel"
    gathered = gather(path, Texts({path: text}))
    panel, mistakes = build_panel(path, gathered)
    assert [] == [mistake.message for mistake in (*gathered.mistakes, *mistakes)]
    return panel
