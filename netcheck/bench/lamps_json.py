"""Lamps of controllers as a JSON document, described in lamps.schema.json."""

from __future__ import annotations

from typing import Any

from netcheck.bench.json_parts import reading_in_json, whole, written
from netcheck.bench.lamps import Lamp, Shown, Step
from netcheck.bench.lamps_document import LampsDocument

SCHEMA = 1
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(document: LampsDocument) -> str:
    """Return the document as text that ends with a line end."""
    return written(as_document(document))


def as_document(document: LampsDocument) -> dict[str, Any]:
    told = document.lamps
    shown = {
        "supposed": list(document.supposed),
        "steps": [_step(step) for step in told.steps] if told else [],
        "restless": bool(told and told.restless),
        "assumed": list(told.assumed) if told else [],
    }
    return whole(SCHEMA, document.path, shown, document.mistakes)


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
