"""A lock-out list as a JSON document, described field by field in isolate.schema.json."""

from __future__ import annotations

from typing import Any

from netcheck.bench.isolate_document import IsolateDocument
from netcheck.bench.isolating import Isolation
from netcheck.bench.json_parts import whole, written
from netcheck.bench.opened import Opened
from netcheck.bench.reaching import Feed, Point

SCHEMA = 1
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(document: IsolateDocument) -> str:
    """Return the document as text that ends with a line end."""
    return written(as_document(document))


def as_document(document: IsolateDocument) -> dict[str, Any]:
    shown = {
        "devices": [_isolation(one) for one in document.isolations],
        "points": [_point(one) for one in document.points],
        "opened": _opened(document.opened) if document.opened is not None else None,
        "unsaid_grounds": list(document.unsaid),
    }
    return whole(SCHEMA, document.path, shown, document.mistakes)


def _isolation(one: Isolation) -> dict[str, Any]:
    return {
        "device": one.device,
        "location": one.location,
        "sources": list(one.sources),
        "lock": list(one.handles),
        "lock_elsewhere": list(one.elsewhere),
        "no_lock_opens": list(one.unlocked),
        "prove_dead": list(one.prove_dead),
        "stays_live": [str(beside) for beside in one.stays_live],
        "stored": list(one.stored),
    }


def _opened(told: Opened) -> dict[str, Any]:
    return {
        "handles": list(told.handles),
        "still_live": [
            {
                "device": one.device,
                "location": one.location,
                "points": list(one.points),
                "partly": one.partly,
                "sources": list(one.sources),
                "volts": one.volts,
            }
            for one in told.live
        ],
        "fuses": list(told.fuses),
        "dead": list(told.dead),
        "stored": list(told.stored),
    }


def _point(one: Point) -> dict[str, Any]:
    return {
        "terminals": list(one.terminals),
        "wires": list(one.numbers),
        "held_at_ground": one.grounded,
        "sources": [_feed(feed) for feed in one.feeds],
        "stored": list(one.stored),
    }


def _feed(one: Feed) -> dict[str, Any]:
    return {
        "source": one.source,
        "from_elsewhere": one.elsewhere,
        "way": list(one.way),
        "backwards_through": list(one.backwards),
        "opened_by_any": list(one.opened_by),
        "opened_by_all": list(one.opened_together),
        "battery": one.battery,
    }
