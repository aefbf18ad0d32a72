"""Whether a spare would do, as text: the verdict, what gets worse, what changes, what is open."""

from __future__ import annotations

from netcheck.bench import cautions
from netcheck.bench.page import Page
from netcheck.bench.spare_document import SpareDocument
from netcheck.bench.sparing import Figure, Sparing, worst_of
from netcheck.figure import figure
from netcheck.report.comparison import sections_of

MOST_SHOWN = 12
SHOWN = ("findings", "left open now", "loads", "what loads get")
"""Sections of a comparison that are told here; what the device itself says stands above."""
LEFT_OFF = ", with these wires left off"
LARGER = (
    "larger than what stands there: never to end a fault; only where whoever drew this chose so"
)
HOW = (
    "judged in every state as `netcheck review` does; size, heat, mounting, approvals and what "
    "neither line says are not looked at"
)


def render(document: SpareDocument, *, colour: bool, width: int | None) -> str:
    """Return the whole text.  `width` is the terminal's, in columns; None wraps nothing."""
    page = Page(colour=colour, width=width)
    if document.sparing is not None:
        _told(page, document.sparing)
        page.blank()
        page.say(f"How: {HOW}.")
    page.say("Before it is swapped: open, lock and tag every source, prove it dead.")
    page.say(cautions.NEVER)
    for line in cautions.closing():
        page.say(line)
    return page.text


def verdict(one: Sparing) -> tuple[str, str]:
    """In one line, and how it is painted."""
    if not one.fits:
        return f"WILL NOT DO: `{one.device}` cannot be wired as it is drawn", "bad"
    if one.worse:
        return f"LOOK BEFORE FITTING IT: {worst_of(one.worse)} new or worse", "bad"
    if one.comparison.loads and not all(load.reason for load in one.comparison.loads):
        return "LOOK BEFORE FITTING IT: loads run under other conditions", "bad"
    if one.is_larger and one.protects_at_a is not None:
        stood, spare_a = (figure(rated_a, "A") for rated_a in one.protects_at_a)
        return f"LOOK BEFORE FITTING IT: it opens above {spare_a}, what stands there {stood}", "bad"
    if one.left_open:
        return "NOT KNOWN: with it something is left open that was not", "mark"
    return f"NOTHING GETS WORSE by {one.checks} checks, as far as both lines say", "good"


def _told(page: Page, one: Sparing) -> None:
    page.say(*verdict(one))
    page.field("spare", [one.line])
    if "." in one.device:
        within = one.device.rpartition(".")[0]
        page.field("only in", [f"{within}: the like elsewhere stays as it is"])
    if one.taken_over:
        page.field("taken over", [f"from what stands there: {', '.join(one.taken_over)}"])
    for device in one.comparison.changes:
        if device.of == "device" and device.name == one.device:
            page.field("says", [device.after or "nothing else"])
            page.field("said", [device.before or "nothing else"])
    page.blank()
    _wiring(page, one)
    left_off = "" if one.fits else LEFT_OFF
    sections = dict(sections_of(one.comparison))
    for title in SHOWN:
        if title in sections:
            page.say(f"{title}{left_off}", "name")
            for line in sections[title][:MOST_SHOWN]:
                page.say(line.strip(), indent=2 + len(line) - len(line.lstrip()))
            _more(page, len(sections[title]))
    if one.figures:
        page.say(f"in the worst state{left_off}", "name")
        for apart in one.figures[:MOST_SHOWN]:
            page.say(_apart(apart), indent=2)
        _more(page, len(one.figures))


def _apart(one: Figure) -> str:
    """A figure that is told no more is not nought: the spare may not say what it is rated for."""
    if not one.now:
        return f"{one.of} {one.verb} {one.before} as it was; no figure with the spare"
    return f"{one.of} {one.verb} {one.now}, was {one.before or 'nothing'}"


def _wiring(page: Page, one: Sparing) -> None:
    if one.is_larger:
        page.say(LARGER, "bad", 2)
    for lacking in one.lacking[:MOST_SHOWN]:
        page.say(f"no terminal {lacking.terminal} for {', '.join(lacking.wires)}", "bad", 2)
    _more(page, len(one.lacking))
    for mistake in one.unwired[:MOST_SHOWN]:
        span = mistake.place.span
        help = f" ({mistake.help})" if mistake.help else ""
        page.say(f"{span.path}, line {span.line}: {mistake.message}{help}", "bad", 2)
    _more(page, len(one.unwired))


def _more(page: Page, count: int) -> None:
    if count > MOST_SHOWN:
        page.say(f"{count - MOST_SHOWN} more: --output json=-", indent=2)
