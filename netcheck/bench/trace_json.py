"""A traced load as a JSON document, described field by field in trace.schema.json."""

from __future__ import annotations

from typing import Any

from netcheck.bench.json_parts import reading_in_json, whole, written
from netcheck.bench.probe_sheet import Point, ProbeSheet
from netcheck.bench.trace_document import TraceDocument
from netcheck.bench.tracing import Place, Traced

SCHEMA = 1
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(document: TraceDocument) -> str:
    """Return the document as text that ends with a line end."""
    return written(as_document(document))


def as_document(document: TraceDocument) -> dict[str, Any]:
    shown = {
        "supposed": list(document.supposed),
        "loads": [_traced(document, traced) for traced in document.traced],
    }
    return whole(SCHEMA, document.path, shown, document.mistakes)


def _traced(document: TraceDocument, traced: Traced) -> dict[str, Any]:
    energising = traced.energising
    return {
        "load": traced.load,
        "word": traced.word,
        "verdict": traced.verdict,
        "across": reading_in_json(traced.across),
        "live": list(traced.live),
        "highest_v": traced.highest_v,
        "stored": list(traced.stored),
        "standing": list(traced.standing),
        "reference": traced.reference,
        "path": [_place(place) for place in traced.places],
        "other_ways": [[_place(place) for place in way.contacts] for way in traced.others],
        "more_ways": traced.more_ways,
        "ends": list(traced.ends),
        "live_at_0_v": list(traced.live_noughts),
        "conditions": list(document.conditions.get(traced.load, ())),
        "to_energise": {
            "steps": list(energising.steps),
            "from_here": energising.from_here,
            "why_not": energising.why_not,
        },
        "lamps": list(traced.lamps),
        "probe_sheet": _sheet(traced.sheet) if traced.sheet is not None else None,
        "left_open": list(traced.open_questions),
        "assumed": list(traced.assumed),
    }


def _place(place: Place) -> dict[str, Any]:
    return {
        "at": place.at,
        "location": place.location,
        "side": place.side,
        "by": place.by,
        "sort": place.sort,
        "open": place.open,
        "meant": place.meant if place.open else (False if place.stuck else None),
        "why": place.why,
        "reading": reading_in_json(place.volts),
    }


def _sheet(sheet: ProbeSheet) -> dict[str, Any]:
    return {
        "black": sheet.black,
        "black_live": sheet.black_live,
        "black_in_other_panels": list(sheet.elsewhere),
        "set_up": list(sheet.set_up),
        "points": [_point(point) for point in sheet.points],
        "at_load": reading_in_json(sheet.at_load),
        "drop_v": sheet.drop_v,
        "if_all_well": sheet.if_all_well,
    }


def _point(point: Point) -> dict[str, Any]:
    return {
        "at": point.terminal,
        "wire": point.wire,
        "location": point.location,
        "side": point.side,
        "healthy": reading_in_json(point.healthy),
        "turn": point.turn,
        "suspects": list(point.suspects),
        "another_way_round": point.beside,
    }
