"""A diagnosis as text: the verdict, where to meter next and what it would mean, the suspects."""

from __future__ import annotations

from collections.abc import Sequence

from netcheck.bench import cautions
from netcheck.bench.diagnose_document import DiagnoseDocument
from netcheck.bench.diagnosing import Diagnosis, Suspect
from netcheck.bench.likelihoods import Sort
from netcheck.bench.meter_text import in_circuit
from netcheck.bench.next_reading import Next
from netcheck.bench.ohms import Ohms
from netcheck.bench.page import Page
from netcheck.bench.power_off import OhmStep
from netcheck.bench.readings import SHOCK_V
from netcheck.bench.standing import TAKEN
from netcheck.figure import figure
from netcheck.finding import Mistake

MOST_SHOWN = 12
STUCK = {"held out": "is fed and does not pull in", "held in": "is not fed and stays in"}
GLOSSED = (Sort.SWITCH, Sort.CONTACT, Sort.LOAD)
MOST_NAMED = 6
NEAR_OHM = 5.0
"""What reads less cannot be told from a short without lifting an end."""
NO_OHMS = "no ohms tell these: what they join is joined at rest too; lift and test each"
PARTS = "one of several: lift an end or open a disconnect between them, and read each side"
RECLOSE = "it has opened, as on a short; find that before it is closed again, once"
NOT_LOOKED_FOR = (
    "not looked for: overloads and shorted turns, wires shorted to each other, faults elsewhere "
    "than on the ways of these loads, their coils and supplies, but for swapped wires"
)
MEANT_OFF = "without that it is meant to be off: say with what it was seen so"
STANDS_FOR = (
    "an open wire stands for a loose or burned end too, a blown fuse for a short behind it: "
    "before it is put in again, ohms to ground and across its loads"
)


def render(document: DiagnoseDocument, *, colour: bool, width: int | None) -> str:
    """Return the whole text.  `width` is the terminal's, in columns; None wraps nothing."""
    page = Page(colour=colour, width=width)
    for word in document.supposed:
        page.say(f"SUPPOSED {word}: not as drawn", "mark")
    diagnosis = document.diagnosis
    if diagnosis is not None:
        if diagnosis.highest_v:
            page.say(f"LIVE up to {figure(diagnosis.highest_v)} V where this is metered", "live")
        page.say(verdict(diagnosis, document.mistakes), "bad" if diagnosis.suspects else "mark")
        page.field("seen", document.seen)
        page.field("state", [f"{TAKEN}, but for what is said `with`"])
        _started(page, diagnosis)
        page.blank()
        _misfits(page, diagnosis)
        if diagnosis.next is not None:
            _next(page, diagnosis.next)
        elif diagnosis.opened:
            _power_off(page, diagnosis)
        elif len(diagnosis.suspects) > 1:
            page.field("next", ["no reading on these ways tells them apart: lift and test each"])
        _suspects(page, document)
        page.blank()
        if not diagnosis.sound_fits:
            page.say(NOT_LOOKED_FOR)
        if diagnosis.suspects:
            page.say(STANDS_FOR)
        if diagnosis.not_tried:
            page.field("not tried", diagnosis.not_tried)
        if diagnosis.not_told:
            page.field("left open", [f"not solved: {', '.join(diagnosis.not_told[:MOST_NAMED])}"])
        if diagnosis.more:
            page.field("left open", ["there are more faults than were tried"])
    if document.assumed:
        page.field("assumed", document.assumed)
    page.blank()
    for line in cautions.of_live_test(diagnosis.highest_v if diagnosis else SHOCK_V):
        page.say(line)
    page.say(cautions.NEVER)
    page.say(cautions.CLEARS)
    for line in cautions.closing():
        page.say(line)
    return page.text


def render_round(document: DiagnoseDocument, *, colour: bool, width: int | None) -> str:
    """Return one round of questions and answers: the verdict, the next pair, the likeliest."""
    page = Page(colour=colour, width=width)
    diagnosis = document.diagnosis
    if diagnosis is not None:
        page.say(verdict(diagnosis, document.mistakes), "bad" if diagnosis.suspects else "mark")
        _started(page, diagnosis)
        _misfits(page, diagnosis)
        for suspect in diagnosis.suspects[:MOST_NAMED]:
            page.say(suspect.fault, indent=2)
        if len(diagnosis.suspects) > MOST_NAMED:
            page.say(f"and {len(diagnosis.suspects) - MOST_NAMED} more", indent=2)
        if diagnosis.next is not None:
            _next(page, diagnosis.next)
        elif diagnosis.opened:
            _power_off(page, diagnosis)
        elif diagnosis.suspects:
            _also(page, diagnosis)
            page.say("No more volts to read: prove it dead, then lift and test.")
    return page.text


def verdict(diagnosis: Diagnosis, mistakes: Sequence[Mistake]) -> str:
    """`mistakes`: what of the text could not be read, and so is not in the panel asked about."""
    count = len(diagnosis.suspects)
    if diagnosis.sound_fits and diagnosis.drawn_otherwise:
        return "THE TEXT IS WRONG where a wire was found different; as it stands no fault is needed"
    if diagnosis.sound_fits and mistakes:
        return "NO FAULT NEEDED IN WHAT WAS READ: mend the text first, then ask again"
    if diagnosis.sound_fits:
        return "NO FAULT NEEDED: as drawn the panel does just that; `netcheck trace` says why"
    if diagnosis.contradictions and not count:
        return "READINGS THAT CANNOT BE: look at them again before anything else"
    if not count and mistakes:
        return (
            f"NO FAULT of {diagnosis.tried} tried in what was read explains all of it: mend the "
            "text first, then ask again"
        )
    if not count:
        return f"NO FAULT of {diagnosis.tried} tried explains all of it"
    read = " in what was read" if mistakes else ""
    one = "1 SUSPECT" if count == 1 else f"{count} SUSPECTS"
    if diagnosis.pairs:
        two = f"two at once{read} do, of {diagnosis.tried} tried"
        return f"{one}: no single fault explains all; {two}"
    what = "the single fault that explains" if count == 1 else "single faults that explain"
    return f"{one}: {what} all, of {diagnosis.tried} tried{read}"


def _started(page: Page, diagnosis: Diagnosis) -> None:
    if diagnosis.everything:
        page.field("taken as", [f"{'; '.join(diagnosis.everything)}; if not, name what is off"])
    if diagnosis.started:
        words = " and ".join(diagnosis.started)
        page.field("started", [f"{words} stands for that it runs: then it holds itself"])


def _misfits(page: Page, diagnosis: Diagnosis) -> None:
    if diagnosis.on_with:
        page.field("as drawn", [*diagnosis.on_with, MEANT_OFF])
    for words in diagnosis.contradictions:
        page.field("cannot be", [words])
    for words in diagnosis.drawn_otherwise:
        page.field("text wrong", [f"{words}: mend the text there, or the wire, and ask again"])
    if not diagnosis.sound_fits and not diagnosis.suspects:
        page.field("to explain", diagnosis.misfits)
        if not diagnosis.contradictions:
            page.field("", ["look again at each line; if all are right, the text is likely wrong: "
                            "follow the wires of these ways and compare"])  # fmt: skip


def _next(page: Page, step: Next) -> None:
    place = f" ({step.location})" if step.location else ""
    with_ = f", with {' and '.join(step.withs)}" if step.withs else ""
    page.say(f"METER NEXT: {step.red} to {step.black}{place}{with_}", "mark")
    if step.ground_instead:
        instead = f"{step.ground_instead} does for it, if that is whole"
        page.say(f"{step.black} is out of reach there: {instead}", indent=2)
    elif step.apart:
        here, there = step.apart
        page.say(f"nothing within reach tells: the leads must reach from {here} to {there}", "", 2)
    if step.exposed_v >= SHOCK_V:
        volts = figure(round(step.exposed_v))
        more = all(one.reading.size_v < step.exposed_v - 1 for one in step.outcomes)
        between = f", {step.exposed_between}" if more and step.exposed_between else ""
        live = f"LIVE: up to {volts} V at these points{between}, whatever the meter shows"
        page.say(live, "live", 2)
        for words in step.unsaid:
            page.say(words, indent=2)
    for outcome in step.outcomes:
        page.row([("", 2), (str(outcome.reading), 12)], _named(outcome.faults))


def _power_off(page: Page, diagnosis: Diagnosis) -> None:
    """Ohms, never another live reading behind what has opened."""
    page.say(f"POWER OFF NEXT: {RECLOSE}", "mark")
    page.say(cautions.OFF, indent=2)
    left = next((step.opened for step in diagnosis.power_off if step.opened), ())
    if left:
        page.say(f"{' and '.join(left)} left open: what is told is read behind it", indent=2)
    for step in diagnosis.power_off:
        red, black = (_end(step, end) for end in (step.red, step.black))
        page.say(f"ohms {red} to {black}", "mark", 2)
        page.row([("", 4), ("near 0", 8)], _any_of(step.faults))
        page.row([("", 4), ("sound", 8)], _sound(step.sound))
        if step.sound.low is not None and step.sound.low < NEAR_OHM:
            page.row([("", 4), ("first", 8)], _first(step.sound))
    if not diagnosis.power_off:
        page.say(NO_OHMS, indent=2)
    if any(len(step.faults) > 1 for step in diagnosis.power_off):
        page.say(PARTS, indent=2)


def _end(step: OhmStep, end: str) -> str:
    """A point, whether it is at ground, and where it is if not in the panel."""
    place = step.location if end == step.red and step.location != "panel" else ""
    told = ", ".join(filter(None, ("grounded" if end in step.grounded else "", place)))
    return f"{end} ({told})" if told else end


def _sound(ohms: Ohms) -> str:
    if not ohms.beside:
        return in_circuit(ohms)
    way = "through" if ohms.alone is None else "beside it"
    return f"{in_circuit(ohms)}, {way} {', '.join(ohms.beside)}"


def _first(ohms: Ohms) -> str:
    """So that what reads low though it is sound is out of the way."""
    if ohms.alone is None and ohms.beside:
        return f"lift one end of {' and '.join(ohms.beside)}: it reads low itself"
    return f"{ohms.lift or f'take {ohms.a} off'}: sound or shorted, both read low in circuit"


def _any_of(faults: Sequence[str]) -> str:
    return f"one of {_named(faults)}" if len(faults) > 1 else _named(faults)


def _named(faults: Sequence[str]) -> str:
    named = ", ".join(faults[:MOST_NAMED])
    more = len(faults) - MOST_NAMED
    return f"{named} and {more} more" if more > 0 else named


def _suspects(page: Page, document: DiagnoseDocument) -> None:
    diagnosis = document.diagnosis
    if diagnosis is None or not diagnosis.suspects:
        return
    page.blank()
    page.say(f"likeliest first, as such things fail ({document.likelihoods})", "name")
    for suspect in diagnosis.suspects[:MOST_SHOWN]:
        said = [_gloss(suspect), "" if suspect.location == "panel" else suspect.location]
        beside = ", ".join(filter(None, said))
        page.say(f"{suspect.fault}  ({beside})" if beside else suspect.fault, indent=2)
    more = len(diagnosis.suspects) - MOST_SHOWN
    _also(page, diagnosis)
    if more > 0:
        page.say(f"{more} more: --output json=- lists them.", indent=2)
        page.say(
            "Say what else works, such as which lamps are lit: each line narrows it.", indent=2
        )


def _gloss(suspect: Suspect) -> str:
    """What a fault's words, which name terminals, leave to be guessed."""
    last = " ".join(suspect.fault.split()[-2:])
    if last in STUCK:
        return STUCK[last]
    if "(" in suspect.fault:
        return "inside it"
    return str(suspect.sort) if suspect.sort in GLOSSED else ""


def _also(page: Page, diagnosis: Diagnosis) -> None:
    if diagnosis.also:
        page.field("or as well", [_named([one.fault for one in diagnosis.also])])
