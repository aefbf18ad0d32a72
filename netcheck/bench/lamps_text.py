"""Lamps of controllers as text: step by step which are lit, and where to meter if one is not so."""

from __future__ import annotations

from collections.abc import Mapping

from netcheck.bench import cautions
from netcheck.bench.lamps import Lamp, Lamps, Shown, way_of
from netcheck.bench.lamps_document import LampsDocument
from netcheck.bench.page import Page
from netcheck.figure import figure

ROWS = (("lit", True), ("either", None), ("dark", False))
IF_NOT = (
    "An input that reads as told and shows otherwise is itself the fault, or its module; one that "
    "does not read so has it in its wiring: `netcheck trace` and `diagnose`.  An output that is "
    "lit and does not read so has lost its common, its fuse or its contact; one that is dark "
    "is for the program, or for what the program waits for."
)
NOT_SEEN = "what the program does is not in the text: outputs are as the steps put them"


def render(document: LampsDocument, *, colour: bool, width: int | None) -> str:
    """Return the whole text.  `width` is the terminal's, in columns; None wraps nothing."""
    page = Page(colour=colour, width=width)
    for word in document.supposed:
        page.say(f"SUPPOSED {word}: not as drawn", "mark")
    highest_v = 0.0 if document.lamps is None else document.lamps.highest_v
    if round(highest_v):
        page.say(f"LIVE up to {figure(round(highest_v))} V where this is metered", "live")
    if document.lamps is not None:
        _steps(page, document.lamps)
        page.blank()
        page.say(f"If a lamp is not as told: {IF_NOT}")
        page.field("not seen", [NOT_SEEN])
        if document.lamps.assumed:
            page.field("assumed", document.lamps.assumed)
    page.blank()
    for line in cautions.of_live_test(highest_v):
        page.say(line)
    page.say(cautions.NEVER)
    for line in cautions.closing():
        page.say(line)
    return page.text


def _steps(page: Page, lamps: Lamps) -> None:
    before: dict[str, Lamp] = {}
    for number, step in enumerate(lamps.steps):
        page.blank()
        page.say(f"STEP {number}: {step.words}", "mark")
        if step.followed:
            page.field("then", [", ".join(step.followed)])
        if step.running:
            page.field("timing", [", ".join(step.running)])
        for shown in step.shown:
            if len(step.shown) > 1:
                page.say(shown.device, "name", 2)
            _shown(page, shown, before)
        before = {lamp.terminal: lamp for shown in step.shown for lamp in shown.lamps}
    if lamps.restless:
        page.say("LEFT OPEN: relays do not come to rest here, or a short is not cleared", "bad")


def _shown(page: Page, shown: Shown, before: Mapping[str, Lamp]) -> None:
    """Lamps that have changed, and those that stay while what is behind them has; with nothing
    before, those that are lit, or dark for a reason of their own."""
    if shown.supply is not None and shown.powered is not True:
        state = "is not known" if shown.powered is None else "has no supply: outputs are off"
        page.say(f"{shown.device} {state}", "bad", 2)
        red, black = shown.supply
        page.say(f"meter {red} to {black}: {shown.supply_reads or 'no numbers'}", indent=4)
    for sort in ("input", "output"):
        mine = [lamp for lamp in shown.lamps if lamp.sort == sort]
        for name, lit in ROWS:
            marks = [lamp.mark for lamp in mine if lamp.lit is lit]
            if marks:
                page.row([("", 2), (f"{sort}s", 9), (name, 8)], " ".join(marks))
    for lamp in shown.lamps:
        told = _told(lamp, before.get(lamp.terminal), dead=shown.powered is False)
        if told:
            _metered(page, lamp, told)


def _told(lamp: Lamp, was: Lamp | None, *, dead: bool) -> str:
    """What the lamp does, where there is something to tell of it."""
    if lamp.lit is None:
        return "may be either" if was is None or was.lit is not None or lamp.why else ""
    says_more = lamp.why and (lamp.lit or lamp.sort == "input") and not dead
    if was is None:
        return "is lit" if lamp.lit else "is dark" if says_more else ""
    if lamp.lit is not was.lit:
        return "comes on" if lamp.lit else "goes out"
    if lamp.why == was.why or not (says_more or lamp.lit):
        return ""
    return "stays lit" if lamp.lit else "stays dark"


def _metered(page: Page, lamp: Lamp, told: str) -> None:
    page.say(f"{lamp.mark} {told}", "name", 2)
    if lamp.black:
        if_not = "" if lamp.lit is None else "if not, "
        page.say(f"{if_not}meter {lamp.red} to {lamp.black}: {_reads(lamp)}", indent=4)
    if lamp.why:
        page.say(lamp.why, indent=4)


def _reads(lamp: Lamp) -> str:
    """What the meter should read, and the current; where there are no volts that says nothing."""
    if lamp.expected is None:
        return "no numbers"
    way = "" if lamp.expected.is_nought else way_of(lamp)
    flow = f", {figure(abs(lamp.direct_a or 0.0), 'A')} {way}" if way else ""
    return f"{lamp.expected}{flow}"
