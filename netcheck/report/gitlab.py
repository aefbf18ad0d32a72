"""A review as GitLab's code-quality report: a JSON list, an entry with its own fingerprint each."""

from __future__ import annotations

import json
from typing import Any

from netcheck.finding import Review, Severity
from netcheck.report.said import (
    ACCEPTED,
    CANNOT_READ,
    SWITCHED_OFF,
    Said,
    everything,
    fingerprint,
    tidy_path,
)
from netcheck.report.terminal import visible

SEVERITIES = {
    CANNOT_READ: "blocker",
    Severity.DANGER: "blocker",
    Severity.DEFECT: "major",
    Severity.QUERY: "minor",
    ACCEPTED: "info",
    SWITCHED_OFF: "info",
}
"""What was left open is major: it hides what would have been found."""


def render(review: Review) -> str:
    """Return the list as ASCII text that ends with a line end; empty only if nothing is said."""
    entries = [_entry(entry) for entry in everything(review)]
    return json.dumps(entries, indent=2) + "\n"


def _entry(entry: Said) -> dict[str, Any]:
    reason = f" ({entry.reason})" if entry.reason else ""
    return {
        "description": visible(f"{entry.headline}{reason}"),
        "check_name": entry.rule,
        "fingerprint": fingerprint(entry, with_file=True),
        "severity": SEVERITIES.get(entry.kind, "major"),
        "location": {
            "path": tidy_path(entry.path),
            "lines": {"begin": max(entry.place.span.line, 1)},
        },
    }
