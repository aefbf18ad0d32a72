"""Which terminals are made for grounding conductors: those marked PE, and grounding bars."""

from __future__ import annotations

from netcheck.model.devices import device_of, mark_of
from netcheck.model.panel import Panel


def is_grounding_terminal(panel: Panel, terminal: str) -> bool:
    """Whether a terminal is made for grounding conductors."""
    return mark_of(terminal) == "PE" or bool(
        panel.devices[device_of(terminal)].values.get("grounding")
    )
