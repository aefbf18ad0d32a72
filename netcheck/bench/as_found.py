"""The panel as whoever stands before it finds it, with power on: breakers closed, nothing tripped.

A review lets all that moves freely; at the bench auxiliary contacts stand as their poles do, and a
monitor that is energised while healthy is.
"""

from __future__ import annotations

from netcheck.bench.auxiliaries import following
from netcheck.bench.monitors import watching
from netcheck.model.panel import Panel


def as_found(panel: Panel) -> Panel:
    """The very panel without either."""
    return watching(following(panel))
