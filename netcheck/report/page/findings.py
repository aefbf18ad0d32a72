"""Findings on the page, in the order and words of the text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from netcheck.figure import figure
from netcheck.finding import (
    Accepted,
    Finding,
    Mistake,
    NotChecked,
    NotDecided,
    PathStep,
    Place,
    Review,
    Working,
)
from netcheck.report.page.html import Content, Html, joined, tag, ticked
from netcheck.report.text import reference_in_words

Field = tuple[str, Content]

LAID_OUT = 20
"""Findings that a browser lays out together."""


def found(review: Review, cut_outs: Sequence[str] = ()) -> Html:
    """All that a review says, worst first; what was left open is never left out.

    `cut_outs` are pieces of the drawing as SVG, one for each finding, empty where there is none.
    """
    drawn = [*cut_outs, *[""] * (len(review.findings) - len(cut_outs))]
    blocks = [
        *map(_mistake, review.mistakes),
        *map(_finding, review.findings, drawn),
        *map(_not_decided, review.not_decided),
        *_not_checked(review.not_checked),
        *map(_accepted, review.accepted),
    ]
    return joined(_laid_out(blocks), "\n")


def _laid_out(blocks: Sequence[Html]) -> Iterator[Html]:
    """The first as they are; of more, so many at a time are laid out when the window comes near."""
    whole = max(1, len(blocks) // LAID_OUT)
    yield from blocks[:LAID_OUT]
    for first in range(LAID_OUT, whole * LAID_OUT, LAID_OUT):
        yield tag("div", joined(blocks[first : first + LAID_OUT], "\n"), class_="far")
    yield from blocks[whole * LAID_OUT :]


def _block(word: str, style: str, message: str, fields: Iterable[Field], drawn: str = "") -> Html:
    head = tag("h3", tag("span", word, class_="word"), ": ", ticked(message))
    rows = [
        joined((tag("dt", name), tag("dd", said)))
        for name, said in fields
        if said and said != Html("")
    ]
    picture: Content = ""
    if drawn:
        named = {"tabindex": "0", "role": "region", "aria_label": "Where it is in the drawing"}
        picture = tag("div", Html(drawn), class_="wide piece", **named)
    return tag("section", head, picture, tag("dl", *rows), class_=f"finding {style}")


def _finding(finding: Finding, drawn: str) -> Html:
    state = ", ".join(f"{name} {position}" for name, position in finding.state.items())
    fields: list[Field] = [
        ("live", ticked(finding.live)),
        ("at", _at([finding.place])),
        ("also", _at(finding.related)),
        ("when", state),
        ("steps", "; ".join(f"{number}. {step}" for number, step in enumerate(finding.steps, 1))),
        ("path", _path(finding.path)),
        ("next", ticked(finding.help)),
        ("figures", joined(map(_working, finding.working))),
        ("assumed", "; ".join(finding.assumed)),
        ("source", reference_in_words(finding.reference)),
        ("rule", finding.rule),
    ]
    severity = finding.severity.value
    return _block(severity, severity, finding.message, fields, drawn)


def _at(places: Sequence[Place]) -> Html:
    return joined((_place(place) for place in places), "<br>")


def _place(place: Place) -> Html:
    span = place.span
    label = f": {place.label}" if place.label else ""
    where = f"{span.path}, line {span.line}, column {span.column}"
    return joined((tag("span", where, class_="m"), label))


def _path(path: Sequence[PathStep]) -> Html:
    def steps() -> Iterator[Content]:
        for step in path:
            name: Content = tag("mark", step.at) if step.here else tag("code", step.at)
            yield joined((name, f" {step.by}")) if step.by else name

    return joined(steps(), " &#8594; ")


def _working(step: Working) -> Html:
    source = step.source if step.confirmed else f"{step.source} (from memory)".strip()
    said = f"{step.what}: {figure(step.value, step.unit)}"
    return tag("p", f"{said}; {source}" if source else said)


def _mistake(mistake: Mistake) -> Html:
    fields: list[Field] = [
        ("at", _at([mistake.place])),
        ("also", _at(mistake.related)),
        ("next", ticked(mistake.help)),
    ]
    return _block("cannot read", "danger", mistake.message, fields)


def _not_decided(question: NotDecided) -> Html:
    fields: list[Field] = [
        ("at", _at([question.place])),
        ("path", _path(question.path)),
        ("rule", question.rule),
    ]
    return _block("not decided", "open", question.reason, fields)


def _not_checked(entries: Sequence[NotChecked]) -> Iterator[Html]:
    together: dict[tuple[str, tuple[str, ...]], list[Place]] = {}
    for entry in entries:
        together.setdefault((entry.reason, entry.rules), []).append(entry.place)
    for (reason, rules), places in together.items():
        named = "rule" if len(rules) == 1 else "rules"
        fields: list[Field] = [("at", _at(places)), (named, ", ".join(rules))]
        yield _block("not checked", "open", reason, fields)


def _accepted(accepted: Accepted) -> Html:
    finding = accepted.finding
    fields: list[Field] = [
        ("at", _at([finding.place])),
        ("reason", accepted.reason),
        ("until", accepted.until),
        ("rule", finding.rule),
    ]
    return _block("accepted", "open", f"{finding.severity.value}, {finding.message}", fields)
