"""What the JSON documents of the bench have in common."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from netcheck import __version__
from netcheck.bench.readings import Reading
from netcheck.finding import Mistake
from netcheck.report.closing import CAUTION
from netcheck.report.json import mistake_in_json


def whole(
    schema: int, path: str, told: Mapping[str, Any], mistakes: Sequence[Mistake]
) -> dict[str, Any]:
    """A document: what is `told` of the panel at `path`, between what every document has."""
    return {
        "schema": schema,
        "netcheck": __version__,
        "panel": path,
        **told,
        "mistakes": [mistake_in_json(mistake) for mistake in mistakes],
        "caution": " ".join(CAUTION),
    }


def written(document: dict[str, Any]) -> str:
    """The document as text that ends with a line end."""
    return json.dumps(document, indent=2, allow_nan=False) + "\n"


def reading_in_json(reading: Reading | None) -> dict[str, Any] | None:
    """None where nothing could be solved in numbers."""
    if reading is None:
        return None
    return {
        "dc_v": None if reading.floats else reading.dc_v,
        "ac_v": None if reading.floats else reading.ac_v,
        "floats": reading.floats,
        "words": str(reading),
    }
