"""A diagnosis as a JSON document, described field by field in diagnose.schema.json."""

from __future__ import annotations

from typing import Any

from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnose_text import verdict
from netcheck.bench.diagnosing import Diagnosis, Suspect
from netcheck.bench.json_parts import reading_in_json, whole, written
from netcheck.bench.meter_text import in_circuit
from netcheck.bench.next_reading import Next

SCHEMA = 2
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(document: DiagnoseDocument) -> str:
    """Return the document as text that ends with a line end."""
    return written(as_document(document))


def as_document(document: DiagnoseDocument) -> dict[str, Any]:
    told = document.diagnosis
    shown = {
        "supposed": list(document.supposed),
        "seen": list(document.seen),
        "likelihoods": document.likelihoods,
        "diagnosis": _diagnosis(document, told) if told is not None else None,
        "assumed": list(document.assumed),
    }
    return whole(SCHEMA, document.path, shown, document.mistakes)


def _diagnosis(document: DiagnoseDocument, told: Diagnosis) -> dict[str, Any]:
    return {
        "verdict": verdict(told, document.mistakes),
        "sound_fits": told.sound_fits,
        "not_as_drawn": list(told.misfits),
        "highest_v": told.highest_v,
        "tried": told.tried,
        "suspects": [_suspect(one) for one in told.suspects],
        "next": _next(told.next) if told.next is not None else None,
        "started": list(told.started),
        "everything": list(told.everything),
        "not_told": list(told.not_told),
        "more": told.more,
        "two_at_once": told.pairs,
        "contradictions": list(told.contradictions),
        "drawn_otherwise": list(told.drawn_otherwise),
        "not_tried": list(told.not_tried),
        "also": [_suspect(one) for one in told.also],
        "opened": told.opened,
        "on_with": list(told.on_with),
        "power_off": [
            {
                "red": step.red,
                "black": step.black,
                "location": step.location,
                "faults": list(step.faults),
                "sound": in_circuit(step.sound),
                "beside": list(step.sound.beside),
                "lift": step.sound.lift,
            }
            for step in told.power_off
        ],
    }


def _suspect(one: Suspect) -> dict[str, Any]:
    return {
        "fault": one.fault,
        "sort": one.sort,
        "weight": one.weight,
        "location": one.location,
    }


def _next(step: Next) -> dict[str, Any]:
    return {
        "red": step.red,
        "black": step.black,
        "location": step.location,
        "with": list(step.withs),
        "exposed_v": step.exposed_v,
        "exposed_between": step.exposed_between,
        "apart": list(step.apart),
        "ground_instead": step.ground_instead,
        "unsaid_grounds": list(step.unsaid),
        "outcomes": [
            {"reading": reading_in_json(one.reading), "faults": list(one.faults)}
            for one in step.outcomes
        ],
    }
