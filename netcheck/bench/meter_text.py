"""Expected readings as text: volts, ohms or amperes, with what misleads beside them."""

from __future__ import annotations

from collections.abc import Iterator

from netcheck.bench import cautions
from netcheck.bench.cold_ohms import ColdOhms, Sort
from netcheck.bench.meter_document import MeterDocument
from netcheck.bench.metering import Between, Clamped, Metered, Node
from netcheck.bench.ohms import OhmReading, Ohms
from netcheck.bench.page import Page
from netcheck.bench.readings import Reading
from netcheck.bench.standing import TAKEN
from netcheck.figure import figure

READING = 12
GHOST = "a 10 Mohm meter may show ghost volts there; low impedance: 0 V"


def render(document: MeterDocument, *, colour: bool, width: int | None) -> str:
    """Return the whole text.  `width` is the terminal's, in columns; None wraps nothing."""
    page = Page(colour=colour, width=width)
    for word in document.supposed:
        page.say(f"SUPPOSED {word}: not as drawn", "mark")
    if document.tells_something:
        _setting_out(page, document)
    for between in document.between:
        page.blank()
        _between(page, between)
    if document.between:
        page.field("why live", document.unsaid)
    if document.nodes:
        page.blank()
        _nodes(page, document)
    if document.clamped:
        page.blank()
        _clamped(page, document)
    for ohms in document.ohms:
        page.blank()
        _ohms(page, ohms)
    if document.loads:
        page.blank()
        _loads(page, document)
    page.blank()
    if document.assumed:
        page.field("assumed", document.assumed)
    if document.open_questions:
        page.field("left open", document.open_questions)
    page.blank()
    _cautions(page, document)
    return page.text


def _setting_out(page: Page, document: MeterDocument) -> None:
    """What is live at the points to be metered, and the state that all is said of."""
    if document.off:
        page.say("POWER OFF: every source open, locked and proved dead", "mark")
    elif round(document.highest_v):
        volts = figure(round(document.highest_v))
        page.say(f"LIVE up to {volts} V here, {document.highest_between}", "live")
    elif not document.open_questions:
        page.say("LIVE: nothing reads volts here in this state; that proves no point dead", "live")
    page.field("state", [_state(document)])


def _state(document: MeterDocument) -> str:
    if document.off:
        return "sources out, every switch at rest, relays dropped out"
    besides = f"; now {', '.join(document.standing)}" if document.standing else ""
    return f"{TAKEN}{besides}"


def _cautions(page: Page, document: MeterDocument) -> None:
    if document.off:
        page.say(cautions.OFF)
    else:
        for line in cautions.of_live_test(document.highest_v):
            page.say(line)
    if document.clamped:
        page.say(cautions.CLAMP)
    for line in cautions.closing():
        page.say(line)


# ---- volts ----


def _between(page: Page, between: Between) -> None:
    metered = between.metered
    page.say(f"{metered.red} to {metered.black}: {_ideal(metered)}", "mark")
    page.field("red lead", [f"{metered.red}, black lead {metered.black}{_setting(metered)}"])
    if metered.firm:
        page.field("meter", ["10 Mohm and low impedance read the same"])
    elif metered.ideal.floats:
        page.field("meter", [f"floats: nothing joins the two; {GHOST}"])
    else:
        page.field(
            "meter",
            [f"10 Mohm: {metered.on_meter}; low impedance: {metered.low_impedance}: "
             "held by a leakage only"],
        )  # fmt: skip
    sides = (between.red_to_ground, between.black_to_ground)
    page.field("to ground", [_to_ground(side) for side in sides])
    if metered.ideal.is_nought and all(side.is_live for side in sides):
        page.say("0 V between them, and yet both are LIVE", "live")
    _tells(page, between)


def _tells(page: Page, between: Between) -> None:
    """Whether the reading can tell an open from a closed one."""
    if not between.through:
        return
    said = f"{between.through} is {between.stands} here"
    if between.proves_nothing:
        said += f"; closed it reads {between.if_closed}, open a meter may show the same: "
        said += "this reading proves nothing"
    elif between.if_open is not None and between.if_closed is not None:
        said += f"; closed it reads {between.if_closed}, open {between.if_open}"
    page.field("tells", [said])


def _setting(metered: Metered) -> str:
    kind = metered.ideal.kind
    return f", meter on {kind}" if kind in ("AC", "DC") else ""


def _to_ground(metered: Metered) -> str:
    if metered.live.floats:
        return f"{metered.red}: floats, prove it"
    if not metered.is_live:
        return f"{metered.red}: 0 V to {metered.live_against}"
    return f"{metered.red}: LIVE, {metered.live} to {metered.live_against}"


def _ideal(metered: Metered) -> str:
    return "floats (not 0 V)" if metered.ideal.floats else str(metered.ideal)


def _nodes(page: Page, document: MeterDocument) -> None:
    page.say(f"black lead on {document.against} throughout", "mark")
    page.row([("red reads", READING), ("live", 4)], "at", "name")
    for node in document.nodes:
        _node(page, node)
    if any(node.metered.ideal.floats for node in document.nodes):
        page.say(f"floats: nothing joins it to {document.against}; {GHOST}")
    page.field("why live", document.unsaid)


def _node(page: Page, node: Node) -> None:
    metered = node.metered
    live = "LIVE" if metered.is_live else ""
    wires = f"  (wire {', '.join(node.numbers)})" if node.numbers else ""
    soft = ""
    if not metered.firm and not metered.ideal.floats:
        soft = f"; 10 Mohm meter: {metered.on_meter}, low impedance: {metered.low_impedance}"
    reading: Reading = metered.ideal
    page.row([(str(reading), READING), (live, 4)], f"{', '.join(node.terminals)}{wires}{soft}")


# ---- amperes ----


def _clamped(page: Page, document: MeterDocument) -> None:
    page.say("clamp one conductor at a time", "mark")
    still = 0
    for one in document.clamped:
        if one.amperes is not None and one.amperes < 1e-3 and not one.grounding:
            still += 1
            continue
        page.row([(_amperes(one), READING)], f"{one.wire}, {one.a} to {one.b}{_note(one)}")
    if still:
        every = still == len(document.clamped)
        page.row([("0 A", READING)], f"in all {still}" if every else f"in {still} more")


def _amperes(one: Clamped) -> str:
    if one.amperes is None:
        return "not told"
    return f"{figure(one.amperes, 'A')} {one.kind}".strip()


def _note(one: Clamped) -> str:
    if one.amperes is None:
        return ": shares with another way of no resistance"
    if one.grounding:
        return ": grounding conductor, must read 0"
    return ""


# ---- ohms ----


def _ohms(page: Page, reading: OhmReading) -> None:
    ohms = reading.ohms
    page.say(f"{ohms.a} to {ohms.b}, in circuit: {in_circuit(ohms)}", "mark")
    if ohms.alone is not None:
        page.field("alone", [_alone(ohms.alone)])
    if ohms.beside:
        page.field("rings too", [f"through {', '.join(ohms.beside)}", f"to tell: {ohms.lift}"])
    if ohms.alone is not None and ohms.alone.diode:
        page.field("leads", [ohms.alone.diode])
    page.field("lock out", _to_lock(reading))
    if reading.stored:
        page.field("stored", reading.stored)


def _to_lock(reading: OhmReading) -> Iterator[str]:
    elsewhere = [name for name in reading.elsewhere if name not in reading.unlocked]
    lock = [*reading.handles, *(f"{name} where it comes from" for name in elsewhere)]
    if lock or not reading.unlocked:
        yield f"{' and '.join(lock) or 'every source'}: tag, prove dead"
    if reading.unlocked:
        yield f"no lock opens {' and '.join(reading.unlocked)}: take the links off first"


def in_circuit(ohms: Ohms) -> str:
    """An unknown winding or a supply's electronics decide the reading, whatever is beside them."""
    if ohms.alone is not None and ohms.alone.sort is Sort.ELECTRONIC and ohms.high is None:
        return "no reading to expect"
    if ohms.alone is not None and ohms.alone.sort is Sort.WINDING and not ohms.beside:
        return "low ohms, not known"
    return _span(ohms.low, ohms.high)


def _span(low: float | None, high: float | None) -> str:
    def word(ohm: float | None) -> str:
        if ohm is None:
            return "open circuit"
        return "less than 1 ohm" if ohm < 1 else figure(ohm, "ohm")

    if word(low) == word(high):
        return word(high)
    return f"from {word(low)} to {word(high)}, by windings not known"


def _alone(told: ColdOhms) -> str:
    assumed = f" ({told.assumed})" if told.assumed else ""
    return f"{told.load}: {told.words}{assumed}"


def _loads(page: Page, document: MeterDocument) -> None:
    page.say("each load by itself, one end lifted", "mark")
    for told in document.loads:
        diode = f"; {told.diode}" if told.diode else ""
        page.row([(told.load, 14)], f"{_alone(told).partition(': ')[2]}{diode}")
