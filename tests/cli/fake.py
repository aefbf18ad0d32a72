"""A stand-in for the review, so that the command is tested apart from the engine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from netcheck.finding import Finding, NotChecked, Place, Review, Severity
from netcheck.loading import Loader
from netcheck.record import replace
from netcheck.review import Supposing
from netcheck.text import Source, Span


def fake_review(
    paths: Sequence[str],
    loader: Loader,
    supposing: Supposing | None = None,
    as_of: str = "",
    working: bool = False,
) -> tuple[Review, Mapping[str, Source]]:
    """Finds the words danger, defect and query in a text, fails on `bug`, lacks data on `open`."""
    findings: list[Finding] = []
    unchecked: list[NotChecked] = []
    sources = {path: loader.load(path) for path in paths}
    for path, source in sources.items():
        for number, line in enumerate(source.lines, 1):
            place = Place(Span(path, number, 1, len(line) + 1))
            if line in list(Severity):
                finding = Finding(f"`{line}` is written here", place, rule="word")
                findings.append(replace(finding, severity=Severity(line)))
            if line == "open":
                unchecked.append(NotChecked("no length given", place, rule="word"))
            if line == "bug":
                raise KeyError("a fault on purpose \x1b[2J")
    return Review(tuple(findings), tuple(unchecked), panels=tuple(paths), checks=1), sources
