"""Between which poles there are as many volts as somebody is told to be exposed to."""

from __future__ import annotations

from collections.abc import Collection
from itertools import combinations

from netcheck.bench.readings import as_said
from netcheck.model.panel import Panel

ROOM_V = 1.0


def poles_apart(panel: Panel, sources: Collection[str], volts: float) -> str:
    """`MAINS:L1 to MAINS:L2`, of these sources; empty where no two poles are so far apart."""
    for source in panel.sources:
        if source.device in sources:
            for a, b in combinations(source.poles, 2):
                apart_v = as_said(panel, abs(source.poles[a] - source.poles[b]), source.kind)
                if abs(apart_v - volts) < ROOM_V:
                    return f"{source.device}:{a} to {source.device}:{b}"
    return ""
