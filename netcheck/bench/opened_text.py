"""What is still live with handles open, as text: by its volts, the highest first."""

from __future__ import annotations

from math import inf

from netcheck.bench import cautions
from netcheck.bench.isolate_document import IsolateDocument
from netcheck.bench.isolate_text import ARC, HOW, NEUTRAL, PROVE
from netcheck.bench.opened import Opened, StillLive
from netcheck.bench.page import Page


def render(document: IsolateDocument, *, colour: bool, width: int | None) -> str:
    """Return the whole text.  `width` is the terminal's, in columns; None wraps nothing."""
    page, told = Page(colour=colour, width=width), document.opened
    assert told is not None
    handles = " and ".join(told.handles)
    if told.live:
        page.say(f"STILL LIVE with {handles} open", "live")
        _live(page, told)
        page.field("why", document.unsaid)
    elif document.mistakes:
        page.say(f"NOT TOLD: nothing that was read is reached with {handles} open", "live")
    else:
        page.say(f"NOTHING IS REACHED with {handles} open: prove it dead all the same", "mark")
    page.blank()
    dead = ", ".join(told.dead)
    if dead and document.mistakes:
        page.field("not told", [f"nothing that was read reaches {dead}: mend the text first"])
    elif dead:
        page.field("dead", [f"by the drawing, prove it: {dead}"])
    if told.fuses:
        out = " and ".join(told.fuses)
        page.field("no lock", [f"{out} out: a fuse holder is seldom made to be locked; tag it too"])
    page.field("stored", told.stored)
    page.blank()
    for line in (f"How: {HOW}.", NEUTRAL, PROVE, ARC, *cautions.closing()):
        page.say(line)
    return page.text


def _live(page: Page, told: Opened) -> None:
    groups: dict[tuple[str, tuple[str, ...]], list[StillLive]] = {}
    for one in told.live:
        groups.setdefault((one.volts, one.sources), []).append(one)
    worst = sorted(groups.items(), key=lambda group: -(group[1][0].highest_v or inf))
    for (volts, sources), some in worst:
        named = ", ".join(_named(one) for one in some)
        page.row([("", 2), (volts, 12)], f"from {', '.join(sources)}: {named}", "live")


def _named(one: StillLive) -> str:
    """Of what is dead in part the points that are not."""
    return f"{one.device} (at {', '.join(one.points)})" if one.partly else one.device
