"""A traced load as text: what is live, the verdict, the way, what to do next, then the rest."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.bench import cautions
from netcheck.bench.page import LEAST_ROOM, Page
from netcheck.bench.probe_sheet import Point, ProbeSheet
from netcheck.bench.pulses import PULSES
from netcheck.bench.readings import Reading, made_for
from netcheck.bench.standing import TAKEN
from netcheck.bench.trace_document import TraceDocument
from netcheck.bench.tracing import Place, Traced, Way

NONE = "nothing"
TERMINAL, VOLTS, BY, HEALTHY = 11, 10, 21, 11
FOUND, BLANK = 7, "_____"
"""Where the technician writes down what was read."""
ROW = 2 + TERMINAL + VOLTS + BY + LEAST_ROOM
"""On less, a place's location stands above it."""


def render(document: TraceDocument, *, colour: bool, width: int | None) -> str:
    """Return the whole text.  `width` is the terminal's, in columns; None wraps nothing."""
    page = Page(colour=colour, width=width)
    for word in document.supposed:
        page.say(f"SUPPOSED {word}: not as drawn", "mark")
    for place, traced in enumerate(document.traced):
        if place:
            page.blank()
        _one(page, document, traced)
    page.blank()
    for line in cautions.of_live_test(max((t.highest_v for t in document.traced), default=0.0)):
        page.say(line)
    page.say(cautions.NEVER)
    page.say(cautions.CLEARS)
    for line in cautions.closing():
        page.say(line)
    return page.text


def _one(page: Page, document: TraceDocument, traced: Traced) -> None:
    live = "LIVE" if traced.live[0][0].isdigit() else "LIVE:"
    page.say(f"{live} {'; '.join(traced.live)}", "live")
    page.say(traced.verdict, "good" if traced.word == "ON" else "bad")
    page.field("stored", traced.stored)
    page.field("state", [_state(traced)])
    if traced.places:
        page.blank()
        _places(page, traced)
    if traced.live_noughts:
        shown = "; ".join(traced.live_noughts[:2])
        page.say(f"0 V there is not dead. {shown}", "live", indent=2)
    for end in traced.ends:
        page.say(end, indent=2)
    _next(page, traced)
    for number, way in enumerate(traced.others, start=2):
        page.field("also" if number == 2 else "", [_way(way, traced.places[0].at)])
    if traced.more_ways:
        page.field("", ["and more ways than are listed"])
    _energising(page, document, traced)
    if traced.sheet is not None:
        page.blank()
        _sheet(page, document, traced, traced.sheet)
    page.blank()
    if traced.assumed:
        page.field("assumed", traced.assumed)
    if traced.open_questions:
        page.field("left open", traced.open_questions)


def _state(traced: Traced) -> str:
    besides = f"; now {', '.join(traced.standing)}" if traced.standing else ""
    return f"{TAKEN}{besides}"


# ---- the way ----


def _places(page: Page, traced: Traced) -> None:
    """One place a line; the arrow stands at what should not be open, else at the first open."""
    wrong = [place for place in traced.opens if not place.meant]
    stuck = [place for place in traced.places if place.stuck]
    spots = [*wrong, *stuck, *traced.opens][:1]
    where = ""
    narrow = page.width is not None and page.width < ROW
    title = "then by" if narrow else f"{'then by':{BY}}where"
    page.row([("", 2), ("at", TERMINAL), ("now", VOLTS)], title, "name")
    for place in traced.places:
        arrow = ">" if place in spots else ""
        volts = "?" if place.volts is None else str(place.volts)
        location = place.location if place.location != where else '"'
        if narrow and place.location != where:
            page.say(f"{place.location}:", "name", 2)
        where = place.location
        cells = [(arrow, 2), (place.at, TERMINAL), (volts, VOLTS)]
        last = _by(place)
        if not narrow:
            cells, last = [*cells, (last, BY)], location
        page.row(cells, last, "bad" if place in spots else "")
    page.row([("", 2)], f"now: red lead there, black on {traced.reference}", "name")


def _by(place: Place) -> str:
    if place.open:
        return f"{place.by} OPEN"
    closed = place.sort == "contact"
    return f"{place.by} closed" if closed else place.by


def _next(page: Page, traced: Traced) -> None:
    meant = [place for place in traced.opens if place.meant]
    wrong = [place for place in traced.opens if not place.meant]
    page.blank()
    if traced.places:
        page.field("open now", [f"as meant: {_opens(meant)}"])
        stuck = [f"{place.by} closed" for place in traced.places if place.stuck]
        page.field(
            "", ["by fault: " + ("; ".join([*stuck, *([_opens(wrong)] if wrong else [])]) or NONE)]
        )
    if traced.sheet is not None and traced.sheet.first is not None:
        _meter_next(page, traced, traced.sheet, traced.sheet.first)


def _meter_next(page: Page, traced: Traced, sheet: ProbeSheet, first: Point) -> None:
    """The point of the sheet that splits what is left."""
    before = sheet.before(first)
    back = f"go back towards {before.terminal}" if before else "it is the source"
    once = ", once set up as below" if traced.energising.steps else ""
    page.blank()
    page.say(f"METER NEXT{once}: {first.terminal} to {sheet.black}", "mark")
    page.row([("", 2), (str(first.healthy), 12)], "go on towards the load")
    page.row([("", 2), ("low", 12)], back)
    page.blank()


def _opens(places: Sequence[Place]) -> str:
    said = [
        f"{place.by}: {place.why}" if place.why not in ("", "fault") else place.by
        for place in places
    ]
    return "; ".join(said) if said else NONE


def _way(way: Way, start: str) -> str:
    """By its contacts; with its source where it does not `start` like the one above."""
    contacts = [f"{place.by} {'OPEN' if place.open else 'closed'}" for place in way.contacts]
    source = [f"from {way.start}"] if way.start != start else []
    return f"another way: {', '.join([*source, *contacts])}"


# ---- what would energise it ----


def _energising(page: Page, document: TraceDocument, traced: Traced) -> None:
    words = document.conditions.get(traced.load, ())
    if words:
        page.field("wants", words)
    energising = traced.energising
    if energising.why_not:
        page.field("to turn on", [energising.why_not])
    elif energising.steps:
        start = "from this state" if energising.from_here else "from power-up"
        page.field("to turn on", [f"{start}: {'; '.join(energising.steps)}"])
    elif traced.word != "ON":
        page.field("to turn on", ["in this state it should be on already"])


# ---- the probe sheet ----


def _sheet(page: Page, document: TraceDocument, traced: Traced, sheet: ProbeSheet) -> None:
    steps = "; ".join(traced.energising.steps) or "as the state above"
    page.say(f"PROBE SHEET for {traced.load}, when it should be on", "mark")
    page.field("sheet", [f"{document.path.rpartition('/')[2]}   date {BLANK}   by {BLANK}"])
    stand = f"then {', '.join(sheet.set_up)}: of one that is not, trace that first"
    page.field("set up", [steps, *([stand] if sheet.set_up else [])])
    if traced.lamps:
        page.field("look first", [f"should be lit: {'; '.join(traced.lamps)}"])
    live = f", itself LIVE: {sheet.black_live}" if sheet.black_live else ""
    black = f"{sheet.black} throughout{live}; red goes from point to point"
    page.field("black on", [black, *sheet.elsewhere])
    if any(point.turn > 1 for point in sheet.points):
        page.field("order", ["1 first; low: the 2 above it, healthy: the 2 below it; and so on"])
    cells = [("try", 4), ("red on", 15), ("healthy", HEALTHY), ("found", FOUND)]
    page.row(cells, "first low reading here means", "name")
    for point in sheet.points:
        if point.side == "source":
            _point(page, point, _accused(point))
    home = [point for point in sheet.points if point.side == "home"]
    for place, point in enumerate(home):
        if place == 0:
            said = f"well above {point.healthy}: the way home is open"
        else:
            said = f"high before, low here: {_accused(point)}"
        _point(page, point, said)
    page.field("all well", [f"and {traced.load} still off: {sheet.if_all_well}"])
    for trap in traps_of(traced, sheet):
        page.say(trap)


def traps_of(traced: Traced, sheet: ProbeSheet) -> tuple[str, ...]:
    """What misleads where these points are probed."""
    drop, load = Reading(dc_v=sheet.drop_v), traced.part.load
    said = ["0 V across a contact or fuse does not prove it closed while the rest is open."]
    if load is not None and not sheet.enough:
        gets = f"{traced.load} gets {sheet.at_load}{made_for(load)}"
        said.insert(0, f"With all of that well {gets}: look into that as well.")
    if not sheet.in_series:
        said.append(
            "A loose terminal reads healthy until current flows: with the load on, no more than "
            f"{'0.1 V' if drop.is_nought else str(drop).removesuffix(' DC')} is lost on the way."
        )
    if any(point.healthy.kind == "AC" for point in sheet.points):
        said.append(
            f"Keep the black lead on {sheet.black}: to ground, both ends of a load may read "
            "full volts with one line open, and 0 V across it."
        )
    if load is not None and load.phases == 3:
        said.append(
            "Three-phase: past one open line the load feeds back half the volts or more: "
            "that is low here, and live."
        )
    if sheet.pulsed:
        said.append(PULSES)
    return tuple(said)


def _point(page: Page, point: Point, said: str) -> None:
    wire = f"{point.terminal} {point.wire}".rstrip()
    turn = str(point.turn) if point.turn else ""
    place = f" ({point.location})" if point.location not in ("", "panel") else ""
    cells = [(turn, 4), (wire, 15), (str(point.healthy), HEALTHY), (BLANK, FOUND)]
    page.row(cells, f"{said}{place}")


def _accused(point: Point) -> str:
    beside = "; another way leads round it" if point.beside else ""
    return f"{' or '.join(point.suspects)}{beside}"
