"""A review as text for the person who has to act on it.

One finding, one screen, in the order it is needed: what is live, the verdict, the
place, the state that shows it and the path with one arrow at the spot, what to do
next; then the figures, what was assumed, and on whose word.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from typing import TypeVar

from netcheck.figure import figure
from netcheck.finding import (
    Accepted,
    Finding,
    Mistake,
    NotChecked,
    NotDecided,
    PathStep,
    Place,
    Reference,
    ReferenceKind,
    Review,
    Severity,
    SwitchedOff,
    Working,
)
from netcheck.record import record
from netcheck.report.closing import CAUTION, closing_line
from netcheck.report.terminal import columns, padded, spot, visible, wrapped
from netcheck.text import Source

T = TypeVar("T")

INDENT = 12
"""Columns before a field's value; its name and an arrow stand in them."""

UNBOUNDED_ROOM = 100
"""Columns for a source line where no terminal says how wide it is."""

NARROWEST = 40

STYLES = {
    "danger": "1;31",
    "defect": "1;33",
    "query": "1;36",
    "live": "1;31",
    "cannot read": "1;35",
    "open": "1;34",
    "name": "2",
    "mark": "1",
}


def render(
    review: Review,
    sources: Mapping[str, Source],
    *,
    colour: bool,
    width: int | None,
    findings_only: bool = False,
) -> str:
    """Return the whole report.

    `sources` gives the lines that places point at.  `width` is the terminal's, in
    columns; None, for a file or a pipe, wraps nothing.  `findings_only` leaves out
    what was not checked, not decided, accepted and assumed, but never their counts.
    """
    page = _Page(sources, colour, None if width is None else max(width, NARROWEST))
    blocks = _supposed(page, review.supposed)
    # What is accepted and can hurt somebody all the same is said before anything else.
    dangers = [one for one in review.accepted if one.finding.severity is Severity.DANGER]
    blocks += [_accepted(page, accepted) for accepted in dangers]
    blocks += [_mistake(page, mistake) for mistake in review.mistakes]
    blocks += [_finding(page, finding) for finding in review.findings]
    if not findings_only:
        blocks += [_not_decided(page, open_question) for open_question in review.not_decided]
        blocks += _not_checked(page, review.not_checked)
        blocks += [_accepted(page, one) for one in review.accepted if one not in dangers]
        blocks += _assumed(page, review.assumed)
    blocks += _switched_off(page, review.switched_off)
    if review.calculations:
        from netcheck.report.calculations import lines

        blocks.append(list(lines(review.calculations)))
    blocks.append([*wrapped(closing_line(review), page.width), *CAUTION])
    return "\n\n".join("\n".join(map(str.rstrip, block)) for block in blocks) + "\n"


@record
class _Page:
    """Where things stand on the page: names of fields to the left, values in one column."""

    sources: Mapping[str, Source]
    colour: bool
    width: int | None

    def paint(self, style: str, text: str) -> str:
        return f"\x1b[{STYLES[style]}m{text}\x1b[0m" if self.colour and text else text

    @property
    def room(self) -> int:
        return UNBOUNDED_ROOM if self.width is None else self.width - INDENT

    def headline(self, style: str, word: str, text: str) -> list[str]:
        """The word that says what this is, and the sentence."""
        word = word.upper()
        room = None if self.width is None else self.width - len(word) - 2
        first, *more = wrapped(visible(text), room)
        return [
            f"{self.paint(style, word)}: {first}",
            *(f"{' ' * (len(word) + 2)}{line}" for line in more),
        ]

    def field(
        self, name: str, lines: Sequence[str], arrow: tuple[int | None, str] = (None, "mark")
    ) -> list[str]:
        """`lines`, the first with the field's `name` before it; nothing if there are none.

        `arrow` is the index of the line that gets an arrow before it, and the arrow's style.
        """
        marked, style = arrow
        return [
            "  "
            + (self.paint("name", name) + " " * (INDENT - 4 - len(name)) if index == 0 else " " * 8)
            + (self.paint(style, "> ") if index == marked else "  ")
            + line
            for index, line in enumerate(lines)
        ]

    def prose(self, name: str, texts: Iterable[str]) -> list[str]:
        """A field of sentences, each wrapped on a terminal."""
        room = None if self.width is None else self.room
        return self.field(
            name, [line for text in texts if text for line in wrapped(visible(text), room)]
        )

    def place(self, name: str, place: Place, style: str) -> list[str]:
        """File, line and column, never wrapped; the line itself; the words marked, and why."""
        span = place.span
        source = self.sources.get(span.path)
        label = visible(place.label)
        if source is None:
            return self.field(name, [_where(place), *([label] if label else [])])
        shown, start, length = spot(source.line(span.line), span.column, span.end_column, self.room)
        mark = " " * start + self.paint(style, "~" * length)
        beside = start + length + 1 + columns(label) <= self.room or self.width is None
        marked = [f"{mark} {label}"] if beside else [mark, *wrapped(label, self.room)]
        return self.field(name, [_where(place), shown, *marked])


def _where(place: Place) -> str:
    span = place.span
    if (span.line, span.column) == (1, 1) and span.end_column <= 1:
        return visible(span.path)
    return f"{visible(span.path)}, line {span.line}, column {span.column}"


def _finding(page: _Page, finding: Finding) -> list[str]:
    severity = finding.severity.value
    lines = page.headline("live", "live", finding.live) if finding.live else []
    lines += page.headline(severity, severity, finding.message)
    lines += page.place("at", finding.place, severity)
    lines += _related(page, finding.related)
    state = ", ".join(f"{name} {position}" for name, position in finding.state.items())
    lines += page.prose("when", [state])
    lines += page.prose("steps", _numbered(finding.steps))
    lines += _path(page, finding.path, severity)
    lines += page.prose("next", [finding.help])
    lines += _figures(page, finding.working)
    lines += page.prose("assumed", finding.assumed)
    lines += page.prose("source", [reference_in_words(finding.reference)])
    return lines + page.prose("rule", [finding.rule])


def reference_in_words(reference: Reference) -> str:
    """Return the standard and section, or what there is instead and that it is that."""
    text, kind = reference.text, reference.kind
    says_so = kind is ReferenceKind.STANDARD or kind.value in text
    return text if says_so or not text else f"{text} ({kind.value})"


def _related(page: _Page, places: Sequence[Place]) -> list[str]:
    lines: list[str] = []
    for place in _thinned(places, range(6)):
        if isinstance(place, int):
            lines += page.field("also", [f"... {place} more places"])
        else:
            lines += page.place("also", place, "mark")
    return lines


def _numbered(steps: Sequence[str]) -> list[str]:
    numbered = [f"{number}. {step}" for number, step in enumerate(steps, 1)]
    ends = {*range(6), *range(len(steps) - 6, len(steps))}
    return [
        f"... {step} more steps" if isinstance(step, int) else step
        for step in _thinned(numbered, ends)
    ]


def _path(page: _Page, path: Sequence[PathStep], style: str = "mark") -> list[str]:
    """One terminal a line and what is passed next, with one arrow; a long path is thinned."""
    arrow = next((index for index, step in enumerate(path) if step.here), None)
    wide = max((columns(visible(step.at)) for step in path), default=0)
    middle = 4 if arrow is None else arrow
    kept = {*range(4), *range(middle - 4, middle + 5), *range(len(path) - 4, len(path))}
    lines: list[str] = []
    marked: int | None = None
    for step in _thinned(list(enumerate(path)), kept):
        if isinstance(step, int):
            lines.append(f"... {step} more terminals")
            continue
        index, terminal = step
        if index == arrow:
            marked = len(lines)
        lines.append(f"{padded(visible(terminal.at), wide)}  {visible(terminal.by)}")
    return page.field("path", lines, (marked, style))


def _thinned(items: Sequence[T], kept: Container[int]) -> list[T | int]:
    """`items`, but of a run of two or more that are not `kept` only how many they are."""
    shown: list[T | int] = []
    run: list[T] = []
    for index, item in enumerate(items):
        if index not in kept:
            run.append(item)
            continue
        shown += run if len(run) < 2 else [len(run)]
        run = []
        shown.append(item)
    return shown + (list(run) if len(run) < 2 else [len(run)])


def _figures(page: _Page, working: Sequence[Working]) -> list[str]:
    """The arithmetic in three columns: what, how much, from where."""
    rows = [
        (visible(step.what), visible(figure(step.value, step.unit)), visible(_origin(step)))
        for step in working
    ]
    wide = [max((columns(row[column]) for row in rows), default=0) for column in (0, 1)]
    lines: list[str] = []
    for what, amount, origin in rows:
        start = f"{padded(what, wide[0])}  {padded(amount, wide[1])}"
        beside = page.width is None or columns(f"{start}  {origin}") <= page.room
        lines += [f"{start}  {origin}"] if beside else [start, *_indented(origin, page.room)]
    return page.field("figures", lines)


def _indented(text: str, room: int) -> list[str]:
    return [f"    {line}" for line in wrapped(text, room - 4)]


def _origin(step: Working) -> str:
    return step.source if step.confirmed else f"{step.source} (from memory)".strip()


def _mistake(page: _Page, mistake: Mistake) -> list[str]:
    lines = page.headline("cannot read", "cannot read", mistake.message)
    lines += page.place("at", mistake.place, "cannot read")
    lines += _related(page, mistake.related)
    return lines + page.prose("next", [mistake.help])


def _not_decided(page: _Page, question: NotDecided) -> list[str]:
    lines = page.headline("open", "not decided", question.reason)
    lines += page.place("at", question.place, "open")
    lines += _path(page, question.path)
    return lines + page.prose("rule", [question.rule])


def _not_checked(page: _Page, entries: Sequence[NotChecked]) -> list[list[str]]:
    """One block for each reason; the same datum missing in many places is said once."""
    together: dict[tuple[str, tuple[str, ...]], list[Place]] = {}
    for entry in entries:
        together.setdefault((entry.reason, entry.rules), []).append(entry.place)
    return [
        [
            *page.headline("open", "not checked", reason),
            *_all_places(page, places),
            *page.prose("rule" if len(rules) == 1 else "rules", [", ".join(rules)]),
        ]
        for (reason, rules), places in together.items()
    ]


def _all_places(page: _Page, places: Sequence[Place]) -> list[str]:
    if len(places) == 1:
        return page.place("at", places[0], "open")
    return page.field("at", [_where(place) for place in places])


def _accepted(page: _Page, accepted: Accepted) -> list[str]:
    finding = accepted.finding
    style = "danger" if finding.severity is Severity.DANGER else "open"
    lines = page.headline(style, "accepted", f"{finding.severity.value}, {finding.message}")
    lines += page.place("at", finding.place, "open")
    lines += page.prose("reason", [accepted.reason])
    lines += page.prose("until", [accepted.until])
    return lines + page.prose("rule", [finding.rule])


def _supposed(page: _Page, supposed: Sequence[str]) -> list[list[str]]:
    if not supposed:
        return []
    head = page.headline("cannot read", "supposed", "this is not the panel as it is drawn")
    return [head + page.prose("", supposed)]


def _switched_off(page: _Page, off: Sequence[SwitchedOff]) -> list[list[str]]:
    """One block for each file that chose so; each rule with its line and reason."""
    by: dict[str, list[SwitchedOff]] = {}
    for one in off:
        by.setdefault(one.place.span.path, []).append(one)
    blocks = []
    for path, rules in by.items():
        told = [
            f"{one.rule}, line {one.place.span.line}{one.reason and f': {one.reason}'}"
            for one in rules
        ]
        head = page.headline("open", "switched off", f"not asked, by choice of {path}")
        blocks.append(head + page.prose("", told))
    return blocks


def _assumed(page: _Page, assumed: Sequence[str]) -> list[list[str]]:
    if not assumed:
        return []
    head = page.headline("open", "assumed", "where the text says nothing")
    return [head + page.prose("", assumed)]
