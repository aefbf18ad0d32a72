"""A lock-out list as a JSON document, described field by field in isolate.schema.json."""

from __future__ import annotations

import json
from typing import Any

from netcheck import __version__
from netcheck.bench.isolate_document import IsolateDocument
from netcheck.bench.isolating import Isolation
from netcheck.report.closing import CAUTION
from netcheck.report.json import mistake_in_json

SCHEMA = 1
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(document: IsolateDocument) -> str:
    """Return the document as text that ends with a line end."""
    return json.dumps(as_document(document), indent=2, allow_nan=False) + "\n"


def as_document(document: IsolateDocument) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "netcheck": __version__,
        "panel": document.path,
        "devices": [_isolation(one) for one in document.isolations],
        "mistakes": [mistake_in_json(mistake) for mistake in document.mistakes],
        "caution": " ".join(CAUTION),
    }


def _isolation(one: Isolation) -> dict[str, Any]:
    return {
        "device": one.device,
        "location": one.location,
        "sources": list(one.sources),
        "lock": list(one.handles),
        "lock_elsewhere": list(one.elsewhere),
        "prove_dead": list(one.prove_dead),
        "stays_live": list(one.stays_live),
        "stored": list(one.stored),
    }
