"""A review in Markdown, for a merge request or a page: counts, then worst first.

Names come from untrusted text: nothing in them becomes a link, a mention, HTML or layout.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from netcheck.finding import Review
from netcheck.report.closing import CAUTION, closing_line
from netcheck.report.said import Said, everything, tidy_path
from netcheck.report.terminal import visible

MOST_CHARACTERS = 60_000
"""A comment of a code host holds 65,536."""

_MARKS = re.compile(r"([\\`*_\[\]<>#|~$@&!])")
_LINKS = re.compile(r"(?<=\w)(:)(?=//)|(?<=\bwww)(\.)", re.IGNORECASE)
_ENTITIES = {"@": "&#64;", "&": "&amp;", "<": "&lt;", ">": "&gt;", "#": "&#35;"}


def render(review: Review) -> str:
    """Return the page."""
    lines = ["## netcheck", "", f"**{plain(closing_line(review))}**", ""]
    lines += [f"- supposed, not as drawn: {plain(words)}" for words in review.supposed]
    lines += _within(MOST_CHARACTERS, everything(review))
    lines += ["", *(f"> {sentence}" for sentence in CAUTION)]
    return "\n".join(lines) + "\n"


def _within(most: int, entries: Sequence[Said]) -> Iterator[str]:
    for number, entry in enumerate(entries):
        told = list(_told(entry))
        most -= sum(len(line) + 1 for line in told)
        if most < 0:
            yield f"- {len(entries) - number} more are not shown here"
            return
        yield from told


def _told(entry: Said) -> Iterator[str]:
    span, finding = entry.place.span, entry.finding
    yield f"- **{entry.kind}**: {sentence(entry.message)}  "
    yield f"  {plain(tidy_path(entry.path))}, line {span.line} · rule *{plain(entry.rule)}*"
    if finding is not None:
        if finding.live:
            yield f"  - live: {sentence(finding.live)}"
        if finding.state:
            state = ", ".join(f"{name} {position}" for name, position in finding.state.items())
            yield f"  - when {plain(state)}"
        if finding.path:
            yield f"  - path: {' → '.join(plain(step.at) for step in finding.path[:40])}"
    if entry.help:
        yield f"  - next: {sentence(entry.help)}"
    if entry.reason:
        yield f"  - reason: {sentence(entry.reason)}"


def sentence(text: str) -> str:
    """A sentence of ours: names in back-ticks are code, everything else is plain."""
    parts = visible(text).split("`")
    if len(parts) % 2 == 0:
        return plain(text)
    return "".join(
        f"`{part}`" if place % 2 and part.strip() else plain(part)
        for place, part in enumerate(parts)
    )


def plain(text: str) -> str:
    """Text in which nothing has a meaning to Markdown."""
    text = _MARKS.sub(lambda found: _ENTITIES.get(found[1], f"\\{found[1]}"), visible(text))
    return _LINKS.sub(lambda found: f"\\{found[0]}", text)
