"""A lock-out list as text: what to lock, where to prove it dead, what stays live beside it."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from netcheck.bench import cautions
from netcheck.bench.isolate_document import IsolateDocument
from netcheck.bench.isolating import Beside, Isolation
from netcheck.bench.page import Page
from netcheck.bench.reaching import Feed, Point

MOST_PAIRS = 12
HOW = (
    "by the drawing, with every contact closed, every load a way and every supply running; what "
    "is not in the text, such as another panel's control power, is not seen"
)
NEUTRAL = (
    "A grounded conductor counts as held at ground: it is not once it is opened; never open a "
    "neutral that other circuits share."
)
PROVE = f"0 V is not proof that it is dead: {cautions.PROVE}"
ARC = (
    "Opening and testing is live work until it is proved dead: protective equipment; no arc-flash "
    "study is made here."
)


def render(document: IsolateDocument, *, colour: bool, width: int | None) -> str:
    """Return the whole text.  `width` is the terminal's, in columns; None wraps nothing."""
    page = Page(colour=colour, width=width)
    if document.points:
        _points(page, document)
    elif document.whole:
        _map(page, document)
    else:
        for one in document.isolations:
            _one(page, one, document)
    page.blank()
    for line in (f"How: {HOW}.", NEUTRAL, PROVE, ARC, cautions.OFF, *cautions.closing()):
        page.say(line)
    return page.text


def _map(page: Page, document: IsolateDocument) -> None:
    page.say("for each device: what reaches it, and what to lock", "mark")
    for one in document.isolations:
        if one.sources:
            page.row([(one.device, 10), (", ".join(one.sources), 14)], _to_open(one))
    never = [one.device for one in document.isolations if not one.sources]
    if never:
        page.field(*_never(document, never))
    page.field("why", document.unsaid)


def _never(document: IsolateDocument, names: Sequence[str]) -> tuple[str, Sequence[str]]:
    """What nothing reaches, as long as every line was read."""
    if document.mistakes:
        return "not told", [
            f"nothing that was read reaches {', '.join(names)}: mend the text first"
        ]
    return "never live", [", ".join(names)]


def _one(page: Page, one: Isolation, document: IsolateDocument) -> None:
    if not one.sources and document.mistakes:
        page.say(
            f"NOT TOLD: nothing that was read reaches {one.device}: mend the text first", "live"
        )
    elif not one.sources:
        page.say(f"NOTHING REACHES {one.device} as drawn: prove it dead all the same", "mark")
    else:
        page.say(_first(one), "mark")
        if document.mistakes:
            page.say(
                "and what the lines that were not read bring: this list is not complete", "live"
            )
        page.field("reached by", [", ".join(one.sources)])
        page.field("why", document.unsaid)
    page.field("prove dead", _to_prove(one))
    page.field("stored", one.stored)
    _still_live(page, one.stays_live)


def _still_live(page: Page, stays_live: Sequence[Beside]) -> None:
    """By their volts, the highest first; of what is not known the worst is taken."""
    if stays_live:
        page.say("STILL LIVE in the same place", "live")
    by_volts: dict[str, list[Beside]] = {}
    for one in stays_live:
        by_volts.setdefault(one.volts, []).append(one)
    groups = sorted(by_volts.items(), key=lambda group: -(group[1][0].highest_v or inf))
    for volts, some in groups:
        page.row([("", 2), (volts, 12)], ", ".join(one.device for one in some), "live")


def _to_prove(one: Isolation) -> Sequence[str]:
    """Pair by pair while that fits a screen."""
    if len(one.prove_dead) <= MOST_PAIRS:
        return one.prove_dead
    return [f"each to {one.ground} and to every other: {', '.join(one.points)}"]


def _first(one: Isolation) -> str:
    """What comes before any work on it.  No lock opens a battery."""
    locks, links = _locks(one), _links(one)
    if not links:
        return f"LOCK OUT {locks} to work on {one.device}"
    if not locks:
        return f"NO LOCK WILL DO to work on {one.device}: {links}"
    return f"LOCK OUT {locks} to work on {one.device}, and {links}"


def _locks(one: Isolation) -> str:
    elsewhere = [name for name in one.elsewhere if name not in one.unlocked]
    return " and ".join((*one.handles, *(f"{name} where it comes from" for name in elsewhere)))


def _links(one: Isolation) -> str:
    """How to part it from batteries."""
    if not one.unlocked:
        return ""
    return f"take the links off {' and '.join(one.unlocked)} first, with insulated tools"


def _to_open(one: Isolation) -> str:
    """The same in a few words."""
    links = f"no lock opens {' and '.join(one.unlocked)}" if one.unlocked else ""
    return "; ".join(filter(None, (f"lock {_locks(one)}" if _locks(one) else "", links)))


def _points(page: Page, document: IsolateDocument) -> None:
    points = document.points
    page.say("for each point: the sources that can reach it, by which way, what opens that", "mark")
    for point in points:
        if point.feeds:
            page.blank()
            page.say(_named(point), "mark")
            for feed in point.feeds:
                page.say(_came(feed), indent=2)
                page.say(_opens(feed), "" if feed.opened_by else "live", indent=4)
            if point.stored:
                page.say(f"stored: {'; '.join(point.stored)}", indent=2)
    page.blank()
    _listed(page, "at ground", [point for point in points if point.grounded])
    never = [end for p in points if not p.feeds and not p.grounded for end in p.terminals]
    if never:
        page.field(*_never(document, never))
    page.field("why", document.unsaid)


def _named(point: Point) -> str:
    wires = f"  (wire {', '.join(point.numbers)})" if point.numbers else ""
    return f"{' '.join(point.terminals)}{wires}"


def _came(feed: Feed) -> str:
    through = " - ".join(
        f"{name} backwards" if name in feed.backwards else name for name in feed.way[1:]
    )
    elsewhere = " from elsewhere" if feed.elsewhere else ""
    return f"{feed.source}{elsewhere}{' by ' if through else ''}{through}"


def _opens(feed: Feed) -> str:
    if feed.opened_by:
        return f"opened by {' or '.join(feed.opened_by)}"
    if feed.opened_together:
        return f"opened by {' and '.join(feed.opened_together)} together"
    if feed.battery:
        return f"no lock opens {feed.source}: live as long as its links are on"
    return f"nothing here opens it: lock {feed.source} where it comes from"


def _listed(page: Page, name: str, points: Sequence[Point]) -> None:
    if points:
        page.field(name, [", ".join(end for point in points for end in point.terminals)])
