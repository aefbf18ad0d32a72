"""Lamps of controllers as a JSON document, described in lamps.schema.json."""

from __future__ import annotations

import json
from typing import Any

from netcheck import __version__
from netcheck.bench.json_parts import reading_in_json
from netcheck.bench.lamps import Lamp, Shown, Step
from netcheck.bench.lamps_document import LampsDocument
from netcheck.report.closing import CAUTION
from netcheck.report.json import mistake_in_json

SCHEMA = 1
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(document: LampsDocument) -> str:
    """Return the document as text that ends with a line end."""
    return json.dumps(as_document(document), indent=2, allow_nan=False) + "\n"


def as_document(document: LampsDocument) -> dict[str, Any]:
    told = document.lamps
    return {
        "schema": SCHEMA,
        "netcheck": __version__,
        "panel": document.path,
        "supposed": list(document.supposed),
        "steps": [_step(step) for step in told.steps] if told else [],
        "restless": bool(told and told.restless),
        "assumed": list(told.assumed) if told else [],
        "mistakes": [mistake_in_json(mistake) for mistake in document.mistakes],
        "caution": " ".join(CAUTION),
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "words": step.words,
        "followed": list(step.followed),
        "running": list(step.running),
        "controllers": [_shown(shown) for shown in step.shown],
    }


def _shown(shown: Shown) -> dict[str, Any]:
    return {
        "device": shown.device,
        "powered": shown.powered,
        "supply": list(shown.supply or ()),
        "supply_reads": reading_in_json(shown.supply_reads),
        "lamps": [_lamp(lamp) for lamp in shown.lamps],
    }


def _lamp(lamp: Lamp) -> dict[str, Any]:
    return {
        "terminal": lamp.terminal,
        "sort": lamp.sort,
        "lit": lamp.lit,
        "red": lamp.red,
        "black": lamp.black,
        "expected": reading_in_json(lamp.expected),
        "direct_a": lamp.direct_a,
        "alternating_a": lamp.alternating_a,
        "why": lamp.why,
    }
