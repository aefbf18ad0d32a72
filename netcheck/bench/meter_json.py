"""Expected readings as a JSON document, described field by field in meter.schema.json."""

from __future__ import annotations

from typing import Any

from netcheck.bench.cold_ohms import ColdOhms
from netcheck.bench.json_parts import reading_in_json, whole, written
from netcheck.bench.meter_document import MeterDocument
from netcheck.bench.metering import Between, Clamped, Metered, Node
from netcheck.bench.ohms import OhmReading

SCHEMA = 2
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(document: MeterDocument) -> str:
    """Return the document as text that ends with a line end."""
    return written(as_document(document))


def as_document(document: MeterDocument) -> dict[str, Any]:
    shown = {
        "supposed": list(document.supposed),
        "standing": list(document.standing),
        "power_off": document.off,
        "against": document.against,
        "highest_v": document.highest_v,
        "highest_between": document.highest_between,
        "nodes": [_node(node) for node in document.nodes],
        "between": [_between(between) for between in document.between],
        "conductors": [_clamped(one) for one in document.clamped],
        "ohms": [_ohms(one) for one in document.ohms],
        "loads": [_load(one) for one in document.loads],
        "left_open": list(document.open_questions),
        "assumed": list(document.assumed),
        "unsaid_grounds": list(document.unsaid),
    }
    return whole(SCHEMA, document.path, shown, document.mistakes)


def _node(node: Node) -> dict[str, Any]:
    return {
        "terminals": list(node.terminals),
        "wires": list(node.numbers),
        "reading": _metered(node.metered),
    }


def _metered(metered: Metered) -> dict[str, Any]:
    return {
        "red": metered.red,
        "black": metered.black,
        "ideal": reading_in_json(metered.ideal),
        "on_10_mohm": reading_in_json(metered.on_meter),
        "low_impedance": reading_in_json(metered.low_impedance),
        "firm": metered.firm,
        "live": metered.is_live,
        "to_ground": reading_in_json(metered.live),
        "ground": metered.live_against,
    }


def _between(between: Between) -> dict[str, Any]:
    return {
        "reading": _metered(between.metered),
        "red_to_ground": _metered(between.red_to_ground),
        "black_to_ground": _metered(between.black_to_ground),
        "through": between.through,
        "stands": between.stands,
        "if_open": reading_in_json(between.if_open),
        "if_closed": reading_in_json(between.if_closed),
        "proves_nothing": between.proves_nothing,
    }


def _clamped(one: Clamped) -> dict[str, Any]:
    return {
        "wire": one.wire,
        "a": one.a,
        "b": one.b,
        "current_a": one.amperes,
        "kind": one.kind,
        "grounding": one.grounding,
    }


def _ohms(reading: OhmReading) -> dict[str, Any]:
    one = reading.ohms
    return {
        "a": one.a,
        "b": one.b,
        "low_ohm": one.low,
        "high_ohm": one.high,
        "alone": _load(one.alone) if one.alone is not None else None,
        "rings_too": list(one.beside),
        "lift": one.lift,
        "lock_out": list(reading.handles),
        "elsewhere": list(reading.elsewhere),
        "unlocked": list(reading.unlocked),
        "stored": list(reading.stored),
    }


def _load(one: ColdOhms) -> dict[str, Any]:
    return {
        "load": one.load,
        "a": one.a,
        "b": one.b,
        "sort": one.sort.value,
        "ohm": one.ohm,
        "words": one.words,
        "assumed": one.assumed,
        "diode": one.diode,
    }
