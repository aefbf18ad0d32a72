"""A review as a JSON document, described field by field in finding.schema.json.

Every field is always present; the same review gives the same bytes.  The bytes are
ASCII, so that no name can steer a terminal the document is shown on.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from netcheck import __version__
from netcheck.finding import (
    Accepted,
    Calculation,
    Finding,
    Mistake,
    NotChecked,
    NotDecided,
    PathStep,
    Place,
    Proved,
    Review,
    Working,
)
from netcheck.report.closing import CAUTION, counts

SCHEMA = 1
"""Version of the document's form; it rises when a field changes its meaning or goes."""

SIGNIFICANT = 9
"""Figures kept of a computed number: the last bits differ between machines."""


def render(review: Review) -> str:
    """Return the document as text that ends with a line end."""
    return json.dumps(document(review), indent=2, allow_nan=False) + "\n"


def document(review: Review) -> dict[str, Any]:
    """Return the document as plain dictionaries and lists."""
    return {
        "schema": SCHEMA,
        "netcheck": __version__,
        "panels": list(review.panels),
        "passed_over": list(review.passed_over),
        "supposed": list(review.supposed),
        "checks": review.checks,
        "counts": counts(review),
        "findings": [_finding(finding) for finding in review.findings],
        "not_checked": [_not_checked(entry) for entry in review.not_checked],
        "not_decided": [_not_decided(entry) for entry in review.not_decided],
        "accepted": [_accepted(entry) for entry in review.accepted],
        "mistakes": [mistake_in_json(entry) for entry in review.mistakes],
        "switched_off": [
            {"rule": off.rule, "place": place_in_json(off.place), "reason": off.reason}
            for off in review.switched_off
        ],
        "proved": [_proved(entry) for entry in review.proved],
        "assumed": list(review.assumed),
        "calculations": [
            _calculation(path, one) for path, sheet in review.calculations for one in sheet
        ],
        "caution": " ".join(CAUTION),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "family": finding.family.value,
        "severity": finding.severity.value,
        "message": finding.message,
        "identity": finding.identity,
        "place": place_in_json(finding.place),
        "related": _places(finding.related),
        "devices": list(finding.devices),
        "wires": list(finding.wires),
        "live": finding.live,
        "state": dict(finding.state),
        "steps": list(finding.steps),
        "path": _path(finding.path),
        "working": [_working(step) for step in finding.working],
        "assumed": list(finding.assumed),
        "reference": {"text": finding.reference.text, "kind": finding.reference.kind.value},
        "help": finding.help,
    }


def _not_checked(entry: NotChecked) -> dict[str, Any]:
    return {
        "rule": entry.rule,
        "reason": entry.reason,
        "place": place_in_json(entry.place),
        "devices": list(entry.devices),
        "wires": list(entry.wires),
        "also": list(entry.also),
    }


def _not_decided(entry: NotDecided) -> dict[str, Any]:
    return {
        "rule": entry.rule,
        "reason": entry.reason,
        "place": place_in_json(entry.place),
        "devices": list(entry.devices),
        "path": _path(entry.path),
    }


def _proved(entry: Proved) -> dict[str, Any]:
    return {"rule": entry.rule, "what": entry.what, "place": place_in_json(entry.place)}


def _calculation(path: str, one: Calculation) -> dict[str, Any]:
    return {
        "panel": path,
        "about": one.about,
        "what": one.what,
        "needed": None if one.needed is None else _number(one.needed),
        "allowed": None if one.allowed is None else _number(one.allowed),
        "unit": one.unit,
        "holds": one.holds,
        "why": one.why,
        "working": [_working(step) for step in one.working],
    }


def _accepted(entry: Accepted) -> dict[str, Any]:
    return {
        "finding": _finding(entry.finding),
        "reason": entry.reason,
        "until": entry.until,
    }


def mistake_in_json(entry: Mistake) -> dict[str, Any]:
    return {
        "message": entry.message,
        "place": place_in_json(entry.place),
        "related": _places(entry.related),
        "help": entry.help,
    }


def place_in_json(place: Place) -> dict[str, Any]:
    span = place.span
    return {
        "file": span.path,
        "line": span.line,
        "column": span.column,
        "end_column": span.end_column,
        "label": place.label,
    }


def _places(places: Sequence[Place]) -> list[dict[str, Any]]:
    return [place_in_json(place) for place in places]


def _path(path: Sequence[PathStep]) -> list[dict[str, Any]]:
    return [{"at": step.at, "by": step.by, "here": step.here} for step in path]


def _working(step: Working) -> dict[str, Any]:
    return {
        "what": step.what,
        "value": _number(step.value),
        "unit": step.unit,
        "from": step.source,
        "confirmed": step.confirmed,
    }


def _number(value: float | str) -> float | str:
    """JSON knows no infinity; what is no number is said in words."""
    if isinstance(value, str):
        return value
    if math.isfinite(value):
        return float(f"{value:.{SIGNIFICANT}g}")
    return "not a number" if math.isnan(value) else "no limit"
