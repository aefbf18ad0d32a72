"""A review in SARIF 2.1.0 (OASIS), for code hosts and viewers of results.

What a host shows is kept within what it takes: rules with their help, one place a result, other
places linked from the message, the path and the steps as code flows.  Texts are never empty.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any
from urllib.parse import quote

from netcheck import __version__
from netcheck.finding import Place, Review, Severity
from netcheck.report.closing import CAUTION, closing_line, counts
from netcheck.report.said import (
    OPEN_KINDS,
    Said,
    accepted,
    fingerprint,
    said,
    switched_off,
    tidy_path,
)
from netcheck.report.terminal import visible
from netcheck.rule import Rule, all_rules
from netcheck.text import Source, Span

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)

MOST_RESULTS = 5_000
MOST_PLACES = 100
MOST_STEPS = 1_000
MOST_WORDS = 1_000
"""What the largest code host keeps of a run, of a result, of a flow and of a description."""

LEVELS = {Severity.DANGER.value: "error", Severity.DEFECT.value: "warning", "query": "note"}
OPEN_LEVEL = "warning"
"""A host that shows failures only must still show what was left open."""


def render(review: Review, sources: Mapping[str, Source]) -> str:
    """Return the document as ASCII text that ends with a line end."""
    return json.dumps(document(review, sources), indent=2, allow_nan=False) + "\n"


def document(review: Review, sources: Mapping[str, Source]) -> dict[str, Any]:
    """Return the document as plain dictionaries and lists."""
    entries = said(review)
    rules = list(_rules(all_rules() if review.checks else (), entries))
    places = {rule["id"]: place for place, rule in enumerate(rules)}
    mentioned = _Mentioned(sources)
    shown = entries[:MOST_RESULTS]
    return {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {
                        "name": "netcheck",
                        "semanticVersion": __version__,
                        "rules": rules,
                    }
                },
                "automationDetails": {"id": "netcheck/"},
                "columnKind": "unicodeCodePoints",
                "invocations": [_invocation(review, len(entries) - len(shown))],
                "results": [_result(entry, places, mentioned) for entry in shown],
                "properties": {"checks": review.checks, **counts(review)},
            }
        ],
    }


def _invocation(review: Review, more: int) -> dict[str, Any]:
    told = [f"{entry.headline}: {entry.reason}" for entry in accepted(review)]
    told += [closing_line(review), *CAUTION, *(f"supposed: {words}" for words in review.supposed)]
    if more:
        told.append(f"{more} more results are not in this document")
    told += [entry.headline for entry in switched_off(review)]
    notes = [_notification("note", words) for words in told]
    notes += [_notification("error", f"a fault in netcheck: {words}") for words in review.failures]
    invocation: dict[str, Any] = {
        "executionSuccessful": not (review.mistakes or review.failures),
        "toolExecutionNotifications": notes,
    }
    if review.switched_off:
        invocation["ruleConfigurationOverrides"] = [
            {"descriptor": {"id": name}, "configuration": {"enabled": False}}
            for name in dict.fromkeys(off.rule for off in review.switched_off)
        ]
    return invocation


def _notification(level: str, words: str) -> dict[str, Any]:
    return {"level": level, "message": {"text": visible(words)}}


# ---- rules -------------------------------------------------------------------------------------


def _rules(rules: Sequence[Rule], entries: Iterable[Said]) -> Iterator[dict[str, Any]]:
    """Those that were asked, and the kinds of answer that are no rule's, if there are any."""
    known = {rule.name for rule in rules}
    for rule in rules:
        yield _rule(rule)
    for entry in entries:
        if entry.rule not in known:
            known.add(entry.rule)
            summary = OPEN_KINDS.get(entry.rule, entry.rule)
            yield _described(entry.rule, summary, summary, summary, OPEN_LEVEL, ["left open"])


def _rule(rule: Rule) -> dict[str, Any]:
    from netcheck.report.text import reference_in_words

    doc = " ".join(rule.doc.split()) or rule.summary
    help = f"{rule.why}\n\nSource: {reference_in_words(rule.reference)}"
    level = LEVELS[rule.severity.value]
    return _described(rule.name, rule.summary, doc, help, level, [rule.family.value])


def _described(
    name: str, summary: str, doc: str, help: str, level: str, tags: list[str]
) -> dict[str, Any]:
    return {
        "id": name,
        "shortDescription": {"text": _cut(summary)},
        "fullDescription": {"text": _cut(doc)},
        "help": {"text": help},
        "defaultConfiguration": {"level": level},
        "properties": {"tags": tags, "precision": "very-high", "problem.severity": _problem(level)},
    }


def _problem(level: str) -> str:
    return "recommendation" if level == "note" else level


def _cut(text: str) -> str:
    return text if len(text) <= MOST_WORDS else text[: MOST_WORDS - 3] + "..."


# ---- results -----------------------------------------------------------------------------------


def _result(entry: Said, rules: Mapping[str, int], mentioned: _Mentioned) -> dict[str, Any]:
    related = entry.related[: MOST_PLACES - 1]
    result: dict[str, Any] = {
        "ruleId": entry.rule,
        "ruleIndex": rules[entry.rule],
        "level": LEVELS.get(entry.kind, "error" if entry.kind == "cannot read" else OPEN_LEVEL),
        "message": {"text": _message(entry, related)},
        "locations": [_location(entry.place)],
        "partialFingerprints": {
            "primaryLocationLineHash": fingerprint(entry),
            "netcheckIdentity/v1": fingerprint(entry),
        },
        "properties": {"kind": entry.kind, "identity": visible(entry.identity)},
    }
    if related:
        places = enumerate(related, 1)
        result["relatedLocations"] = [_location(place) | {"id": id} for id, place in places]
    if flows := list(_flows(entry, mentioned)):
        result["codeFlows"] = flows
    return result


def _message(entry: Said, related: Sequence[Place]) -> str:
    """The sentence; then what to do, the state, and every other place as a link to it."""
    finding = entry.finding
    message = entry.message if finding else entry.headline
    sentences = [_plain(message)]
    if finding and finding.live:
        sentences.append(f"live: {_plain(finding.live)}")
    if finding and finding.state:
        state = ", ".join(f"{name} {position}" for name, position in finding.state.items())
        sentences.append(f"when {_plain(state)}")
    if entry.help:
        sentences.append(_plain(entry.help))
    for number, place in enumerate(related, 1):
        label = _plain(place.label or f"line {place.span.line}")
        sentences.append(f"see [{label}]({number})")
    return ". ".join(sentences)


def _plain(text: str) -> str:
    """Text in which nothing is a link (SARIF 2.1.0, 3.11.6)."""
    return re.sub(r"([\[\]\\])", r"\\\1", visible(text))


def _location(place: Place, words: str = "") -> dict[str, Any]:
    span = place.span
    column = max(span.column, 1)
    physical = {
        "artifactLocation": {"uri": uri(span.path)},
        "region": {
            "startLine": max(span.line, 1),
            "startColumn": column,
            "endLine": max(span.line, 1),
            "endColumn": max(span.end_column, column),
        },
    }
    location: dict[str, Any] = {"physicalLocation": physical}
    if text := words or place.label:
        location["message"] = {"text": _plain(text)}
    return location


def uri(path: str) -> str:
    """A path as a URI reference; a relative one stays relative to where netcheck was started."""
    path = tidy_path(path)
    quoted = quote(path, safe="/", errors="backslashreplace") or "."
    return f"file://{quoted}" if path.startswith("/") else quoted


def _flows(entry: Said, mentioned: _Mentioned) -> Iterator[dict[str, Any]]:
    finding = entry.finding
    if finding is None:
        return
    steps = [(step, mentioned.first(step, entry)) for step in finding.steps]
    if steps:
        yield _flow("from power-up", steps)
    path = [
        (f"{step.at}  {step.by}".strip(), mentioned.first(step.at, entry)) for step in finding.path
    ]
    if path:
        yield _flow("the path", path)


def _flow(what: str, steps: Sequence[tuple[str, Place]]) -> dict[str, Any]:
    return {
        "message": {"text": what},
        "threadFlows": [
            {
                "locations": [
                    {"location": _location(Place(place.span), words or what)}
                    for words, place in steps[:MOST_STEPS]
                ]
            }
        ],
    }


class _Mentioned:
    """Where devices and terminals are first written: a flow needs a place for each step."""

    _NAMES = re.compile(r"[^\W_][\w.]*(?::[^\s,;)\-]+)?")

    def __init__(self, sources: Mapping[str, Source]) -> None:
        self._sources = sources
        self._known: dict[str, dict[str, Span]] = {}

    def first(self, words: str, entry: Said) -> Place:
        """Where the first name in `words` that the text knows is written; else the entry's place.

        Only the texts that the entry itself points into: another panel has other devices.
        """
        paths = dict.fromkeys((entry.path, *(place.span.path for place in entry.related)))
        for name in self._NAMES.findall(words):
            for known in (name, name.partition(":")[0]):
                for path in () if known.islower() else paths:
                    if known in self._names_in(path):
                        return Place(self._names_in(path)[known])
        return entry.place

    def _names_in(self, path: str) -> dict[str, Span]:
        if path not in self._known:
            self._known[path] = dict(self._mentions(path))
        return self._known[path]

    def _mentions(self, path: str) -> Iterator[tuple[str, Span]]:
        """Last first, so that the first mention is the one that stays."""
        source = self._sources.get(path)
        for number in range(len(source.lines) if source else 0, 0, -1):
            assert source is not None
            text = source.line(number).partition("#")[0]
            for found in reversed(list(self._NAMES.finditer(text))):
                start = found.start() + 1
                yield found[0], Span(path, number, start, found.end() + 1)
