"""What the JSON documents of the bench have in common."""

from __future__ import annotations

from typing import Any

from netcheck.bench.readings import Reading


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
