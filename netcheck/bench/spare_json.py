"""Whether a spare would do, as a JSON document, described in spare.schema.json."""

from __future__ import annotations

from typing import Any

from netcheck.bench.json_parts import whole, written
from netcheck.bench.spare_document import SpareDocument
from netcheck.bench.spare_text import verdict
from netcheck.bench.sparing import Sparing
from netcheck.report.json import mistake_in_json, place_in_json

SCHEMA = 1
"""Version of the document's form; it rises when a field changes its meaning or goes."""


def render(document: SpareDocument) -> str:
    """Return the document as text that ends with a line end."""
    return written(as_document(document))


def as_document(document: SpareDocument) -> dict[str, Any]:
    shown = {
        "spare": None if document.sparing is None else _sparing(document.sparing),
    }
    return whole(SCHEMA, document.path, shown, document.mistakes)


def _sparing(one: Sparing) -> dict[str, Any]:
    compared = one.comparison
    return {
        "device": one.device,
        "line": one.line,
        "verdict": verdict(one)[0],
        "fits": one.fits,
        "taken_over": list(one.taken_over),
        "lacking": [
            {
                "terminal": lacking.terminal,
                "wires": list(lacking.wires),
                "places": [place_in_json(place) for place in lacking.places],
            }
            for lacking in one.lacking
        ],
        "unwired": [mistake_in_json(mistake) for mistake in one.unwired],
        "findings": [
            {
                "kind": told.kind,
                "rule": told.finding.rule,
                "severity": told.finding.severity.value,
                "message": told.finding.message,
                "why": told.why,
            }
            for told in compared.findings
        ],
        "checks": one.checks,
        "left_open": list(one.left_open),
        "loads": [load.name for load in compared.loads if not load.reason],
        "same_loads": compared.same_loads,
        "not_compared": compared.not_compared,
        "changes": [
            {"of": c.of, "name": c.name, "before": c.before, "now": c.after}
            for c in compared.changes
        ],
        "figures": [
            {"of": f.of, "verb": f.verb, "before": f.before, "now": f.now} for f in one.figures
        ],
    }
