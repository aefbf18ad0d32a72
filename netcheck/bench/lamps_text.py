"""Lamps of controllers as text: step by step which are lit, and where to meter if one is not so."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.bench import cautions
from netcheck.bench.lamps import Lamp, Lamps, Shown, Step, way_of
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
    if document.lamps is not None:
        _steps(page, document.lamps)
        page.blank()
        page.say(f"If a lamp is not as told: {IF_NOT}")
        page.field("not seen", [NOT_SEEN])
        if document.lamps.assumed:
            page.field("assumed", document.lamps.assumed)
    page.blank()
    for line in cautions.of_live_test(_highest_v(document)):
        page.say(line)
    page.say(cautions.NEVER)
    for line in cautions.closing():
        page.say(line)
    return page.text


def _highest_v(document: LampsDocument) -> float:
    steps = document.lamps.steps if document.lamps is not None else ()
    lamps = [lamp for step in steps for shown in step.shown for lamp in shown.lamps]
    return max((lamp.expected.size_v for lamp in lamps if lamp.expected), default=0.0)


def _steps(page: Page, lamps: Lamps) -> None:
    before: dict[str, bool | None] = {}
    for number, step in enumerate(lamps.steps):
        page.blank()
        page.say(f"STEP {number}: {step.words}", "mark")
        if step.followed:
            page.field("then", [", ".join(step.followed)])
        if step.running:
            page.field("timing", [", ".join(step.running)])
        for shown in step.shown:
            _shown(page, shown, before, first=number == 0)
        before = _states(step)
    if lamps.restless:
        page.say("LEFT OPEN: relays do not come to rest here, or a short is not cleared", "bad")


def _states(step: Step) -> dict[str, bool | None]:
    return {lamp.terminal: lamp.lit for shown in step.shown for lamp in shown.lamps}


def _shown(page: Page, shown: Shown, before: dict[str, bool | None], *, first: bool) -> None:
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
    changed = [lamp for lamp in shown.lamps if first or lamp.lit is not before.get(lamp.terminal)]
    _metered(page, [lamp for lamp in changed if not first or lamp.lit is not False], first=first)
    odd = [lamp for lamp in shown.lamps if lamp.why and lamp not in changed and lamp.lit is None]
    _metered(page, odd, first=first)


def _metered(page: Page, lamps: Sequence[Lamp], *, first: bool) -> None:
    for lamp in lamps:
        verb = {True: "comes on", False: "goes out", None: "may be either"}[lamp.lit]
        page.say(f"{lamp.mark} {'is lit' if first and lamp.lit else verb}", "name", 2)
        reads = str(lamp.expected) if lamp.expected is not None else "no numbers"
        if lamp.black:
            page.say(f"if not, meter {lamp.red} to {lamp.black}: {reads}{_flow(lamp)}", indent=4)
        if lamp.why:
            page.say(lamp.why, indent=4)


def _flow(lamp: Lamp) -> str:
    way = way_of(lamp)
    return f", {figure(abs(lamp.direct_a or 0.0), 'A')} {way}" if way else ""
