"""The register of an old panel: today's findings, so that only new and worse ones stop a change.

A text of an entry a line, so that a change of it reads as one.  An entry knows its finding by
identity and not by line: moved lines keep it, renamed devices lose it.  It keeps the severity
and the figures, and holds no longer when either has changed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping

from netcheck.acceptance import void_because
from netcheck.figure import figures_apart as told_apart
from netcheck.finding import SEVERITY_ORDER, Accepted, Finding, Place, Review, Severity
from netcheck.record import record, replace
from netcheck.text import Source, Span

SCHEMA = 1
SAME_SHARE = 0.005
"""Figures that differ by less are the same: the last bits differ between machines."""


class NoRegister(Exception):
    """A text that is no register, and at which line."""

    def __init__(self, message: str, line: int = 1) -> None:
        super().__init__(message)
        self.message = message
        self.line = line


@record
class Entry:
    """One finding that was there: of which file, how bad, with which figures; until when."""

    file: str
    identity: str
    rule: str
    severity: Severity
    figures: tuple[tuple[str, float], ...]
    until: str = ""
    line: int = 0


@record
class Register:
    """Entries, what they are called when one speaks for a finding, and where they stand.

    `path` is empty where the entries stand in no file, but are those of an earlier revision.
    """

    entries: tuple[Entry, ...]
    reason: str
    path: str = ""


def entries_of(review: Review, named: Callable[[str], str], until: str = "") -> Iterator[Entry]:
    """An entry for each finding; `named` gives a file's path as the register writes it."""
    for finding in review.findings:
        file = named(finding.place.span.path)
        figures = tuple(figures_of(finding).items())
        yield Entry(file, finding.identity, finding.rule, finding.severity, figures, until)


def render(entries: Iterable[Entry]) -> str:
    """The register as a text that ends with a line end."""
    ordered = sorted(entries, key=lambda entry: (entry.file, entry.identity))
    rows = ",\n".join(json.dumps(_row(entry), sort_keys=True) for entry in ordered)
    return f'{{"netcheck_register": {SCHEMA}, "entries": [\n{rows}\n]}}\n'


def read(source: Source, reason: str) -> Register:
    """The register a text holds.  Raises NoRegister."""
    try:
        document = json.loads(source.text)
        if document["netcheck_register"] != SCHEMA:
            raise NoRegister(f"this register is not of form {SCHEMA}")
        rows = document["entries"]
        entries = tuple(_entry(row, place) for place, row in enumerate(rows, 2))
    except json.JSONDecodeError as error:
        raise NoRegister(f"this is no register: {error.msg}", error.lineno) from None
    except RecursionError:
        raise NoRegister("this is no register: nested too deeply") from None
    except (KeyError, TypeError, ValueError, AttributeError):
        raise NoRegister("this is no register: `netcheck register` writes one") from None
    return Register(entries, reason, source.path)


def _row(entry: Entry) -> dict[str, object]:
    return {
        "file": entry.file,
        "identity": entry.identity,
        "rule": entry.rule,
        "severity": entry.severity.value,
        "figures": dict(entry.figures),
        "until": entry.until,
    }


def _entry(row: Mapping[str, object], line: int) -> Entry:
    texts = [row[name] for name in ("file", "identity", "rule", "until")]
    figures = row["figures"]
    if not all(isinstance(text, str) for text in texts) or not isinstance(figures, dict):
        raise ValueError
    file, identity, rule, until = map(str, texts)
    numbers = tuple((str(what), float(value)) for what, value in figures.items())
    return Entry(file, identity, rule, Severity(str(row["severity"])), numbers, until, line)


def figures_of(finding: Finding) -> dict[str, float]:
    """The numbers of its working, by what they are, to six figures."""
    return {
        f"{step.what} ({step.unit})": float(f"{step.value:.6g}")
        for step in finding.working
        if not isinstance(step.value, str)
    }


# ---- a review, and what the register says of it --------------------------------------------------


def held_against(
    review: Review, register: Register, named: Callable[[str], str], as_of: str = ""
) -> Review:
    """The review with what the register covers accepted, and its entries that nothing needs found.

    Entries of files that were not reviewed are passed over.
    """
    known = {(entry.file, entry.identity): entry for entry in register.entries}
    met: set[tuple[str, str]] = set()
    kept, accepted = [], list(review.accepted)
    for finding in review.findings:
        key = named(finding.place.span.path), finding.identity
        entry = known.get(key)
        if entry is None:
            kept.append(finding)
            continue
        met.add(key)
        void = _void(entry, finding, register, as_of)
        if void:
            kept.append(replace(finding, related=(*finding.related, _told(entry, register, void))))
        else:
            accepted.append(Accepted(finding, register.reason, entry.until))
    if register.path:
        kept += _not_needed(review, register, met, named)
    return replace(
        review,
        findings=tuple(sorted(kept, key=_worst_first)),
        accepted=tuple(sorted(accepted, key=lambda one: _worst_first(one.finding))),
    )


def _worst_first(finding: Finding) -> int:
    return SEVERITY_ORDER.index(finding.severity)


def _void(entry: Entry, finding: Finding, register: Register, as_of: str) -> str:
    """Why an entry speaks no longer for its finding; empty where it does."""
    if SEVERITY_ORDER.index(finding.severity) < SEVERITY_ORDER.index(entry.severity):
        return f"this was a {entry.severity.value} when it was registered"
    apart = first_apart(dict(entry.figures), figures_of(finding))
    if apart:
        return f"{apart} when this was registered"
    return void_because(finding.severity, entry.until, as_of) if register.path else ""


def figures_apart(was: Mapping[str, float], now: Mapping[str, float]) -> list[str]:
    """Which figures are other than they were; what only one side has is none of them."""
    return [
        what
        for what, value in was.items()
        if abs(now.get(what, value) - value)
        > SAME_SHARE * max(abs(value), abs(now.get(what, value)))
    ]


def first_apart(was: Mapping[str, float], now: Mapping[str, float]) -> str:
    """The first of them in words; empty where all are the same."""
    for what in figures_apart(was, now):
        is_, was_ = told_apart("", now[what], was[what])
        return f"{what} is {is_}, was {was_}"
    return ""


def _told(entry: Entry, register: Register, words: str) -> Place:
    return Place(Span(register.path or entry.file, max(entry.line, 1), 1, 2), words)


def _not_needed(
    review: Review, register: Register, met: set[tuple[str, str]], named: Callable[[str], str]
) -> Iterator[Finding]:
    """Entries of reviewed files that no finding met, where all of the text could be read."""
    if review.mistakes:
        return
    from netcheck.rules.acceptance_that_nothing_needs import unneeded

    reviewed = {named(path) for path in review.panels}
    unsure = {rule for one in review.not_checked for rule in one.rules}
    unsure |= {one.rule for one in review.not_decided}
    unsure |= {one.rule for one in review.switched_off}
    for entry in register.entries:
        if entry.file in reviewed - {""} and (entry.file, entry.identity) not in met:
            if entry.rule in unsure:
                continue
            place = Span(register.path, entry.line, 1, 2)
            yield unneeded(entry.rule, (), place, entry.identity)
